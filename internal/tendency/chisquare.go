package tendency

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ChiSquare returns Pearson's statistic of a table of counts, its degrees of
// freedom, its p and the smallest expected count. Empty rows and columns say
// nothing and are not counted; where fewer than two of either are left, p is 1.
func ChiSquare(table [][]int) (x2 float64, df int, p, least float64) {
	table = filled(table)
	if len(table) < 2 || len(table[0]) < 2 {
		return 0, 0, 1, 0
	}
	least = math.Inf(1)
	each(table, func(v int, expected float64) {
		least = min(least, expected)
		x2 += (float64(v) - expected) * (float64(v) - expected) / expected
	})
	df = (len(table) - 1) * (len(table[0]) - 1)
	return x2, df, upperTail(x2, df), least
}

// upperTail returns the chance of a chi-square at least as large; the survival
// function keeps its precision where 1 - CDF would be 0.
func upperTail(x2 float64, df int) float64 { return distuv.ChiSquared{K: float64(df)}.Survival(x2) }

// each visits every count with what independence would expect.
func each(table [][]int, visit func(v int, expected float64)) {
	rows, cols := margins(table)
	n := 0
	for _, r := range rows {
		n += r
	}
	for i, row := range table {
		for j, v := range row {
			visit(v, float64(rows[i])*float64(cols[j])/float64(n))
		}
	}
}

// filled drops empty rows and columns.
func filled(table [][]int) [][]int {
	if len(table) == 0 {
		return nil
	}
	rows, cols := margins(table)
	var out [][]int
	for i, row := range table {
		if rows[i] == 0 {
			continue
		}
		var kept []int
		for j, v := range row {
			if cols[j] > 0 {
				kept = append(kept, v)
			}
		}
		out = append(out, kept)
	}
	return out
}
