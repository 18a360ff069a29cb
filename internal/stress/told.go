package stress

import (
	"cmp"
	"math"
	"slices"
)

// reduce makes one finding of one open throw: the two-way one if there is one.
func (f *finder) reduce() []Finding {
	out := f.all
	slices.SortStableFunc(out, byThrow)
	kept := out[:0]
	for _, x := range out {
		told := slices.ContainsFunc(kept, func(k Finding) bool {
			return k.Open == x.Open || k.Man == x.Man && k.Open == x.Other && k.Other == x.Open
		})
		if !told {
			x.Weak = x.From == x.To && x.To == f.g.Releases[len(f.g.Releases)-1]
			kept = append(kept, x)
		}
	}
	slices.SortStableFunc(kept, func(a, b Finding) int { return cmp.Compare(b.Over, a.Over) })
	return f.untwinned(kept)
}

// untwinned tells mirrored twins once: the same of both sides' men of one defender, against
// the same route of either side. The one of the play side stays.
func (f *finder) untwinned(all []Finding) []Finding {
	kept := all[:0]
	for _, x := range all {
		n := slices.IndexFunc(kept, func(k Finding) bool { return f.twins(&k, &x) })
		if n < 0 {
			kept = append(kept, x)
			continue
		}
		if f.g.Picture.Receivers[x.Open].Side == f.g.Picture.Play {
			kept[n] = x
		}
		kept[n].Twin = true
	}
	return kept
}

func (f *finder) twins(a, b *Finding) bool {
	m, n := &f.g.Setup.Men[a.Man], &f.g.Setup.Men[b.Man]
	return m.Slot.Defender == n.Slot.Defender && m.Side == -n.Side && math.Abs(a.Over-b.Over) < 0.05 &&
		f.mirrored(a.Open, b.Open) && f.mirrored(a.Other, b.Other)
}

// mirrored says that two threats are the same route of the same number on both sides, or
// both the same one thing that has no side.
func (f *finder) mirrored(a, b int) bool {
	if a == NoThreat || b == NoThreat || a == f.g.Run || b == f.g.Run {
		return a == b
	}
	x, y := &f.g.Picture.Receivers[a], &f.g.Picture.Receivers[b]
	return x.Side == -y.Side && x.Number == y.Number && x.Back == y.Back && x.Route == y.Route && x.Depth == y.Depth
}

// byThrow orders findings of one throw: two-way before traffic before single, then by size
// over time.
func byThrow(a, b Finding) int {
	return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(b.area, a.area), cmp.Compare(a.Man, b.Man))
}

func (x *Finding) rank() int {
	switch {
	case x.Single:
		return 2
	case x.Kind == Exchange && !x.Wrong:
		return 1
	}
	return 0
}
