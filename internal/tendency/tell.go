package tendency

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// FisherExact returns the two-sided p of a 2x2 table: the total probability,
// margins fixed, of all tables no more likely than this one (Fisher 1935).
func FisherExact(a, b, c, d int) float64 {
	r1, r2, c1 := a+b, c+d, a+c
	logC := func(n, k int) float64 {
		x, _ := math.Lgamma(float64(n + 1))
		y, _ := math.Lgamma(float64(k + 1))
		w, _ := math.Lgamma(float64(n - k + 1))
		return x - y - w
	}
	prob := func(k int) float64 { return math.Exp(logC(r1, k) + logC(r2, c1-k) - logC(r1+r2, c1)) }
	here, sum := prob(a), 0.0
	for k := max(0, c1-r2); k <= min(r1, c1); k++ {
		if p := prob(k); p <= here*(1+1e-7) {
			sum += p
		}
	}
	return min(1, sum)
}

// ChiSquare returns Pearson's statistic of a table of counts, its degrees of
// freedom, its p and the smallest expected count.
func ChiSquare(table [][]int) (x2 float64, df int, p, least float64) {
	rows, cols, n := make([]float64, len(table)), make([]float64, len(table[0])), 0.0
	for i, row := range table {
		for j, v := range row {
			rows[i] += float64(v)
			cols[j] += float64(v)
			n += float64(v)
		}
	}
	least = math.Inf(1)
	for i, row := range table {
		for j, v := range row {
			e := rows[i] * cols[j] / n
			least = min(least, e)
			x2 += (float64(v) - e) * (float64(v) - e) / e
		}
	}
	df = (len(rows) - 1) * (len(cols) - 1)
	return x2, df, 1 - distuv.ChiSquared{K: float64(df)}.CDF(x2), least
}

// BenjaminiHochberg returns the adjusted p-values, in the order given
// (Benjamini and Hochberg 1995): those at most q are the discoveries at rate q.
func BenjaminiHochberg(ps []float64) []float64 {
	order := make([]int, len(ps))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return ps[order[i]] < ps[order[j]] })
	out, best := make([]float64, len(ps)), 1.0
	for k := len(order) - 1; k >= 0; k-- {
		best = min(best, ps[order[k]]*float64(len(ps))/float64(k+1))
		out[order[k]] = best
	}
	return out
}
