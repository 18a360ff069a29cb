package duty_test

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

var speed = field.Speed{Max: 7.8, Tau: 0.7}

func draw(t testing.TB, spec picture.Spec) *picture.Picture {
	t.Helper()
	spec.Receiver, spec.Back = speed, speed
	p, err := picture.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// one is a call of one man on the strong side, who lines up so and has these rules.
func one(t testing.TB, a call.Align, rules ...call.Rule) *call.Compiled {
	t.Helper()
	return team(t, call.Defender{Name: "man", Side: "strong", Align: []call.Align{a}, Rules: rules})
}

func team(t testing.TB, men ...call.Defender) *call.Compiled {
	t.Helper()
	for i := range men {
		if len(men[i].Align) == 0 {
			men[i].Align = []call.Align{{On: "ball", Depth: 5}}
		}
	}
	c, err := call.Compile(&call.Call{Name: "ours", Defenders: men})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestStrongSide: the strong side has more receivers (trade notes 0.1); balance decides a tie.
func TestStrongSide(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		set           string
		left          bool
		balance, want int
	}{
		{"3x1", false, 1, 1}, {"3x1", false, -1, 1}, {"3x1", true, 1, -1}, {"3x1", true, -1, -1},
		{"2x2", false, 1, 1}, {"2x2", false, -1, -1}, {"2x2", true, 1, -1}, {"2x2", true, -1, 1},
		{"empty 3x2", false, -1, 1},
	} {
		p := draw(t, picture.Spec{Set: tt.set, Family: "dropback", Left: tt.left})
		if got := duty.StrongSide(p, tt.balance); got != tt.want {
			t.Errorf("%s, left %v, balance %d: %d, want %d", tt.set, tt.left, tt.balance, got, tt.want)
		}
	}
	single := draw(t, picture.Spec{Set: "3x1", Family: "dropback",
		Routes: "P1 post, B3 in"}) // run to the single receiver
	if got := duty.StrongSide(single, 1); got != -single.Play {
		t.Errorf("run to the single receiver, the strong side is %d", got)
	}
}

// TestPlaces puts a man on every landmark. Hashes are those of the rule books (trade notes
// 5.1: 53 ft 4 in, 60 ft, 70 ft 9 in from the sideline); the rest is arithmetic on the set.
func TestPlaces(t *testing.T) {
	t.Parallel()
	const wide = 160.0 / 3 / 2 // the sideline from the middle
	for _, tt := range []struct {
		name  string
		set   string
		spot  field.Spot
		align call.Align
		x     field.Yards // toward his sideline, from the ball
	}{
		{"on the ball", "2x2", field.Spot{}, call.Align{On: "ball", Offset: 2}, 2},
		{"inside of #1", "2x2", field.Spot{}, call.Align{On: "#1", Offset: -1}, 17},
		{"outside of #2", "2x2", field.Spot{}, call.Align{On: "#2", Offset: 1.5}, 11},
		{"no #3 there", "2x2", field.Spot{}, call.Align{On: "#3", Offset: 1, Missing: 6}, 6},
		{"half way to the tackle", "2x2", field.Spot{}, call.Align{On: "apex"}, (9.5 + 3.2) / 2},
		{"half way to the tight end", "3x1 attached", field.Spot{}, call.Align{On: "apex"}, (10 + 4.5) / 2},
		{"the tackle", "2x2", field.Spot{}, call.Align{On: "end man"}, 3.2},
		{"the tight end", "3x1 attached", field.Spot{}, call.Align{On: "end man", Offset: 1}, 5.5},
		{"the back", "2x2", field.Spot{}, call.Align{On: "back"}, 1.5},
		{"a back on the other side", "3x1", field.Spot{}, call.Align{On: "back"}, -1.5},
		{"no back", "empty 3x2", field.Spot{}, call.Align{On: "back", Missing: 2}, 2},
		{"high school hash", "2x2", field.Spot{Level: field.HighSchool}, call.Align{On: "hash"}, wide - (53+4.0/12)/3},
		{"college hash", "2x2", field.Spot{Level: field.College}, call.Align{On: "hash"}, wide - 20},
		{"professional hash", "2x2", field.Spot{Level: field.Pro}, call.Align{On: "hash"}, wide - 70.75/3},
		{"the ball is on it", "2x2", field.Spot{Level: field.College, FromMiddle: wide - 20}, call.Align{On: "hash"}, 0},
	} {
		tt.align.Depth = 7
		for _, left := range []bool{false, true} {
			spot, side := tt.spot, 1.0
			if left {
				spot.FromMiddle, side = -spot.FromMiddle, -1
			}
			s := duty.New(one(t, tt.align, call.Rule{When: "else", Then: "hold"}),
				draw(t, picture.Spec{Set: tt.set, Family: "dropback", Left: left, Spot: spot}), 1, 7)
			if want := (field.Point{X: side * tt.x, Y: 7}); s.Men[0].At.Dist(want) > 1e-9 {
				t.Errorf("%s, left %v: he stands at %v, want %v", tt.name, left, s.Men[0].At, want)
			}
			if missing := tt.align.Missing != 0; s.OnLandmark(0) == missing {
				t.Errorf("%s: on his landmark %v", tt.name, s.OnLandmark(0))
			}
		}
	}
}

// TestAlignFirst: of several alignments the first whose condition holds counts.
func TestAlignFirst(t *testing.T) {
	t.Parallel()
	c := team(t, call.Defender{Name: "man", Side: "strong", Rules: []call.Rule{{When: "else", Then: "hold"}},
		Align: []call.Align{{When: "trips", On: "#3", Depth: 4, Technique: "press"}, {When: "#2 attached", On: "#2",
			Depth: 1},
			{On: "#1", Depth: 8}}})
	for set, want := range map[string]int{"3x1": 0, "2x1": 1, "2x2": 2, "3x1 attached": 0} {
		m := duty.New(c, draw(t, picture.Spec{Set: set, Family: "dropback"}), 1, 7).Men[0]
		if m.Align != want || m.Technique != c.Slots[0].Align[want].Technique {
			t.Errorf("%s: alignment %d, technique %q; want %d", set, m.Align, m.Technique, want)
		}
	}
}

// TestSeen is what a reader with a threshold has seen of a route once it is run (trade notes
// 0.4 and 3.0: the same break is short under one threshold and past another).
func TestSeen(t *testing.T) {
	t.Parallel()
	const over = 6.5 // seconds: everything has declared
	for _, tt := range []struct {
		route     string
		threshold field.Yards
		want      call.State
	}{
		{"out@5", 7, call.OutBreak}, {"in@5", 7, call.InBreak}, {"hitch@6", 7, call.StopBreak}, {"go", 7, call.Vertical},
		{"dig@12", 7, call.Vertical | call.DeepIn}, {"out@12", 7, call.Vertical | call.DeepOut},
		{"curl@12", 7, call.Vertical | call.DeepStop}, {"wheel@3", 7, call.TurnedUp}, {"sluggo@3", 7, call.TurnedUp},
		{"out@5", 4, call.Vertical | call.DeepOut}, {"in@8", 7, call.Vertical | call.DeepIn}, {"in@8", 9, call.InBreak},
		{"seam", 15, call.Vertical}, {"post@12", 7, call.Vertical | call.DeepIn}, {"corner@12", 14, call.OutBreak},
	} {
		p := draw(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: "P2 " + tt.route})
		path := p.Receivers[p.At(p.Play, 2)].Path
		if got := duty.Seen(path, over, tt.threshold); got != tt.want {
			t.Errorf("%s to a reader of %v: %v, want %v", tt.route, tt.threshold, got, tt.want)
		}
		if got := duty.Seen(path, 0, tt.threshold); got != call.Undeclared {
			t.Errorf("%s at the snap: %v, want undeclared", tt.route, got)
		}
	}
}

