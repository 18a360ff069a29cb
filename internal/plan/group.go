package plan

import (
	"cmp"
	"context"
	"math"
	"slices"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// group sorts rows into those than which no call of the board is better beyond doubt (1) and
// the others (2), each least given up first. Two calls face the same plays and the same
// pictures, so only their difference in each concept counts, and what each is off by itself.
// What they have run is not all they have: to those who stay, one play is added of each
// picture that every offense is taken to have (a rule of succession; Laplace 1814). A hole
// that nobody has thrown into yet is seen so, the less of it the more plays were counted.
func (b *Board) group(ctx context.Context, calls []playable) error {
	if len(b.Rows) == 1 { // a trial's: nobody can beat it
		b.Rows[0].Group = 1
		return nil
	}
	slices.SortStableFunc(b.Rows, func(x, y Row) int { return cmp.Compare(x.Points, y.Points) })
	all := make([]held, len(b.Rows))
	for i := range b.Rows {
		all[i] = held{row: i}
		for c := range b.Concepts {
			all[i].add(&b.Rows[i].Cells[c], &b.Concepts[c])
		}
	}
	in := unbeaten(all)
	others, err := b.everybody()
	if err != nil {
		return err
	}
	by, left := map[string]playable{}, make([]playable, len(in))
	for _, c := range calls {
		by[c.Name] = c
	}
	for k := range in {
		left[k] = by[b.Rows[in[k].row].Call]
	}
	cells, err := others.cells(ctx, left)
	if err != nil {
		return err
	}
	for i := range others.Concepts {
		for k := range in {
			in[k].add(&cells[k][i], &others.Concepts[i])
		}
	}
	for i := range b.Rows {
		b.Rows[i].Group = 2
	}
	for _, x := range unbeaten(in) {
		b.Rows[x.row].Group = 1
	}
	slices.SortStableFunc(b.Rows, func(x, y Row) int { return x.Group - y.Group })
	return nil
}

// everybody is what every offense is taken to have, one play each, on the downs of the board
// where it was seen most; nothing where nothing is on the board.
func (b *Board) everybody() (*Repertoire, error) {
	if b.Run == nil || len(b.Concepts) == 0 {
		return &Repertoire{}, nil
	}
	out := NewRepertoire(b.Run.params.Level, b.Run.terms)
	faced := b.mostFaced()
	for _, e := range picture.Library() {
		if !e.Everybody {
			continue
		}
		c := Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Plays: 1, Routes: e.Routes, Faced: faced}
		spec := c.spec(b.Run.params.Level)
		spec.Rest = e.Rest
		if err := out.Add(c, spec); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// mostFaced are the downs of the board on the stretch of the field where most plays were.
func (b *Board) mostFaced() (out []tags.Faced) {
	by := make([][]tags.Faced, len(stretches))
	plays, most := make([]int, len(stretches)), 0
	for i := range b.Concepts {
		for _, f := range b.Concepts[i].Faced {
			at := stretchOf(f.YardsToGoal)
			by[at] = append(by[at], f)
			if plays[at] += f.Plays; plays[at] > plays[most] {
				most = at
			}
		}
	}
	return by[most]
}

// A held is a row with what it is held against.
type held struct {
	row      int
	cells    []*Cell
	concepts []*Concept
}

func (h *held) add(x *Cell, c *Concept) {
	h.cells, h.concepts = append(h.cells, x), append(h.concepts, c)
}

// unbeaten are those than which none is better beyond doubt.
func unbeaten(all []held) (out []held) {
	for i := range all {
		if !slices.ContainsFunc(all, func(o held) bool { d, half := all[i].apart(&o); return d > half }) {
			out = append(out, all[i])
		}
	}
	return out
}

// apart is by how much a call gives up more than another, and how far that may be off. What a
// call is off by itself is taken to come from each of its men alike, and from those of another
// call alike who do the same: two calls that differ in one man are off by his part alone.
func (h *held) apart(o *held) (difference, half float64) {
	n, off, second := 0.0, 0.0, 0.0
	for _, c := range h.concepts {
		n += float64(c.Plays)
	}
	if n == 0 {
		return 0, 0
	}
	for k, c := range h.concepts {
		w, own, d := float64(c.Plays)/n, c.own(), h.cells[k].Points-o.cells[k].Points
		difference, second = difference+w*d, second+w*d*d
		off += 2 * w * w * own * own * (1 - h.cells[k].places.alike(o.cells[k].places))
	}
	variance := max(0, second-difference*difference)/(n+1) + off
	return difference, z95 * math.Sqrt(variance)
}
