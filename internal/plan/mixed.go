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
// others only where they do better against a usual concept beyond doubt; or what a
// coordinator's limits ask for (nil: none).
func (b *Board) mix(within *Limits) {
	b.MixValue, b.MixPoints, b.Predictable = nil, nil, nil
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
	for of := b.within(within); ; {
		s, err := b.solve(of, within)
		if err != nil {
			b.MixMissing = "the mix could not be solved: " + err.Error()
			return
		}
		fewer := b.without(of, s.Rows, within)
		if len(fewer) == len(of) {
			b.share(of, s, within)
			return
		}
		of = fewer
	}
}

// solve mixes rows within limits.
func (b *Board) solve(of []int, within *Limits) (mix.Solution, error) {
	if within.none() {
		return mix.Solve(b.game(of))
	}
	low, high := make([]float64, len(of)), make([]float64, len(of))
	for n, i := range of {
		low[n], high[n] = within.of(b.Rows[i].Call)
	}
	return mix.Within(b.game(of), low, high)
}

// within are the rows that a mix may hold under limits: those that ours would, those with a
// floor, and where these may not be called often enough the next that give up least.
func (b *Board) within(l *Limits) (out []int) {
	if l.none() {
		return b.candidates()
	}
	usual, room := b.candidates(), 0.0
	for i := range b.Rows {
		low, high := l.of(b.Rows[i].Call)
		if high > 0 && (low > 0 || l.Only || slices.Contains(usual, i)) {
			out, room = append(out, i), room+high
		}
	}
	for i := range b.Rows {
		if _, high := l.of(b.Rows[i].Call); high > 0 && room < 1-slack && !slices.Contains(out, i) {
			out, room = append(out, i), room+high
		}
	}
	slices.Sort(out)
	return out
}

// without leaves out the calls with the smallest shares: all that are hardly called, or
// else one where they are too many; none that has a floor, or without whom the others may
// not be called often enough.
func (b *Board) without(of []int, shares []float64, l *Limits) []int {
	at := map[int]float64{}
	room := 0.0
	for n, i := range of {
		_, high := l.of(b.Rows[i].Call)
		at[i], room = shares[n], room+high
	}
	order := slices.Clone(of)
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(at[k], at[i]) })
	slices.Reverse(order)
	keep := slices.Clone(of)
	for _, i := range order {
		low, high := l.of(b.Rows[i].Call)
		if low > 0 || room-high < 1-slack || len(keep) == 1 {
			continue
		}
		if at[i] >= mixed && (len(keep) <= l.most() || len(keep) < len(of)) {
			continue
		}
		keep = slices.DeleteFunc(keep, func(k int) bool { return k == i })
		room -= high
	}
	return keep
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
func (b *Board) share(of []int, s mix.Solution, within *Limits) {
	value, points, alone := 0.0, -s.Value, math.Inf(-1)
	for k := range b.Concepts {
		success := 0.0
		for n, i := range of {
			success += s.Rows[n] * b.Rows[i].Cells[k].Stress
		}
		value = max(value, success)
		alone = max(alone, b.turned(0, k))
	}
	predictable := max(0, alone-points)
	b.MixValue, b.MixPoints, b.Predictable = &value, &points, &predictable
	for n, i := range of {
		b.Rows[i].Share, b.Rows[i].For = s.Rows[n], b.purpose(i, of)
		if held := within.held(b.Rows[i].Call, s.Rows[n]); held != "" {
			b.Rows[i].For += "; " + held
		}
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