// TestShiftsOneReactionLater: who reads #2 is told otherwise one reaction after #2 breaks or
// crosses his threshold, not before, and never by a receiver his rules do not ask about.
func TestShiftsOneReactionLater(t *testing.T) {
	t.Parallel()
	c := one(t, call.Align{On: "#2", Depth: 7}, call.Rule{When: "#2 vertical", Then: "man #2"},
		call.Rule{When: "#2 out before 4", Then: "help #1"}, call.Rule{When: "#2 short", Then: "under #2"},
		call.Rule{When: "else", Then: "read #2"})
	for _, tt := range []struct {
		routes string
		verbs  []call.Verb
	}{
		{"P2 go, P1 out@5", []call.Verb{call.Read, call.Man}},
		{"P2 in@5, P1 go", []call.Verb{call.Read, call.Under}},
		{"P2 dig@12", []call.Verb{call.Read, call.Man}},
		{"P2 out@3", []call.Verb{call.Read, call.HelpOn}},
		{"P1 slant@3", []call.Verb{call.Read}}, // #2 blocks
	} {
		p := draw(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: tt.routes})
		m := &duty.New(c, p, 1, 7).Men[0]
		var verbs []call.Verb
		for _, sh := range m.Shifts {
			verbs = append(verbs, sh.Duties[0].Verb)
		}
		if !reflect.DeepEqual(verbs, tt.verbs) {
			t.Errorf("%s: told %v, want %v", tt.routes, verbs, tt.verbs)
			continue
		}
		if len(m.Shifts) == 1 {
			continue
		}
		path := p.Receivers[p.At(p.Play, 2)].Path
		declared := path.Crosses(7)
		if bs := path.Breaks; len(bs) > 0 {
			declared = min(declared, bs[0].T)
		}
		from := m.Shifts[1].From
		if math.Abs(from-declared-duty.Reaction) > 1e-9 {
			t.Errorf("%s: #2 declares after %v s, he is told otherwise after %v", tt.routes, declared, from)
		}
		for at, want := range map[field.Seconds]call.Verb{0: tt.verbs[0],
			from - 0.01: tt.verbs[0], from: tt.verbs[1], 99: tt.verbs[1]} {
			if got := m.Owed(at)[0].Verb; got != want {
				t.Errorf("%s: at %v s he owes %v, want %v", tt.routes, at, got, want)
			}
		}
	}
}

