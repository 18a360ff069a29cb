package tendency

import "cmp"

// An Agreement says how far taggers agree beyond chance.
type Agreement struct {
	Units       int     // clips, or values for alpha, that could be compared
	Same        float64 // share of the comparisons that are equal
	Coefficient float64 // 1 agreed on all, 0 no better than chance, negative worse
	Defined     bool    // false where nothing was compared or nothing varied: no coefficient then
}

// Kappa compares two taggers clip by clip (Cohen 1960); an empty word is a clip
// one of them left open, and is not compared. It panics when the lists differ
// in length.
func Kappa(a, b []string) Agreement {
	var out Agreement
	inA, inB := map[string]int{}, map[string]int{}
	same := 0
	for i, x := range a {
		if y := b[i]; x != "" && y != "" {
			out.Units++
			inA[x]++
			inB[y]++
			if x == y {
				same++
			}
		}
	}
	out.Same = Share(same, out.Units)
	chance := 0 // times Units squared, in whole numbers: no order of words can change it
	for word, n := range inA {
		chance += n * inB[word]
	}
	if expected := Share(chance, out.Units*out.Units); out.Units > 0 && expected < 1 {
		out.Coefficient, out.Defined = (out.Same-expected)/(1-expected), true
	}
	return out
}

// Alpha compares any number of taggers; a unit holds what those who tagged the
// clip said, in any order (Krippendorff 2011, nominal). Units with fewer than
// two values are left out.
func Alpha[T cmp.Ordered](units [][]T) Agreement {
	return alpha(units, func(a, b T) float64 {
		if a == b {
			return 0
		}
		return 1
	})
}

// AlphaInterval is Alpha for measured values such as break depths: a yard's
// difference counts less than ten (Krippendorff 2011, interval).
func AlphaInterval(units [][]float64) Agreement {
	return alpha(units, func(a, b float64) float64 { return (a - b) * (a - b) })
}

// alpha is 1 - (observed disagreement) / (disagreement of all values paired at
// random).
func alpha[T cmp.Ordered](units [][]T, apart func(a, b T) float64) Agreement {
	var out Agreement
	var all []T
	observed, same, pairs := 0.0, 0, 0
	for _, u := range units {
		if len(u) < 2 {
			continue
		}
		all = append(all, u...)
		within := 0.0
		for i := range u {
			for _, v := range u[:i] {
				within += 2 * apart(u[i], v)
				pairs++
				if u[i] == v {
					same++
				}
			}
		}
		observed += within / float64(len(u)-1)
	}
	out.Units, out.Same = len(all), Share(same, pairs)
	expected := 0.0
	for i := range all {
		for _, v := range all[:i] {
			expected += 2 * apart(all[i], v)
		}
	}
	if expected > 0 {
		out.Coefficient, out.Defined = 1-float64(len(all)-1)*observed/expected, true
	}
	return out
}
