package field

import "math"

// A Speed is how a man runs: v' = (u - v)/Tau with |u| <= Max. From rest his
// speed is Max(1 - exp(-t/Tau)), the usual one-parameter sprint (Furusawa,
// Hill and Parkinson 1927).
type Speed struct {
	Max YardsPerSecond
	Tau Seconds
}

// Reach returns how far the control can carry him in s seconds beyond where
// his momentum does: Max(s - Tau(1 - exp(-s/Tau))), 0 for s <= 0.
func (v Speed) Reach(s Seconds) Yards {
	if s <= 0 {
		return 0
	}
	return v.Max * (s - v.Tau*(1-math.Exp(-s/v.Tau)))
}

// Drift returns by what time his present velocity must be multiplied to give
// where momentum alone carries him in s seconds: Tau(1 - exp(-s/Tau)).
func (v Speed) Drift(s Seconds) Seconds {
	if s <= 0 {
		return 0
	}
	return v.Tau * (1 - math.Exp(-s/v.Tau))
}

// Time returns how long he takes from rest over a distance: the s with Reach(s) = d,
// by bisection to a millisecond.
func (v Speed) Time(d Yards) Seconds {
	if d <= 0 {
		return 0
	}
	lo, hi := 0.0, d/v.Max+v.Tau // momentum costs him Tau at most
	for hi-lo > 0.001 {
		if mid := (lo + hi) / 2; v.Reach(mid) < d {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
