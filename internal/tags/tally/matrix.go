package tally

import "slices"

// A matrix is one worker's count where there are few cells beside many plays: every cell that
// there could be has a place of its own, and a number by outcome. A play is counted by
// adding one; nothing is looked up and nothing branches on what it is.
type matrix struct {
	q      *question
	stride int      // outcomes
	counts []uint32 // cell times stride, plus outcome
	depths []int64  // by cell, packed
	times  []spell  // by cell
	vary   []int    // dimensions whose codes differ within the segment at hand
	rows   []uint16 // plays of it that met the filters; all of them where every is true
	every  bool
	keys   []uint32
	codes  []uint16
}

// A spell is the time of so many throws, in millionths of a second.
type spell struct{ sum, n int64 }

// mostInMatrix is how many numbers a matrix may have: 16 MB.
const mostInMatrix = 1 << 22

// fits reports whether a matrix is worth while: clearing and reading it must cost
// less than counting the plays.
func (q *question) fits() bool {
	all := q.count * uint64(len(q.im.outcomes))
	return q.count <= mostDense && all <= mostInMatrix && all <= 4*uint64(q.im.plays)
}

func newMatrix(q *question) *matrix {
	m := &matrix{q: q, stride: len(q.im.outcomes)}
	m.counts = make([]uint32, int(q.count)*m.stride)
	m.depths, m.times = make([]int64, q.count), make([]spell, q.count)
	return m
}

// add counts a game.
func (m *matrix) add(s *segment) {
	if !m.q.lets(s) || !m.sift(s) {
		return
	}
	m.key(s)
	m.outcomes(s)
	m.throws(s)
}

// sift leaves the plays in rows that meet the filters; false: none does.
func (m *matrix) sift(s *segment) bool {
	m.every, m.rows = true, m.rows[:0]
	for _, f := range m.q.plays {
		codes, one := m.column(s, f.at)
		if codes == nil {
			if f.let[one] == 0 {
				return false
			}
			continue
		}
		if m.every {
			m.every, m.rows = false, first(m.rows, codes, f.let)
		} else {
			m.rows = second(m.rows, codes, f.let)
		}
	}
	return m.every || len(m.rows) > 0
}

// first lists the plays that a filter lets through, without a branch.
func first(rows, codes []uint16, let []uint8) []uint16 {
	rows = room(rows, len(codes))
	n := 0
	for r, c := range codes {
		rows[n] = uint16(r)
		n += int(let[c])
	}
	return rows[:n]
}

// second leaves those of the plays listed that another filter lets through; codes are theirs.
func second(rows, codes []uint16, let []uint8) []uint16 {
	n := 0
	for i, c := range codes {
		rows[n] = rows[i]
		n += int(let[c])
	}
	return rows[:n]
}

// column is the codes of the plays listed, until the next is asked for; nil where all have one.
func (m *matrix) column(s *segment, at int) (codes []uint16, one uint32) {
	w := s.where[at]
	switch {
	case w.kind == same:
		return nil, w.at
	case w.kind == inWide && m.every:
		return s.wide[w.at : int(w.at)+s.n], 0
	case w.kind == inWide:
		m.codes = picked(m.codes, s.wide[w.at:int(w.at)+s.n], m.rows)
	case m.every:
		m.codes = room(m.codes, s.n)
		for i, c := range s.narrow[w.at : int(w.at)+s.n] {
			m.codes[i] = uint16(c)
		}
	default:
		m.codes = picked(m.codes, s.narrow[w.at:int(w.at)+s.n], m.rows)
	}
	return m.codes, 0
}

// room is a list of n that is written over.
func room[T any](list []T, n int) []T { return slices.Grow(list[:0], n)[:n] }

func picked[T uint8 | uint16](into []uint16, col []T, rows []uint16) []uint16 {
	into = room(into, len(rows))
	for i, r := range rows {
		into[i] = uint16(col[r])
	}
	return into
}

// key finds every play's cell.
func (m *matrix) key(s *segment) {
	base := uint32(0)
	m.vary = m.vary[:0]
	for i, d := range m.q.by {
		switch {
		case d < len(OfGame):
			base += s.shared[d] * uint32(m.q.radix[i])
		case s.where[d-len(OfGame)].kind == same:
			base += s.where[d-len(OfGame)].at * uint32(m.q.radix[i])
		default:
			m.vary = append(m.vary, i)
		}
	}
	n := len(m.rows)
	if m.every {
		n = s.n
	}
	m.keys = room(m.keys, n)
	for i := range m.keys {
		m.keys[i] = base
	}
	for _, i := range m.vary {
		codes, _ := m.column(s, m.q.by[i]-len(OfGame))
		radix, keys := uint32(m.q.radix[i]), m.keys[:len(codes)]
		for k, c := range codes {
			keys[k] += uint32(c) * radix
		}
	}
}

// outcomes adds every play to its cell's number of its outcome.
func (m *matrix) outcomes(s *segment) {
	codes, one := m.column(s, len(OfPlay))
	stride := uint32(m.stride)
	if codes == nil {
		for _, k := range m.keys {
			m.counts[k*stride+one]++
		}
		return
	}
	keys := m.keys[:len(codes)]
	for i, c := range codes {
		m.counts[keys[i]*stride+uint32(c)]++
	}
}

// throws adds up depths and times; who has none adds nothing.
func (m *matrix) throws(s *segment) {
	if codes, one := m.column(s, atDepth); codes != nil || one > 0 {
		for i, k := range m.keys {
			if codes != nil {
				one = uint32(codes[i])
			}
			m.depths[k] += m.q.im.depths[one]
		}
	}
	if codes, one := m.column(s, atTime); codes != nil || one > 0 {
		for i, k := range m.keys {
			if codes != nil {
				one = uint32(codes[i])
			}
			t := &m.q.im.times[one]
			m.times[k].sum += t.sum
			m.times[k].n += t.n
		}
	}
}

// take adds another worker's numbers.
func (m *matrix) take(o *matrix) {
	for i, n := range o.counts {
		m.counts[i] += n
	}
	for k := range m.depths {
		m.depths[k] += o.depths[k]
		m.times[k].sum += o.times[k].sum
		m.times[k].n += o.times[k].n
	}
}

// piles are the cells that have a play.
func (m *matrix) piles() (out []*pile) {
	for k := range m.depths {
		of := m.counts[k*m.stride : (k+1)*m.stride]
		n := 0
		for _, c := range of {
			n += int(c)
		}
		if n > 0 {
			out = append(out, &pile{key: uint64(k), n: n, many: of, depths: m.depths[k], times: m.times[k].sum,
				timesOf: m.times[k].n})
		}
	}
	return out
}
