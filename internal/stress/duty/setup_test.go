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

// TestSame: zones are the same by what they cover, whoever wrote them.
func TestSame(t *testing.T) {
	t.Parallel()
	zone := func(x field.Yards) *call.Rect { return &call.Rect{X0: x, X1: x + 10} }
	base := duty.Duty{Verb: call.InZone, Target: -1, Zone: zone(0)}
	for name, tt := range map[string]struct {
		change func(*duty.Duty)
		same   bool
	}{
		"itself":              {func(*duty.Duty) {}, true},
		"an equal zone":       {func(d *duty.Duty) { d.Zone = zone(0) }, true},
		"another zone":        {func(d *duty.Duty) { d.Zone = zone(1) }, false},
		"no zone":             {func(d *duty.Duty) { d.Zone = nil }, false},
		"another verb":        {func(d *duty.Duty) { d.Verb = call.Man }, false},
		"another man":         {func(d *duty.Duty) { d.Target = 2 }, false},
		"the other leverage":  {func(d *duty.Duty) { d.Leverage = -1 }, false},
		"as help":             {func(d *duty.Duty) { d.Help = true }, false},
		"from the trail":      {func(d *duty.Duty) { d.Trail = true }, false},
		"both without a zone": {func(d *duty.Duty) {}, true},
	} {
		a, b := base, base
		if name == "both without a zone" {
			a.Zone, b.Zone = nil, nil
		}
		tt.change(&b)
		if duty.Same(a, b) != tt.same || duty.Same(b, a) != tt.same {
			t.Errorf("%s: the same %v, want %v", name, !tt.same, tt.same)
		}
	}
}

// TestStrongSide is that of more receivers (trade notes 5.4); a tie goes as the call says.
func TestStrongSide(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		set, routes   string
		left          bool
		balance, want int
	}{{"3x1", "P1 go", false, 1, 1}, {"3x1", "P1 go", true, 1, -1}, {"3x1", "P1 go", false, -1, 1}, {"2x2", "P1 go",
		false, 1, 1},
		{"2x2", "P1 go", false, -1, -1}, {"2x2", "P1 go", true, 1, -1}, {"2x2", "P1 go", true, -1, 1},
		{"bunch", "P1 go", true, -1, -1}} {
		p := pictured(t, picture.Spec{Set: tt.set, Family: "dropback", Routes: tt.routes, Left: tt.left})
		if got := duty.StrongSide(p, tt.balance); got != tt.want {
			t.Errorf("%s, left %v, balance %d: %d, want %d", tt.set, tt.left, tt.balance, got, tt.want)
		}
	}
}

// TestSeen: what a route shows to a man who takes 7 yards for vertical, before and after it
// breaks (trade notes on match coverage: under the threshold out, in and stop; past it
// vertical, then whatever it becomes).
func TestSeen(t *testing.T) {
	t.Parallel()
	const vertical = 7
	for route, want := range map[string][2]call.State{
		"hitch@5":  {call.Undeclared, call.StopBreak},
		"flat@2":   {call.Undeclared, call.OutBreak},
		"slant":    {call.Undeclared, call.InBreak},
		"go":       {call.Undeclared, call.Vertical},
		"corner@5": {call.Undeclared, call.OutBreak},
		"corner@9": {call.Vertical, call.Vertical | call.DeepOut},
		"dig@12":   {call.Vertical, call.Vertical | call.DeepIn},
		"curl@12":  {call.Vertical, call.Vertical | call.DeepStop},
	} {
		p := pictured(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 " + route})
		path := p.Receivers[p.At(p.Play, 1)].Path
		before, after := 0.1, 3.0
		if len(path.Breaks) > 0 {
			before, after = path.Breaks[0].T-0.01, path.Breaks[len(path.Breaks)-1].T+0.01
		}
		if got := duty.Seen(path, before, vertical); got != want[0] {
			t.Errorf("%s before it breaks: %b, want %b", route, got, want[0])
		}
		if got := duty.Seen(path, after, vertical); got != want[1] {
			t.Errorf("%s after it broke: %b, want %b", route, got, want[1])
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

// TestWithout: the picture in which a receiver stays in leaves the other one as it was, and a
// man who reads him is told so.
func TestWithout(t *testing.T) {
	t.Parallel()
	p := pictured(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 hitch@5, P2 corner@12"})
	l := p.At(p.Play, 2)
	q := duty.Without(p, l)
	if p.Receivers[l].Blocks() || !q.Receivers[l].Blocks() {
		t.Errorf("he blocks in the old picture %v, in the new %v", p.Receivers[l].Blocks(), q.Receivers[l].Blocks())
	}
	for i := range p.Receivers {
		if i != l && p.Receivers[i].Route != q.Receivers[i].Route {
			t.Errorf("%s runs something else", p.Receivers[i].Name)
		}
	}
	compiled, err := call.Lookup("cover 1")
	if err != nil {
		t.Fatal(err)
	}
	s := duty.New(compiled, p, 1, 7)
	j := duty.Owner(s, l)
	if j < 0 {
		t.Fatal("in cover 1 nobody has #2")
	}
	before := len(s.Men[j].Shifts)
	told := s.Told(j, q)
	if again := s.Told(j, p); unlikeSelf(&again, &s.Men[j]) || len(s.Men[j].Shifts) != before || s.Picture != p {
		t.Error("told again against his own picture he is told something else, or the setup was changed")
	}
	if told.Slot != s.Men[j].Slot || told.At != s.Men[j].At {
		t.Error("he lines up elsewhere because a man will stay in")
	}
}

func unlikeSelf(a, b *duty.Man) bool {
	if len(a.Shifts) != len(b.Shifts) {
		return true
	}
	for k := range a.Shifts {
		if a.Shifts[k].From != b.Shifts[k].From || a.Shifts[k].Rule != b.Shifts[k].Rule {
			return true
		}
	}
	return false
}

// TestLook: what the passer sees before the snap: two deep in quarters and cover 2, one in
// cover 1 and cover 3, man to man in cover 1 and cover 0 (common practice, no source).
func TestLook(t *testing.T) {
	t.Parallel()
	p := pictured(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 go"})
	for name, want := range map[string]struct{ two, man bool }{"quarters match": {true, false}, "cover 2 spot": {true,
		false},
		"cover 3 spot": {false, false}, "cover 1": {false, true}, "cover 0": {false, true}, "two-man": {true, true}} {
		c, err := call.Lookup(name)
		if err != nil {
			t.Fatal(err)
		}
		if l := duty.New(c, p, 1, 7).Look(); l.TwoHigh != want.two || (l.Man != 0) != want.man {
			t.Errorf("%s: two high %v, man %b; want %v, %v", name, l.TwoHigh, l.Man, want.two, want.man)
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
