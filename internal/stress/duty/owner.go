package duty

import (
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// ShiftAt returns which rule a man is under at a moment, with what he owes.
func (m *Man) ShiftAt(t field.Seconds) *Shift {
	k := 0
	for k+1 < len(m.Shifts) && m.Shifts[k+1].From <= t {
		k++
	}
	return &m.Shifts[k]
}

// Owed returns what a man owes at a moment.
func (m *Man) Owed(t field.Seconds) []Duty { return m.ShiftAt(t).Duties }

// Owner returns the man who owes receiver i by the rules once everything has declared: the one
// with the most personal duty, else the one in whose zone he is, of several the one who reads him
// earliest; -1 when nobody does. A route that breaks late is judged by what is owed then.
func Owner(s *Setup, i int) int {
	best, rank := -1, 0
	settled, caught := settles(s.Picture.Receivers[i].Path)
	at := s.Picture.Receivers[i].Path.At(caught)
	for j := range s.Men {
		for _, d := range s.Men[j].Owed(settled) {
			if r := d.rank(i, at); r > rank || r == rank && r > 0 && s.order(j, i) < s.order(best, i) {
				best, rank = j, r
			}
		}
	}
	return best
}

// settles is when what is owed on a route is settled, and when the ball finds him: not where he
// turns, but a second later.
func settles(path *picture.Path) (owed, caught field.Seconds) {
	const usual field.Seconds = 3
	owed, caught = usual, usual+1
	if n := len(path.Breaks); n > 0 {
		last := path.Breaks[n-1].T
		owed, caught = max(usual, last+Reaction), max(usual, last+1)
	}
	return owed, caught
}

// rank is how personally a duty gives receiver i, caught there: 0 not at all.
func (d *Duty) rank(i int, at field.Point) int {
	r := 4
	switch {
	case d.Verb == call.InZone:
		if !d.Zone.Holds(at) {
			return 0
		}
		r = 3
	case d.Target != i || d.Verb == call.Squeeze || d.Verb == call.Bump:
		return 0
	case d.Verb == call.Man, d.Verb == call.Carry, d.Verb == call.Under:
		r = 5
	}
	if d.Help {
		r = min(r, 2)
	}
	return r
}

// order is where receiver i stands in a man's keys; past them all when he does not.
func (s *Setup) order(j, i int) int {
	m, r := &s.Men[j], reader{Setup: s}
	for n, w := range m.Slot.Reads {
		if r.find(w, m.Side) == i {
			return n
		}
	}
	return len(m.Slot.Reads) + 9
}