// TestCrosses: a switch is a crossing from where they pass; an arrow of #2 under a go of #1 is
// none, for #1 has not come inside (trade notes 3.3), and past the threshold it is none either.
func TestCrosses(t *testing.T) {
	t.Parallel()
	c := func(when string) *call.Compiled {
		return one(t, call.Align{On: "#1", Depth: 7}, call.Rule{When: when, Then: "man #2"}, call.Rule{When: "else",
			Then: "man #1"})
	}
	for _, tt := range []struct {
		set, routes, when string
		want              bool
	}{
		{"2x2", "P1 inside release seam, P2 wheel@3", "#1 crosses #2", true},
		{"2x2", "P1 inside release seam, P2 wheel@3", "#1 crosses #3", false},
		{"2x2", "P1 go, P2 arrow@3", "#1 crosses #2", false},
		{"bunch", "P1 go, P2 arrow@3", "#1 crosses #2", false},
		{"2x2", "P1 go, P2 seam", "#1 crosses #2", false},
		{"2x2", "P1 post@12, P2 corner@12", "#1 crosses #2", false}, // deep of the threshold
		{"2x2", "P1 post@12, P2 corner@12", "#1 crosses #2 before 30", true},
	} {
		s := duty.New(c(tt.when), draw(t, picture.Spec{Set: tt.set, Family: "dropback", Routes: tt.routes}), 1, 7)
		if last := s.Men[0].Owed(9)[0]; (s.Picture.Receivers[last.Target].Number == 2) != tt.want {
			t.Errorf("%s, %q: in the end he has #%d, want the crossing %v", tt.routes, tt.when,
				s.Picture.Receivers[last.Target].Number, tt.want)
		}
	}
}

