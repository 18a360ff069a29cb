package plan

import (
	"cmp"
	"math"
	"slices"

	"overhang/internal/stress/mix"
)

const (
	mostCalls = 3    // in a mix: what a coordinator can keep in mind. A choice, no source.
	spreadAt1 = 0.82 // how far what they do may lie from what was counted, of one play: ten give .26
)

// mix finds how often to call what. They are taken to do what they did, and for the part
// that the counts leave open whatever hurts the mix most: so a play more or less hardly
// moves what it gives up. In it are calls that cannot be told apart from the first, and
// others only where they do better against a usual concept beyond doubt.
func (b *Board) mix() {
	for i := range b.Rows {
		b.Rows[i].Share, b.Rows[i].For = 0, ""
	}
	switch {
	case b.TooFew != "":
		b.MixMissing = b.TooFew
		return
	case len(b.Concepts) == 0 || len(b.Rows) == 0:
		return
	}
	of := b.candidates()
	for {
		s, err := mix.Solve(b.game(of))
		if err != nil {
			b.MixMissing = "the mix could not be solved: " + err.Error()
			return
		}
		if len(of) <= mostCalls && least(s.Rows) >= mixed {
			b.share(of, s)
			return
		}
		of = without(of, s.Rows)
	}
}

func least(xs []float64) float64 { return slices.Min(xs) }

// without leaves out the calls with the smallest shares: all that are hardly called, or
// else one.
func without(of []int, shares []float64) []int {
	order := slices.Clone(of)
	at := map[int]float64{}
	for n, i := range of {
		at[i] = shares[n]
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(at[k], at[i]) })
	keep := slices.IndexFunc(order, func(i int) bool { return at[i] < mixed })
	if keep < 0 {
		keep = len(order) - 1
	}
	order = order[:max(1, min(keep, max(mostCalls, len(order)-1)))]
	slices.Sort(order)
	return order
}

// candidates are the rows that a mix may hold.
func (b *Board) candidates() (out []int) {
	for i := range b.Rows {
		if b.Rows[i].Group == 1 || b.answers(i) {
			out = append(out, i)
		}
	}
	return out
}

// answers reports whether a row gives up less to a usual concept than every call of the
// first group, beyond what the engine may be off by.
func (b *Board) answers(i int) bool {
	for k := range b.Concepts {
		if rare*b.Concepts[k].Plays < b.Covered {
			continue
		}
		best := math.Inf(1)
		for n := range b.Rows {
			if b.Rows[n].Group == 1 {
				best = min(best, b.Rows[n].Cells[k].Points)
			}
		}
		if best-b.Rows[i].Cells[k].Points > z95*math.Sqrt2*b.Concepts[k].own() {
			return true
		}
	}
	return false
}

// open is the part of their plays that the counts leave open.
func (b *Board) open() float64 { return min(1, spreadAt1/math.Sqrt(float64(max(1, b.Covered)))) }

// turned is what a row gives up when they turn to concept k as far as that is open.
func (b *Board) turned(i, k int) float64 {
	return (1-b.open())*b.Rows[i].Points + b.open()*b.Rows[i].Cells[k].Points
}

func (b *Board) game(of []int) [][]float64 {
	out := make([][]float64, len(of))
	for n, i := range of {
		for k := range b.Concepts {
			out[n] = append(out[n], -b.turned(i, k))
		}
	}
	return out
}

// share writes a solution down, with what each call is for and what it costs to call the
// first alone.
func (b *Board) share(of []int, s mix.Solution) {
	b.MixPoints, b.MixValue = -s.Value, 0
	alone := math.Inf(-1)
	for k := range b.Concepts {
		success := 0.0
		for n, i := range of {
			success += s.Rows[n] * b.Rows[i].Cells[k].Stress
		}
		b.MixValue = max(b.MixValue, success)
		alone = max(alone, b.turned(0, k))
	}
	b.Predictable = max(0, alone-b.MixPoints)
	for n, i := range of {
		b.Rows[i].Share, b.Rows[i].For = s.Rows[n], b.purpose(i, of)
	}
}

// purpose is the concept against which a call of a mix wins most over the others in it,
// by how often it is run.
func (b *Board) purpose(i int, of []int) string {
	best, at := 0.0, -1
	for k := range b.Concepts {
		others := 0.0
		for _, n := range of {
			others += b.Rows[n].Cells[k].Points / float64(len(of))
		}
		if d := float64(b.Concepts[k].Plays) * (others - b.Rows[i].Cells[k].Points); d > best {
			best, at = d, k
		}
	}
	if at < 0 {
		return "over everything they run"
	}
	return "best of these against " + b.Concepts[at].Concept + " from " + b.Concepts[at].SetName
}
