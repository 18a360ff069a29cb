package tendency

import (
	"cmp"
	"slices"
)

// A Change is how one outcome's share moved between two spans of games.
type Change struct {
	Outcome       string
	Before, After Fraction
	Difference    float64 // after less before
	Low, High     float64 // 95%
	P, Adjusted   float64 // Fisher's exact; adjusted for all outcomes asked about
	Stands        bool
}

// Trend compares how often each outcome came in two spans (the last three games
// against the season before them, say): before and after count its plays. rate
// is as for Tells. What stands comes first, then by the limit of the difference
// nearer to none, then in the order given. The spans must not share plays.
func Trend(outcomes []string, before, after []int, rate float64) []Change {
	var nb, na int
	for i := range outcomes {
		nb += before[i]
		na += after[i]
	}
	out, ps := make([]Change, len(outcomes)), make([]float64, len(outcomes))
	for i, name := range outcomes {
		c := Change{Outcome: name, Before: Fraction{before[i], nb}, After: Fraction{after[i], na}}
		c.Difference = c.After.Share() - c.Before.Share()
		c.Low, c.High = Difference(after[i], na, before[i], nb)
		c.P = FisherExact(after[i], na-after[i], before[i], nb-before[i])
		out[i], ps[i] = c, c.P
	}
	for i, p := range BenjaminiHochberg(ps) {
		out[i].Adjusted, out[i].Stands = p, p <= rate
	}
	slices.SortStableFunc(out, func(a, b Change) int {
		if a.Stands != b.Stands {
			return map[bool]int{true: -1, false: 1}[a.Stands]
		}
		return cmp.Compare(sure(b.Low, b.High), sure(a.Low, a.High))
	})
	return out
}
