package tally

// A pile is the plays of one cell while they are counted: how many there are of each
// outcome, and what is added up beside.
type pile struct {
	key            uint64
	n              int
	few            []uint16 // their outcomes, one by one, until there are too many
	many           []uint32 // or how many of each outcome
	depths         int64    // packed
	times, timesOf int64    // millionths of a second, and of how many throws
	order          []uint64
}

// A tally is one worker's piles.
type tally struct {
	q     *question
	dense []int32 // pile of a key, from 1; nil: there could be too many keys
	found map[uint64]int32
	piles []*pile
	// Of the segment at hand: plays that met the filters, their keys, their piles.
	rows  []uint16
	keys  []uint64
	whose []*pile
}

// mostDense is how many keys may have a place of their own: 1 MB.
const mostDense = 1 << 18

func newTally(q *question) *tally {
	t := &tally{q: q}
	if q.count <= mostDense {
		t.dense = make([]int32, q.count)
	} else {
		t.found = map[uint64]int32{}
	}
	return t
}

// add counts plays.
func (t *tally) add(s *span) {
	if !t.sift(s) {
		return
	}
	base := uint64(0)
	var vary []int
	games := false
	for i, d := range t.q.by {
		switch {
		case d < len(OfGame):
			games = true
		case s.where[d-len(OfGame)].kind == same:
			base += uint64(s.where[d-len(OfGame)].at) * t.q.radix[i]
		default:
			vary = append(vary, i)
		}
	}
	t.begin(s, base, games)
	for _, i := range vary {
		w, radix := s.where[t.q.by[i]-len(OfGame)], t.q.radix[i]
		if w.kind == inNarrow {
			weighSome(t.keys, t.rows, s.narrowOf(w), radix)
		} else {
			weighSome(t.keys, t.rows, s.wideOf(w), radix)
		}
	}
	t.pile()
	t.outcomes(s)
	t.throws(s)
}

// begin starts the keys with what all plays have, and with what they have of their games.
func (t *tally) begin(s *span, base uint64, games bool) {
	t.keys = room(t.keys, len(t.rows))
	g, key := -1, base
	for i, r := range t.rows {
		for games && (g < 0 || int(r) >= s.games[g].to-s.from) {
			g++
			key = base + t.q.ofGame(&s.games[g])
		}
		t.keys[i] = key
	}
}

// sift leaves the plays in rows that meet the filters; false: none does.
func (t *tally) sift(s *span) bool {
	t.rows = room(t.rows, s.to-s.from)
	for r := range t.rows {
		t.rows[r] = uint16(r)
	}
	for _, f := range t.q.plays {
		switch w := s.where[f.at]; w.kind {
		case same:
			if f.let[w.at] == 0 {
				return false
			}
		case inNarrow:
			t.rows = second(t.rows, s.narrowOf(w), f.let)
		case inWide:
			t.rows = second(t.rows, s.wideOf(w), f.let)
		}
	}
	return len(t.rows) > 0
}

// pile finds every play's pile.
func (t *tally) pile() {
	t.whose = t.whose[:0]
	for _, k := range t.keys {
		var at int32
		if t.dense != nil {
			at = t.dense[k]
		} else {
			at = t.found[k]
		}
		if at == 0 {
			t.piles = append(t.piles, &pile{key: k})
			at = int32(len(t.piles))
			if t.dense != nil {
				t.dense[k] = at
			} else {
				t.found[k] = at
			}
		}
		t.whose = append(t.whose, t.piles[at-1])
	}
}

// code is what row r has in a column.
func (s *segment) code(w spot, r uint16) uint32 {
	switch w.kind {
	case inNarrow:
		return uint32(s.narrow[w.at+uint32(r)])
	case inWide:
		return uint32(s.wide[w.at+uint32(r)])
	}
	return w.at
}

// outcomes adds every play to its pile's number of its outcome.
func (t *tally) outcomes(s *span) {
	w, all := s.where[len(OfPlay)], len(t.q.im.outcomes)
	for i, r := range t.rows {
		t.whose[i].add(uint16(s.code(w, uint16(s.from)+r)), all)
	}
}

func (p *pile) add(c uint16, all int) {
	p.n++
	if p.many != nil {
		p.many[c]++
		return
	}
	p.few = append(p.few, c)
	if len(p.few) > all {
		p.spread(all)
	}
}

// spread goes over to numbers by outcome.
func (p *pile) spread(all int) {
	p.many = make([]uint32, all)
	for _, c := range p.few {
		p.many[c]++
	}
	p.few = nil
}

// throws adds up depths and times.
func (t *tally) throws(s *span) {
	for _, x := range []struct {
		at  int
		add func(p *pile, code uint32)
	}{
		{atDepth, func(p *pile, code uint32) { p.depths += t.q.im.depths[code] }},
		{atTime, func(p *pile, code uint32) { p.times += t.q.im.times[code].sum; p.timesOf++ }},
	} {
		w := s.where[x.at]
		if w.kind == same && w.at == 0 {
			continue
		}
		for i, r := range t.rows {
			if c := s.code(w, uint16(s.from)+r); c != 0 {
				x.add(t.whose[i], c)
			}
		}
	}
}

// merged puts the workers' piles of the same key together.
func merged(ts []*tally) []*pile {
	if len(ts) == 1 {
		return ts[0].piles
	}
	all := len(ts[0].q.im.outcomes)
	first := map[uint64]*pile{}
	for _, t := range ts {
		for _, p := range t.piles {
			to := first[p.key]
			if to == nil {
				first[p.key] = p
				continue
			}
			to.take(p, all)
		}
	}
	out := make([]*pile, 0, len(first))
	for _, p := range first {
		out = append(out, p)
	}
	return out
}

func (p *pile) take(q *pile, all int) {
	p.depths, p.times, p.timesOf = p.depths+q.depths, p.times+q.times, p.timesOf+q.timesOf
	if p.many == nil && q.many != nil {
		p.spread(all)
	}
	p.n += q.n
	switch {
	case p.many == nil:
		p.few = append(p.few, q.few...)
	case q.many == nil:
		for _, c := range q.few {
			p.many[c]++
		}
	default:
		for c, n := range q.many {
			p.many[c] += n
		}
	}
}
