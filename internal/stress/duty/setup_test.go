package duty_test

import (
	"math"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// runs is a runner whose times are easy to follow: near 7.8 yards a second.
var runs = field.Speed{Max: 7.8, Tau: 0.7}

func pictured(t *testing.T, s picture.Spec) *picture.Picture {
	t.Helper()
	s.Receiver, s.Back = runs, runs
	p, err := picture.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// built are the built-in pictures, to either side.
func built(t *testing.T, left bool) (out []*picture.Picture) {
	t.Helper()
	for _, e := range picture.Library() {
		out = append(out, pictured(t, picture.Spec{Set: e.Set, Family: e.Family, Concept: e.Concept, Routes: e.Routes,
			Left: left}))
	}
	return out
}

// TestAPlayTurnedRoundIsOwedTheSame: every call of the book against every built-in picture run
// left is its mirror: the same men where the mirror has them, who owe the same at the same times.
func TestAPlayTurnedRoundIsOwedTheSame(t *testing.T) {
	t.Parallel()
	right, left := built(t, false), built(t, true)
	for _, c := range call.Book() {
		for i := range right {
			a, b := duty.New(c, right[i], 1, 7), duty.New(c, left[i], 1, 7)
			if a.Check != b.Check || a.Strong != -b.Strong || len(a.Men) != len(b.Men) {
				t.Fatalf("%s against %s: check %q and %q, strong %d and %d", c.Call.Name, right[i].Concept, a.Check, b.Check,
					a.Strong, b.Strong)
			}
			for j := range a.Men {
				if why := unlike(&a.Men[j], &b.Men[j]); why != "" {
					t.Errorf("%s against %s from %s: %s: %s", c.Call.Name, right[i], right[i].Set.Name,
						a.Men[j].Slot.Position(), why)
				}
			}
		}
	}
}

// unlike says in what a man is not the mirror of another.
func unlike(a, b *duty.Man) string {
	switch {
	case a.Slot != b.Slot || a.Side != -b.Side || a.Keys != b.Keys || a.Align != b.Align || a.Technique != b.Technique:
		return "another man, side or key"
	case a.At.Dist(b.At.Mirror()) > 1e-9:
		return "he stands elsewhere"
	case len(a.Shifts) != len(b.Shifts):
		return "he is told more or less often"
	}
	for k := range a.Shifts {
		x, y := &a.Shifts[k], &b.Shifts[k]
		if x.From != y.From || x.Rule != y.Rule || len(x.Duties) != len(y.Duties) {
			return "he is told something else, or at another time"
		}
		for n := range x.Duties {
			p, q := x.Duties[n], y.Duties[n]
			p.Zone, q.Zone = nil, nil // of his own side: mirrored with him
			if !duty.Same(p, q) {
				return "he owes something else"
			}
		}
	}
	return ""
}

// TestWhatAManIsToldIsInOrder: something from the snap on, later things later, each of them a
// rule of his own about men who are there.
func TestWhatAManIsToldIsInOrder(t *testing.T) {
	t.Parallel()
	for _, c := range call.Book() {
		for _, p := range built(t, false) {
			s := duty.New(c, p, 1, 7)
			if len(s.Men) != 11 {
				t.Fatalf("%s has %d men", c.Call.Name, len(s.Men))
			}
			for j := range s.Men {
				m := &s.Men[j]
				if len(m.Shifts) == 0 || m.Shifts[0].From != 0 {
					t.Fatalf("%s: the %s is told nothing at the snap", c.Call.Name, m.Slot.Position())
				}
				for k := range m.Shifts {
					x := &m.Shifts[k]
					if k > 0 && x.From <= m.Shifts[k-1].From || x.Rule < 0 || x.Rule >= len(m.Slot.Rules) {
						t.Errorf("%s: the %s: rule %d at %v s", c.Call.Name, m.Slot.Position(), x.Rule, x.From)
					}
					for _, d := range x.Duties {
						if d.Target < -1 || d.Target >= len(p.Receivers) || (d.Verb == call.InZone) != (d.Zone != nil) {
							t.Errorf("%s: the %s owes %+v", c.Call.Name, m.Slot.Position(), d)
						}
					}
				}
			}
			for i := range p.Receivers {
				if o := duty.Owner(s, i); o < -1 || o >= len(s.Men) {
					t.Errorf("%s: %s is man %d's", c.Call.Name, p.Receivers[i].Name, o)
				}
			}
		}
	}
}

// TestShiftAt: a shift begins at its moment, before the first one the first holds.
func TestShiftAt(t *testing.T) {
	t.Parallel()
	m := duty.Man{Shifts: []duty.Shift{{From: 0, Rule: 5}, {From: 1.2, Rule: 6}, {From: 2, Rule: 7}}}
	for at, want := range map[field.Seconds]int{-1: 5, 0: 5, 1.1999: 5, 1.2: 6, 1.9999: 6, 2: 7, 99: 7} {
		if got := m.ShiftAt(at).Rule; got != want {
			t.Errorf("at %v s he is under rule %d, want %d", at, got, want)
		}
	}
}

// TestNobodyTakesBackWhatHeDeclared: once a receiver has shown something he never shows
// nothing again, and who was vertical stays so.
func TestNobodyTakesBackWhatHeDeclared(t *testing.T) {
	t.Parallel()
	for _, p := range built(t, false) {
		for i := range p.Receivers {
			if p.Receivers[i].Blocks() {
				continue
			}
			var was call.State = call.Undeclared
			for at := 0.0; at < 4; at += 0.05 {
				now := duty.Seen(p.Receivers[i].Path, at, 7)
				if was != call.Undeclared && now == call.Undeclared || was&call.Vertical != 0 && now&call.Vertical == 0 {
					t.Errorf("%s, %s: %b at %v s after %b", p, p.Receivers[i].Name, now, at, was)
				}
				was = now
			}
		}
	}
}

// TestShowsRun: what shows a run action (trade notes: the family is what the backfield shows).
func TestShowsRun(t *testing.T) {
	t.Parallel()
	for word, want := range map[string]bool{"dropback": false, "quick": false, "screen": false, "play_action": true,
		"boot": true, "rpo": true, "draw": true, "run": true} {
		f, err := picture.ParseFamily(word)
		if err != nil || duty.ShowsRun(f) != want {
			t.Errorf("%s shows a run: %v, %v; want %v", word, !want, err, want)
		}
	}
}

// TestEndMan: the tackle stands about 3 yards out; a tight end beside him is further (trade
// notes 5.1), on his side alone.
func TestEndMan(t *testing.T) {
	t.Parallel()
	c, err := call.Lookup("cover 1")
	if err != nil {
		t.Fatal(err)
	}
	spread := duty.New(c, pictured(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go"}), 1, 7)
	tight := duty.New(c, pictured(t, picture.Spec{Set: "2x1", Family: "dropback", Routes: "P1 go"}), 1, 7)
	if a, b := spread.EndMan(1), spread.EndMan(-1); math.Abs(a-b) > 1e-9 || a < 2 || a > 3.5 {
		t.Errorf("without a tight end: %v and %v", a, b)
	}
	a, b := tight.EndMan(1), tight.EndMan(-1)
	if max(a, b) <= 3.5 || min(a, b) > 3.5 || tight.TightEnd(1) == tight.TightEnd(-1) {
		t.Errorf("with one: %v and %v", a, b)
	}
}
