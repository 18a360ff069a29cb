package tendency

import "gonum.org/v1/gonum/mathext"

// Mean returns the mean of values in [0, 1], each weighted by how often it was
// seen, and a central 95% interval for it that comes from not knowing the
// true weights. Nothing seen: 0, 0 to 1.
//
// The weights are Dirichlet with the counts as parameters, plus one play in
// all that stands for what was not seen: half of it at 0 and half at 1. The
// mean of such a mixture is fitted by the Beta distribution of the same mean
// and variance. When every value is 0 or 1 it is Jeffreys' interval of a
// share, exactly; a thin sample of equal values still has width.
func Mean(values []float64, counts []int) (mean, low, high float64) {
	n := 0.0
	for i, c := range counts {
		n += float64(c)
		mean += float64(c) * values[i]
	}
	if n == 0 {
		return 0, 0, 1
	}
	mean /= n
	total := n + 1
	mu := (n*mean + 0.5) / total
	second := 0.5 // of the unseen half play at 1
	for i, c := range counts {
		second += float64(c) * values[i] * values[i]
	}
	// Variance of a linear form under a Dirichlet: (E s^2 - (E s)^2) / (total + 1).
	variance := (second/total - mu*mu) / (total + 1)
	size := mu*(1-mu)/variance - 1
	low = mathext.InvRegIncBeta(mu*size, (1-mu)*size, 0.025)
	high = mathext.InvRegIncBeta(mu*size, (1-mu)*size, 0.975)
	// The unseen play pulls the middle toward one half; the mean itself must lie inside.
	return mean, min(low, mean), max(high, mean)
}
