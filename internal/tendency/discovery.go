package tendency

import "sort"

// BenjaminiHochberg returns the adjusted p-values, in the order given
// (Benjamini and Hochberg 1995): those at most q are the discoveries when a
// share q of false ones among them is accepted. Equal p stay equal.
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
