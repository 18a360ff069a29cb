package handout

import "slices"

// sides are those on which men of the page play apart, none where it makes no difference.
func (x *packet) sides() []string {
	both := []string{"strong", "weak"}
	for _, side := range both {
		if !slices.ContainsFunc(x.men, func(p *Position) bool { return slices.Contains(p.Sides, side) }) {
			return nil
		}
	}
	return both
}

// on is the page of those who play on one side.
func (x *packet) on(side string) packet {
	out := packet{group: x.group, side: side}
	for _, p := range x.men {
		if slices.Contains(p.Sides, side) {
			out.men = append(out.men, p.on(side))
		}
	}
	return out
}

// on is a man as he plays on one side.
func (p *Position) on(side string) *Position {
	if len(p.Sides) == 1 {
		return p
	}
	one := *p
	one.Sides, one.Taught, one.Fits, one.Shown = []string{side}, nil, nil, p.bySide[side]
	for _, t := range p.Taught {
		if !slices.Contains(t.Sides, side) {
			continue
		}
		t.Sides, t.Align = one.Sides, slices.Clone(t.Align)
		for i := range t.Align {
			a := &t.Align[i]
			a.Sets = slices.DeleteFunc(slices.Clone(a.Sets), func(s Stand) bool { return s.Side != side })
		}
		t.looks = slices.DeleteFunc(slices.Clone(t.looks), func(l look) bool { return l.side != side })
		one.Taught = append(one.Taught, t)
	}
	for _, f := range p.Fits {
		if f.side == side {
			one.Fits = append(one.Fits, f)
		}
	}
	return &one
}
