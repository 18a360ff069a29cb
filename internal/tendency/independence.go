package tendency

import "math"

// A Test says how surprising a table would be if its row did not matter.
type Test struct {
	N      int     // plays counted
	Effect float64 // Cramer's V: 0 no relation, 1 the row settles the column
	Method string  // exact, chi-square, or none where neither can be had
	P      float64 // 1 where Method is none
}

// Independence tests whether the row matters. A 2x2 table is tested exactly
// (Fisher). A larger one by chi-square where the expected counts allow it (none
// below 1 and at most a fifth below 5: Cochran 1954), else exactly where it is
// small enough; else not at all: pool thin rows first. A table with fewer than
// two rows or columns in use is not tested.
func Independence(table [][]int) Test {
	t := filled(table)
	out := Test{Method: "none", P: 1}
	for _, row := range t {
		for _, v := range row {
			out.N += v
		}
	}
	if len(t) < 2 || len(t[0]) < 2 {
		return out
	}
	x2, _, p, _ := ChiSquare(t)
	out.Effect = math.Sqrt(x2 / float64(out.N) / float64(min(len(t), len(t[0]))-1))
	if len(t) == 2 && len(t[0]) == 2 {
		out.Method, out.P = "exact", FisherExact(t[0][0], t[0][1], t[1][0], t[1][1])
		return out
	}
	if expectedAllow(t) {
		out.Method, out.P = "chi-square", p
	} else if p, ok := FisherTable(t); ok {
		out.Method, out.P = "exact", p
	}
	return out
}

// expectedAllow is Cochran's rule.
func expectedAllow(table [][]int) bool {
	all, small, tiny := 0, 0, 0
	each(table, func(_ int, expected float64) {
		all++
		if expected < 5 {
			small++
		}
		if expected < 1 {
			tiny++
		}
	})
	return tiny == 0 && 5*small <= all
}
