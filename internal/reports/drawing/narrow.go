package drawing

import (
	"slices"

	"overhang/internal/stress"
	"overhang/internal/stress/field"
)

// closeTo is how far to each side of the ball a close drawing reaches; a half line begins a
// yard past the center.
const (
	closeTo field.Yards = 16
	halfway field.Yards = 1.2
)

// narrow leaves away what lies outside of a close drawing.
func (b *builder) narrow() {
	if !b.Options.Close && !b.Options.HalfLine {
		return
	}
	lo, hi := -b.Field.Spot.Sideline(-1), b.Field.Spot.Sideline(1)
	b.Field.Left, b.Field.Right = max(lo, -closeTo), min(hi, closeTo)
	if b.Options.HalfLine {
		if b.pic.Play > 0 {
			b.Field.Left = -halfway
		} else {
			b.Field.Right = halfway
		}
	}
	b.Field.Top = b.closeTop()
	across := func(p field.Point) bool { return b.Field.Left <= p.X && p.X <= b.Field.Right }
	in := func(p field.Point) bool { return across(p) && p.Y <= b.Field.Top }
	here := func(ps []field.Point) bool {
		return !slices.ContainsFunc(ps, func(p field.Point) bool { return !across(p) })
	}
	stays := make([]bool, len(b.Men))
	for i := range b.Men {
		m := &b.Men[i]
		back := m.Kind == Passer || m.At.Y < -2
		stays[i] = in(m.At) || back && b.Options.HalfLine
		if back && !in(m.At) {
			b.Field.Left, b.Field.Right = min(b.Field.Left, m.At.X-1), max(b.Field.Right, m.At.X+1)
		}
	}
	b.Routes = slices.DeleteFunc(b.Routes, func(r Route) bool { return !stays[r.Man] || !here(r.Path) })
	b.Blocks = slices.DeleteFunc(b.Blocks, func(x Block) bool { return !here(x.Path) })
	b.Zones = slices.DeleteFunc(b.Zones, func(z Zone) bool { return !stays[z.Man] || !in(z.Mark) })
	b.Ties = slices.DeleteFunc(b.Ties, func(t Tie) bool { return !stays[t.Man] || !stays[t.Target] })
	b.Fits = slices.DeleteFunc(b.Fits, func(f Fit) bool { return !stays[f.Man] || !in(f.At) })
	for i := range b.Men {
		b.Men[i].Away = !stays[i]
	}
}

// closeTop is how deep a close drawing goes: past the run, and past the man it is about.
func (b *builder) closeTop() field.Yards {
	top := runTop + 1.5
	for i := range b.Men {
		if m := &b.Men[i]; m.Kind == Defender && (m.At.Y < 9 || m.Name == b.Options.Bare) {
			top = max(top, m.At.Y+2)
		}
	}
	return min(top, b.Field.Top)
}

// runFits puts every man of a run where he fits: in his gap, at the edge he forces, or, without
// either, where his run role stands. Who fits the run has no duty in the pass.
func (b *builder) runFits(r *stress.Result) {
	f, s := r.RunFit(), r.Rep.Setup
	fits := map[int]bool{}
	put := func(j int, at field.Point) {
		fits[b.defense0+j] = true
		b.Fits = append(b.Fits, Fit{b.defense0 + j, at})
	}
	for n, j := range f.Man {
		if j >= 0 {
			put(j, f.Gaps[n].At)
		}
	}
	for n, side := range []int{s.Strong, -s.Strong} {
		if j := f.Force[n]; j >= 0 && !fits[b.defense0+j] {
			put(j, field.Point{X: float64(side) * (s.EndMan(side) + 5), Y: 1})
		}
	}
	for _, j := range f.Spare {
		if spot, ok := place(&s.Men[j]); ok && !fits[b.defense0+j] {
			put(j, spot)
		}
	}
	b.Zones = slices.DeleteFunc(b.Zones, func(z Zone) bool { return fits[z.Man] })
	b.Ties = slices.DeleteFunc(b.Ties, func(t Tie) bool { return fits[t.Man] })
}