// TestWhom: numbers count from the sideline in on his own side, the back last on the side he
// releases to; "far" is the other side; of nobody there is nobody (trade notes 0.1).
func TestWhom(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ then, routes, want string }{
		{"man #1", "P1 go", "P1"}, {"man #2", "P1 go", "P2"}, {"man far #1", "P1 go", "B1"}, {"man far #2", "P1 go", "B2"},
		{"man #3", "P1 go", ""}, {"man #3", "P1 go, back flat@2 play side", "back"},
		{"man back", "P1 go, back flat@2 play side", "back"}, {"man back", "P1 go, back flat@2 to the B side", ""},
		{"man far back", "P1 go, back flat@2 to the B side", "back"}, {"man far #3", "P1 go, back flat@2 to the B side",
			"back"},
		{"man back", "P1 go", ""}, // he blocks
	} {
		s := duty.New(one(t, call.Align{On: "ball", Depth: 5}, call.Rule{When: "else", Then: tt.then}),
			draw(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: tt.routes}), 1, 7)
		got := ""
		if i := s.Men[0].Owed(0)[0].Target; i >= 0 {
			got = s.Picture.Receivers[i].Name
		}
		if got != tt.want {
			t.Errorf("%s against %q: %q, want %q", tt.then, tt.routes, got, tt.want)
		}
	}
}

// TestOwnerLate: a route that breaks after the usual three seconds is the man's who has it from the
// break on, not his who had it before (common practice, no source).
func TestOwnerLate(t *testing.T) {
	t.Parallel()
	c := team(t, call.Defender{Name: "over", Side: "strong", Rules: []call.Rule{{When: "#1 deep stop", Then: "zone half"},
		{When: "else", Then: "man #1"}}}, call.Defender{Name: "under", Side: "strong",
		Rules: []call.Rule{{When: "#1 deep stop", Then: "man #1"}, {When: "else", Then: "hold"}}})
	for routes, want := range map[string]int{"P1 comeback@10": 1, "P1 comeback@22": 1, "P1 go": 0} {
		s := duty.New(c, draw(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: routes}), 1, 7)
		i := s.Picture.At(1, 1)
		if routes == "P1 comeback@22" && s.Picture.Receivers[i].Path.Breaks[0].T < 3 {
			t.Error("the comeback breaks before three seconds: it shows nothing")
		}
		if got := duty.Owner(s, i); got != want {
			t.Errorf("%s: man %d, want %d", routes, got, want)
		}
	}
}

