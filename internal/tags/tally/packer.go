package tally

import (
	"bytes"
	"slices"
)

// A packer packs games into segments.
type packer struct {
	games []played
	codes []*draft // of the games
	n     int
	done  []*segment
}

// game takes another game, later by ID than the one before.
func (p *packer) game(g played, d *draft) {
	if p.n+d.n > inSegment {
		p.pack()
	}
	g.from, g.to = p.n, p.n+d.n
	p.games, p.codes, p.n = append(p.games, g), append(p.codes, d), p.n+d.n
}

// segments are those of all games taken.
func (p *packer) segments() []*segment {
	p.pack()
	return p.done
}

func (p *packer) pack() {
	if p.n == 0 {
		return
	}
	s := &segment{games: slices.Clone(p.games), rows: p.n, where: make([]spot, len(OfPlay)+1)}
	col := make([]uint16, 0, p.n)
	for i := range s.where {
		col = col[:0]
		for _, d := range p.codes {
			col = append(col, d.codes[i]...)
		}
		s.column(i, col)
	}
	s.narrow, s.wide = slices.Clone(s.narrow), slices.Clone(s.wide)
	p.done = append(p.done, s)
	p.games, p.codes, p.n = p.games[:0], p.codes[:0], 0
}

// column adds a column as narrow as it goes.
func (s *segment) column(i int, col []uint16) {
	least, most := slices.Min(col), slices.Max(col)
	switch {
	case least == most:
		s.where[i] = spot{same, uint32(most)}
	case most < 256:
		s.where[i] = spot{inNarrow, uint32(len(s.narrow))}
		for _, c := range col {
			s.narrow = append(s.narrow, uint8(c))
		}
	default:
		s.where[i] = spot{inWide, uint32(len(s.wide))}
		s.wide = append(s.wide, col...)
	}
}

// together packs the games of segments anew.
func together(of []*segment) []*segment {
	type from struct {
		g played
		s *segment
	}
	var all []from
	for _, s := range of {
		for _, g := range s.games {
			all = append(all, from{g, s})
		}
	}
	slices.SortFunc(all, func(x, y from) int { return bytes.Compare(x.g.id[:], y.g.id[:]) })
	p := &packer{}
	for _, x := range all {
		p.game(x.g, x.s.draft(x.g.from, x.g.to))
	}
	return p.segments()
}

// draft is rows of a segment as they came in.
func (s *segment) draft(from, to int) *draft {
	d := &draft{codes: make([][]uint16, len(s.where)), n: to - from}
	for i, w := range s.where {
		col := make([]uint16, d.n)
		for r := range col {
			col[r] = uint16(s.code(w, uint16(from+r)))
		}
		d.codes[i] = col
	}
	return d
}
