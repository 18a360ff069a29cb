package tendency

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// z is the 97.5% point of the normal distribution.
var z = distuv.UnitNormal.Quantile(0.975)

// Thin is the number of plays under which a share is shown grayed: a staff
// estimate, no source.
const Thin = 8

// Share returns x/n, 0 without a trial; show it with its n.
func Share(x, n int) float64 {
	if n == 0 {
		return 0
	}
	return float64(x) / float64(n)
}

// Wilson returns the 95% score interval of a share of x in n (Wilson 1927;
// Newcombe 1998, method 3). It is the interval of every share shown: averaged
// over shares its coverage is nearest to 95% (TestCoverage prints it). Without
// a trial nothing is known: 0 to 1. x must lie in 0 to n.
func Wilson(x, n int) (low, high float64) { return wilson(x, n, z) }

func wilson(x, n int, z float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	p, m := float64(x)/float64(n), float64(n)
	mid := p + z*z/(2*m)
	half := z * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	low, high = (mid-half)/(1+z*z/m), (mid+half)/(1+z*z/m)
	if x == 0 {
		low = 0 // exactly, where rounding leaves a residue
	}
	if x == n {
		high = 1
	}
	return low, high
}

// Difference returns the 95% interval of x1/n1 - x2/n2 by squaring and adding
// the Wilson limits (Newcombe 1998, method 10). With a side that has no trial
// it is that of a share nobody knows.
func Difference(x1, n1, x2, n2 int) (low, high float64) {
	l1, u1 := Wilson(x1, n1)
	l2, u2 := Wilson(x2, n2)
	p1, p2 := Share(x1, n1), Share(x2, n2)
	return p1 - p2 - math.Hypot(p1-l1, u2-p2), p1 - p2 + math.Hypot(u1-p1, p2-l2)
}
