package tendency

import (
	"cmp"
	"math"
	"slices"
)

// A Profile is what an opponent does: plays by situation and outcome, both in
// an order that all profiles share.
type Profile struct {
	Name   string
	Counts [][]int // one row a situation
}

// A Likeness is how far an opponent is from another.
type Likeness struct {
	Name       string
	Apart      float64 // bits, 0 alike to 1 nothing in common; what chance alone would give is taken off
	Raw        float64 // with chance
	Plays      int     // of his in the situations compared
	Situations int     // with plays of both
	P          float64 // of being so far apart by chance; small: surely different
}

// Likest ranks others by how like target they are, the likest first. In each
// situation with plays of both, the two mixes are compared by the
// Jensen-Shannon divergence (Lin 1991), a bit at most; situations count by the
// target's plays, for he is the one we prepare for. Two samples of one mix are
// apart by about (k-1)(1/n + 1/m)/8 nats for k outcomes in use, and that much
// is taken off: a thin opponent is not unlike for being thin. Someone with no
// situation in common comes last, 1 apart.
func Likest(target Profile, others []Profile) []Likeness {
	var out []Likeness
	for _, o := range others {
		out = append(out, likeness(target, o))
	}
	slices.SortStableFunc(out, func(a, b Likeness) int {
		return cmp.Or(cmp.Compare(a.Apart, b.Apart), cmp.Compare(b.Plays, a.Plays), cmp.Compare(a.Name, b.Name))
	})
	return out
}

func likeness(a, b Profile) Likeness {
	out := Likeness{Name: b.Name, P: 1}
	weight, chance, g, df := 0.0, 0.0, 0.0, 0
	for s := range a.Counts {
		pair := filled([][]int{a.Counts[s], b.Counts[s]})
		if len(pair) < 2 {
			continue
		}
		n, m, k := total(pair[0]), total(pair[1]), len(pair[0])
		out.Situations++
		out.Plays += m
		w := float64(n)
		weight += w
		out.Raw += w * divergence(pair, .5)
		chance += w * float64(k-1) * (1/float64(n) + 1/float64(m)) / 8 / math.Ln2
		// With weights by plays it is the likelihood ratio statistic over 2N nats.
		g += 2 * float64(n+m) * math.Ln2 * divergence(pair, float64(n)/float64(n+m))
		df += k - 1
	}
	if weight == 0 {
		out.Apart, out.Raw = 1, 1
		return out
	}
	out.Raw /= weight
	out.Apart = max(0, out.Raw-chance/weight)
	if df > 0 {
		out.P = upperTail(g, df)
	}
	return out
}

// divergence returns the Jensen-Shannon divergence of two mixes, in bits, the
// first with weight w: the entropy of the mixture less the mean entropy.
func divergence(pair [][]int, w float64) float64 {
	n, m := float64(total(pair[0])), float64(total(pair[1]))
	sum := 0.0
	for j := range pair[0] {
		p, q := float64(pair[0][j])/n, float64(pair[1][j])/m
		mid := w*p + (1-w)*q
		if p > 0 {
			sum += w * p * math.Log2(p/mid)
		}
		if q > 0 {
			sum += (1 - w) * q * math.Log2(q/mid)
		}
	}
	return max(0, sum)
}

func total(counts []int) int {
	n := 0
	for _, c := range counts {
		n += c
	}
	return n
}
