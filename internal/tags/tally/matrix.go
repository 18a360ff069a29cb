package tally

import "slices"

// A matrix is one worker's count where there are few cells beside many plays: every cell that
// there could be has a row of its own. A play is counted by adding one to four numbers of it; nothing is
// looked up and nothing branches on what the play is.
type matrix struct {
	q      *question
	counts []uint32 // rows
	vary   []int    // dimensions whose codes differ within the span at hand
	rows   []uint16 // plays of it that met the filters; all of them where every is true
	every  bool
	keys   []uint32 // where the row of a play's cell begins
}

// mostInMatrix is how many numbers a matrix may have: 16 MB.
const mostInMatrix = 1 << 22

// fits reports whether a matrix is worth while: clearing and reading it must cost
// less than counting the plays.
func (q *question) fits() bool {
	all := q.count * uint64(q.im.row[ofAll])
	return q.count <= mostDense && all <= mostInMatrix && (all <= 4*uint64(q.im.plays) || q.im.cubes.from == 0)
}

func newMatrix(q *question) *matrix {
	return &matrix{q: q, counts: make([]uint32, int(q.count)*q.im.row[ofAll])}
}

// add counts plays.
func (m *matrix) add(s *span) {
	if !m.sift(s) {
		return
	}
	m.key(s)
	for i, at := range ticked {
		m.tick(s, at, m.q.im.row[i])
	}
}

// sift leaves the plays in rows that meet the filters; false: none does.
func (m *matrix) sift(s *span) bool {
	m.every = true
	for _, f := range m.q.plays {
		switch w := s.where[f.at]; {
		case w.kind == same && f.let[w.at] == 0:
			return false
		case w.kind == same:
		case w.kind == inNarrow && m.every:
			m.every, m.rows = false, first(m.rows, s.narrowOf(w), f.let)
		case w.kind == inNarrow:
			m.rows = second(m.rows, s.narrowOf(w), f.let)
		case m.every:
			m.every, m.rows = false, first(m.rows, s.wideOf(w), f.let)
		default:
			m.rows = second(m.rows, s.wideOf(w), f.let)
		}
	}
	return m.every || len(m.rows) > 0
}

// first lists the plays that a filter lets through, without a branch.
func first[T uint8 | uint16](rows []uint16, codes []T, let []uint8) []uint16 {
	rows = room(rows, len(codes))
	n := 0
	for r, c := range codes {
		rows[n] = uint16(r)
		n += int(let[c])
	}
	return rows[:n]
}

// second leaves those of the plays listed that another filter lets through, without a branch: which
// play is left cannot be foreseen.
func second[T uint8 | uint16](rows []uint16, codes []T, let []uint8) []uint16 {
	n := 0
	for _, r := range rows {
		rows[n] = r
		n += int(let[codes[r]])
	}
	return rows[:n]
}

// room is a list of n that is written over.
func room[T any](list []T, n int) []T { return slices.Grow(list[:0], n)[:n] }

// key finds every play's cell.
func (m *matrix) key(s *span) {
	stride := uint32(m.q.im.row[ofAll])
	base := uint32(0)
	m.vary = m.vary[:0]
	games := false
	for i, d := range m.q.by {
		switch {
		case d < len(OfGame):
			games = true
		case s.where[d-len(OfGame)].kind == same:
			base += s.where[d-len(OfGame)].at * uint32(m.q.radix[i]) * stride
		default:
			m.vary = append(m.vary, i)
		}
	}
	n := len(m.rows)
	if m.every {
		n = s.to - s.from
	}
	m.keys = room(m.keys, n)
	begun := games || len(m.vary) == 0
	switch {
	case games:
		m.ofGames(s, base)
	case begun:
		for i := range m.keys {
			m.keys[i] = base
		}
	}
	for _, i := range m.vary {
		m.weigh(s, s.where[m.q.by[i]-len(OfGame)], uint32(m.q.radix[i])*stride, base, begun)
		begun = true
	}
}

// weigh adds what the codes of a column weigh, to what the keys have if they are begun.
func (m *matrix) weigh(s *span, w spot, radix, base uint32, begun bool) {
	switch {
	case w.kind == inNarrow && m.every:
		weigh(m.keys, s.narrowOf(w), radix, base, begun)
	case w.kind == inNarrow:
		weighSome(m.keys, m.rows, s.narrowOf(w), radix, base, begun)
	case m.every:
		weigh(m.keys, s.wideOf(w), radix, base, begun)
	default:
		weighSome(m.keys, m.rows, s.wideOf(w), radix, base, begun)
	}
}

// ofGames begins the keys with what plays have of their games.
func (m *matrix) ofGames(s *span, base uint32) {
	i := 0
	for g := range s.games {
		p := &s.games[g]
		key := base + uint32(m.q.ofGame(p))*uint32(m.q.im.row[ofAll])
		for to := p.to - s.from; i < len(m.keys) && (m.every && i < to || !m.every && int(m.rows[i]) < to); i++ {
			m.keys[i] = key
		}
	}
}

func weigh[T uint8 | uint16](keys []uint32, codes []T, radix, base uint32, begun bool) {
	keys = keys[:len(codes)]
	if !begun {
		for i, c := range codes {
			keys[i] = base + uint32(c)*radix
		}
		return
	}
	for i, c := range codes {
		keys[i] += uint32(c) * radix
	}
}

func weighSome[K uint32 | uint64, T uint8 | uint16](keys []K, rows []uint16, codes []T, radix, base K, begun bool) {
	keys = keys[:len(rows)]
	if !begun {
		for i, r := range rows {
			keys[i] = base + K(codes[r])*radix
		}
		return
	}
	for i, r := range rows {
		keys[i] += K(codes[r]) * radix
	}
}

// tick adds every play to its cell's number, from one on, of its code in a column.
func (m *matrix) tick(s *span, at, from int) {
	w, counts := s.where[at], m.counts[from:]
	switch {
	case w.kind == same && w.at == 0 && at != len(OfPlay): // unknown
	case w.kind == same:
		for _, k := range m.keys {
			counts[k+w.at]++
		}
	case w.kind == inNarrow && m.every:
		tick(counts, m.keys, s.narrowOf(w))
	case w.kind == inNarrow:
		tickSome(counts, m.keys, m.rows, s.narrowOf(w))
	case m.every:
		tick(counts, m.keys, s.wideOf(w))
	default:
		tickSome(counts, m.keys, m.rows, s.wideOf(w))
	}
}

func tick[T uint8 | uint16](counts, keys []uint32, codes []T) {
	keys = keys[:len(codes)]
	for i, c := range codes {
		counts[keys[i]+uint32(c)]++
	}
}

func tickSome[T uint8 | uint16](counts, keys []uint32, rows []uint16, codes []T) {
	keys = keys[:len(rows)]
	for i, r := range rows {
		counts[keys[i]+uint32(codes[r])]++
	}
}

// take adds another worker's numbers.
func (m *matrix) take(o *matrix) {
	for i, n := range o.counts {
		m.counts[i] += n
	}
}

// piles are the cells that have a play.
func (m *matrix) piles() (out []*pile) {
	r := &m.q.im.row
	for k := range int(m.q.count) {
		of := m.counts[k*r[ofAll] : (k+1)*r[ofAll]]
		n := 0
		for _, c := range of[:r[ofGains]] {
			n += int(c)
		}
		if n > 0 {
			out = append(out, &pile{key: uint64(k), n: n, counts: of})
		}
	}
	return out
}