// TestOwner: the man who has him before the zone he runs into, the zone before help, of two
// alike who reads him first; nobody when nobody owes him.
func TestOwner(t *testing.T) {
	t.Parallel()
	man := func(name, then string, keys ...string) call.Defender {
		return call.Defender{Name: name, Side: "strong", Keys: keys, Rules: []call.Rule{{When: "else", Then: then}}}
	}
	for _, tt := range []struct {
		name string
		men  []call.Defender
		want int
	}{
		{"man before zone", []call.Defender{man("a", "zone half"), man("b", "man #1")}, 1},
		{"zone before help", []call.Defender{man("a", "help #1"), man("b", "zone half")}, 1},
		{"help when there is nobody else", []call.Defender{man("a", "help #1"), man("b", "man #2")}, 0},
		{"a zone he does not reach", []call.Defender{man("a", "zone far half"), man("b", "hold")}, -1},
		{"squeezing and bumping own nobody", []call.Defender{man("a", "squeeze #1"), man("b", "bump #1")}, -1},
		{"who reads him first", []call.Defender{man("a", "man #1", "#2", "#1"), man("b", "man #1", "#1")}, 1},
		{"who reads him at all", []call.Defender{man("a", "man #1"), man("b", "man #1", "#1")}, 1},
		{"the first of two alike", []call.Defender{man("a", "man #1", "#1"), man("b", "man #1", "#1")}, 0},
	} {
		s := duty.New(team(t, tt.men...), draw(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go"}), 1, 7)
		if got := duty.Owner(s, s.Picture.At(1, 1)); got != tt.want {
			t.Errorf("%s: man %d, want %d", tt.name, got, tt.want)
		}
	}
	back := picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go, back flat@2 play side"}
	for _, then := range []string{"rush", "hold"} {
		s := duty.New(team(t, man("a", then)), draw(t, back), 1, 7)
		for i := range s.Picture.Receivers {
			if got := duty.Owner(s, i); got != -1 {
				t.Errorf("who has only to %s owes %s", then, s.Picture.Receivers[i].Name)
			}
		}
	}
}

// TestSame: duties ask the same when every part is the same, the zone by what it covers.
func TestSame(t *testing.T) {
	t.Parallel()
	zone := func() *call.Rect { return &call.Rect{Name: "flat", X0: 8, X1: 26, Y1: 8, Sink: 8} }
	base := duty.Duty{Verb: call.InZone, Target: -1, Zone: zone()}
	if same := base; !duty.Same(base, duty.Duty{Verb: call.InZone, Target: -1, Zone: zone()}) || !duty.Same(base, same) {
		t.Error("the same zone, made again, is another")
	}
	for what, other := range map[string]duty.Duty{
		"verb": {Verb: call.HelpOn, Target: -1, Zone: zone()}, "target": {Verb: call.InZone, Zone: zone()},
		"help": {Verb: call.InZone, Target: -1, Zone: zone(), Help: true}, "no zone": {Verb: call.InZone, Target: -1},
		"another zone": {Verb: call.InZone, Target: -1, Zone: &call.Rect{Name: "flat", X0: 8, X1: 26, Y1: 8, Sink: 9}},
		"leverage":     {Verb: call.InZone, Target: -1, Zone: zone(), Leverage: 1},
		"trail":        {Verb: call.InZone, Target: -1, Zone: zone(), Trail: true},
	} {
		if duty.Same(base, other) || duty.Same(other, base) {
			t.Errorf("another %s is the same", what)
		}
	}
}

// TestLook: what receivers see before the snap: who is pressed, who has a man, two deep. A man
// who helps is nobody's man, and one far to the side presses nobody.
func TestLook(t *testing.T) {
	t.Parallel()
	man := func(on string, offset, depth field.Yards, technique, then string) call.Defender {
		return call.Defender{Name: on + then, Side: "strong", Rules: []call.Rule{{When: "else", Then: then}},
			Align: []call.Align{{On: on, Offset: offset, Depth: depth, Technique: technique, Missing: 3}}}
	}
	p := draw(t, picture.Spec{Set: "2x2", Family: "dropback"})
	first, second := uint8(1)<<p.At(1, 1), uint8(1)<<p.At(1, 2)
	for _, tt := range []struct {
		name string
		men  []call.Defender
		want picture.Look
	}{
		{"off", []call.Defender{man("#1", 0, 6, "", "man #1")}, picture.Look{Man: first}},
		{"press", []call.Defender{man("#1", -1, 1, "press", "man #1")}, picture.Look{Man: first, Press: first}},
		{"press in a zone", []call.Defender{man("#1", 0, 1, "press", "zone flat")}, picture.Look{}},
		{"pressing carry", []call.Defender{man("#2", 0, 1, "press", "carry #2")}, picture.Look{Press: second}},
		{"too far to press", []call.Defender{man("#2", 6, 1, "press", "man #2")}, picture.Look{Man: second}},
		{"help", []call.Defender{man("#1", 0, 6, "press", "help #1")}, picture.Look{}},
		{"one deep", []call.Defender{man("ball", 0, 12, "", "zone middle third")}, picture.Look{}},
		{"two deep", []call.Defender{man("ball", 8, 12, "", "hold"), man("ball", -8, 12, "", "zone middle third")},
			picture.Look{TwoHigh: true}},
		{"two back, one of them wide", []call.Defender{man("ball", 0, 12, "", "hold"), man("#1", 0, 12, "",
			"zone middle third")},
			picture.Look{}},
	} {
		if got := duty.New(team(t, tt.men...), p, 1, 7).Look(); got != tt.want {
			t.Errorf("%s: %+v, want %+v", tt.name, got, tt.want)
		}
	}
}

// TestChecksOnce: the first check whose condition holds replaces men by name, once.
func TestChecksOnce(t *testing.T) {
	t.Parallel()
	def := func(name, then string) call.Defender {
		return call.Defender{Name: name, Side: "strong", Align: []call.Align{{On: "ball", Depth: 5}},
			Rules: []call.Rule{{When: "else", Then: then}}}
	}
	c, err := call.Compile(&call.Call{Name: "checked", Defenders: []call.Defender{def("a", "man #1"), def("b",
		"man #2")},
		Checks: []call.Check{{Name: "trips", When: "trips", Defenders: []call.Defender{def("b", "man #3")}},
			{Name: "empty", When: "empty", Defenders: []call.Defender{def("a", "hold")}}}})
	if err != nil {
		t.Fatal(err)
	}
	for set, want := range map[string][3]string{"2x2": {"", "man #1", "man #2"}, "3x1": {"trips", "man #1", "man #3"},
		"empty 3x2": {"trips", "man #1", "man #3"}} {
		s := duty.New(c, draw(t, picture.Spec{Set: set, Family: "dropback"}), 1, 7)
		got := [3]string{s.Check, s.Men[0].Slot.Rules[0].Rule.Then, s.Men[1].Slot.Rules[0].Rule.Then}
		if got != want {
			t.Errorf("%s: %q, want %q", set, got, want)
		}
	}
}

// TestTimelines holds every call of the book against every concept to what a timeline is: it
// begins at the snap, goes on in time, each part under another rule than the last, targets and
// zones as the verb needs them; and run to the left everybody is told the same.
func TestTimelines(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.SampledFrom(picture.Library()).Draw(t, "concept")
		c := rapid.SampledFrom(call.Book()).Draw(t, "call")
		spec := picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Rest: e.Rest, Receiver: speed, Back: speed}
		p, err := picture.New(spec)
		spec.Left = true
		q, other := picture.New(spec)
		if err != nil || other != nil {
			t.Fatal(err, other)
		}
		right, left := duty.New(c, p, 1, c.Call.Vertical), duty.New(c, q, 1, c.Call.Vertical)
		for j := range right.Men {
			a, b := &right.Men[j], &left.Men[j]
			if a.At.Mirror().Dist(b.At) > 1e-9 || a.Side != -b.Side || len(a.Shifts) != len(b.Shifts) ||
				a.Shifts[0].From != 0 {
				t.Fatalf("%s: %+v; to the left %+v", a.Slot.Name, a, b)
			}
			for k := range a.Shifts {
				x, y := &a.Shifts[k], &b.Shifts[k]
				if k > 0 && (x.From <= a.Shifts[k-1].From || x.Rule == a.Shifts[k-1].Rule) || math.Abs(x.From-y.From) > 1e-9 ||
					x.Rule != y.Rule || len(x.Duties) == 0 {
					t.Fatalf("%s, shift %d: %+v; to the left %+v", a.Slot.Name, k, x, y)
				}
				for _, d := range x.Duties {
					if (d.Zone != nil) != (d.Verb == call.InZone) || d.Zone != nil && d.Target != -1 ||
						d.Target >= len(p.Receivers) {
						t.Fatalf("%s: %+v", a.Slot.Name, d)
					}
				}
			}
		}
	})
}

