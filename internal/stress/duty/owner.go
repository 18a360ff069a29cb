package duty

import (
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
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

// Owner returns the man who owes receiver i by the rules once everything has
// declared: the one with the most personal duty, else the one in whose zone he
// is, of several the one who reads him earliest; -1 when nobody does.
func Owner(s *Setup, i int) int {
	const settled field.Seconds = 3
	best, rank := -1, 0
	path := s.Picture.Receivers[i].Path
	caught := settled + 1 // where the ball would find him, not where he turns
	if n := len(path.Breaks); n > 0 {
		caught = max(settled, path.Breaks[n-1].T+1)
	}
	at := path.At(caught)
	for j := range s.Men {
		for _, d := range s.Men[j].Owed(settled) {
			r := 0
			switch {
			case d.Verb == call.InZone:
				if d.Zone.Holds(at) {
					r = 3
				}
			case d.Target != i || d.Verb == call.Squeeze || d.Verb == call.Bump:
			case d.Verb == call.Man, d.Verb == call.Carry, d.Verb == call.Under:
				r = 5
			default:
				r = 4
			}
			if d.Help {
				r = min(r, 2)
			}
			if r > rank || r == rank && r > 0 && s.order(j, i) < s.order(best, i) {
				best, rank = j, r
			}
		}
	}
	return best
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
