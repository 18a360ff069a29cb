package tally

// A pile is the plays of one cell while they are counted.
type pile struct {
	key    uint64
	n      int
	few    []few    // plays one by one, until there are too many
	counts []uint32 // or a row
	order  []uint64
}

// A few is what a row would count of one play.
type few [ofAll]uint16

// A tally is one worker's piles.
type tally struct {
	q     *question
	dense []int32 // pile of a key, from 1; nil: there could be too many keys
	found map[uint64]int32
	piles []*pile
	// Of the segment at hand: plays that met the filters, their keys, their piles, what a row
	// would count of them.
	rows  []uint16
	keys  []uint64
	whose []*pile
	few   []few
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
			weighSome(t.keys, t.rows, s.narrowOf(w), radix, 0, true)
		} else {
			weighSome(t.keys, t.rows, s.wideOf(w), radix, 0, true)
		}
	}
	t.pile()
	t.count(s)
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

// count adds every play to its pile.
func (t *tally) count(s *span) {
	t.few = room(t.few, len(t.rows))
	for k, at := range ticked {
		switch w := s.where[at]; w.kind {
		case same:
			for i := range t.few {
				t.few[i][k] = uint16(w.at)
			}
		case inNarrow:
			note(t.few, k, t.rows, s.narrowOf(w))
		case inWide:
			note(t.few, k, t.rows, s.wideOf(w))
		}
	}
	for i := range t.few {
		t.whose[i].add(&t.few[i], &t.q.im.row)
	}
}

func note[T uint8 | uint16](all []few, k int, rows []uint16, codes []T) {
	for i, r := range rows {
		all[i][k] = uint16(codes[r])
	}
}

func (p *pile) add(f *few, r *layout) {
	p.n++
	if p.counts != nil {
		p.tick(f, r)
		return
	}
	p.few = append(p.few, *f)
	if len(p.few) > r[ofAll]/4 {
		p.spread(make([]uint32, r[ofAll]), r)
	}
}

func (p *pile) tick(f *few, r *layout) {
	for k, c := range f {
		p.counts[r[k]+int(c)]++
	}
}

// spread goes over to a row.
func (p *pile) spread(counts []uint32, r *layout) {
	p.counts = counts
	for i := range p.few {
		p.tick(&p.few[i], r)
	}
	p.few = nil
}

// merged puts the workers' piles of the same key together.
func merged(ts []*tally) []*pile {
	if len(ts) == 1 {
		return ts[0].piles
	}
	first := map[uint64]*pile{}
	for _, t := range ts {
		for _, p := range t.piles {
			if to := first[p.key]; to != nil {
				to.take(p, &t.q.im.row)
			} else {
				first[p.key] = p
			}
		}
	}
	out := make([]*pile, 0, len(first))
	for _, p := range first {
		out = append(out, p)
	}
	return out
}

func (p *pile) take(q *pile, r *layout) {
	if p.counts == nil && q.counts != nil {
		p.spread(make([]uint32, r[ofAll]), r)
	}
	for i := range q.few {
		p.add(&q.few[i], r)
	}
	if q.counts != nil {
		p.n += q.n
		for c, n := range q.counts {
			p.counts[c] += n
		}
	}
}