// TestWithout: a picture in which somebody stays in leaves the first as it was, and a man who
// reads him is told what he is told of one who blocks.
func TestWithout(t *testing.T) {
	t.Parallel()
	p := draw(t, picture.Spec{Set: "2x2", Family: "dropback", Routes: "P2 go"})
	l := p.At(1, 2)
	q := duty.Without(p, l)
	if !q.Receivers[l].Blocks() || p.Receivers[l].Blocks() || q.Receivers[l].At != p.Receivers[l].At {
		t.Fatalf("without him he blocks %v, before %v", q.Receivers[l].Blocks(), p.Receivers[l].Blocks())
	}
	s := duty.New(one(t, call.Align{On: "#2", Depth: 7}, call.Rule{When: "#2 block", Then: "help #1"},
		call.Rule{When: "#2 vertical", Then: "man #2"}, call.Rule{When: "else", Then: "read #2"}), p, 1, 7)
	told := s.Told(0, q)
	if len(told.Shifts) != 1 || told.Shifts[0].Duties[0].Verb != call.HelpOn || told.At != s.Men[0].At {
		t.Errorf("#2 stays in: %+v", told)
	}
	if s.Picture != p || s.Men[0].Owed(9)[0].Verb != call.Man {
		t.Error("asking what he would be told changed what he is told")
	}
}
