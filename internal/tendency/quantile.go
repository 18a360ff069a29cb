package tendency

import (
	"math"
	"slices"
)

// Quantile returns the p quantile of values, p from 0 to 1, by straight line
// between the two nearest (Hyndman and Fan 1996, definition 7; PostgreSQL's
// percentile_cont). ok is false without a value.
func Quantile(values []float64, p float64) (q float64, ok bool) {
	if len(values) == 0 {
		return 0, false
	}
	v := slices.Sorted(slices.Values(values))
	at := p * float64(len(v)-1)
	i := int(math.Floor(at))
	if i >= len(v)-1 {
		return v[len(v)-1], true
	}
	return v[i] + (at-float64(i))*(v[i+1]-v[i]), true
}

// A Depth sums up break depths: the middle, how far it may be off, and the
// spread.
type Depth struct {
	N                int
	Median           float64 // yards
	Low, High        float64 // at least 95% for the median
	Lower, Upper     float64 // quartiles; their distance is the spread
	Least, Most      float64
	Bounded, Defined bool // Low and High need six values; all need one
}

// Depths sums up the break depths of one route. The interval of the median takes
// the values of two ranks: the k-th from below and from above hold the median
// between them unless fewer than k of n values fall to one side of it, which is
// a matter of n fair coins (the sign test), whatever the depths are like.
func Depths(values []float64) Depth {
	d := Depth{N: len(values)}
	if d.N == 0 {
		return d
	}
	d.Defined = true
	v := slices.Sorted(slices.Values(values))
	d.Least, d.Most = v[0], v[d.N-1]
	d.Median, _ = Quantile(v, .5)
	d.Lower, _ = Quantile(v, .25)
	d.Upper, _ = Quantile(v, .75)
	if k := signRank(d.N); k > 0 {
		d.Low, d.High, d.Bounded = v[k-1], v[d.N-k], true
	}
	return d
}

// signRank returns the largest k for which fewer than k heads in n fair tosses
// have a chance of at most 2.5%; 0 when there is none.
func signRank(n int) int {
	below := 0.0
	for k := 0; ; k++ {
		below += math.Exp(logFactorial(n) - logFactorial(k) - logFactorial(n-k) - float64(n)*math.Ln2)
		if below > .025 {
			return k
		}
	}
}
