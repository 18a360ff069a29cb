package picture

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// TestParseFamily: every family by its word, words after it for the reader; others by name.
func TestParseFamily(t *testing.T) {
	t.Parallel()
	for s, want := range map[string]Family{"dropback": Dropback,
		"Quick": Quick, "play_action": PlayAction, "play-action": PlayAction,
		" boot to the play side": Boot, "screen": Screen, "rpo, inside run": RPO, "RPO": RPO, "draw": Draw, "run": Run} {
		if got, err := ParseFamily(s); err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", s, got, err, want)
		}
	}
	for f := Dropback; f <= Run; f++ {
		if got, err := ParseFamily(f.String()); err != nil || got != f {
			t.Errorf("%v is read as %v, %v", f, got, err)
		}
	}
	for _, s := range []string{"", "pass", "roll", "the run"} {
		if _, err := ParseFamily(s); err == nil || !strings.Contains(err.Error(), `"`+s+`"`) ||
			!strings.Contains(err.Error(), "play_action") {
			t.Errorf("%q: %v; want it named, with what there is", s, err)
		}
	}
}

// TestRefused: what a picture is not read for, and that the refusal names it.
func TestRefused(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name                string
		set, family, routes string
		want                []string
	}{
		{"set", "5x0", "quick", "P1 go", []string{"5x0", "2x2"}},
		{"family", "2x2", "bomb", "P1 go", []string{"bomb", "quick"}},
		{"route", "2x2", "quick", "P1 zigzag@5", []string{"P1 zigzag@5", "zigzag", "slant"}},
		{"nobody there", "2x2", "quick", "P3 go, B3 go", []string{"P3", "P1, P2, B1, B2, back"}},
		{"no receiver", "2x2", "quick", "X go", []string{`"X go"`, `"X"`}},
		{"no depth", "2x2", "quick", "P1 out@deep", []string{`"P1 out@deep"`, `"deep"`, "-8 to 60"}},
		{"too deep", "2x2", "quick", "P1 out@61", []string{`"61"`}},
		{"too far back", "2x2", "quick", "P1 out@-8.5", []string{`"-8.5"`}},
		{"not a number", "2x2", "quick", "P1 out@NaN", []string{`"nan"`}},
		{"no end", "2x2", "quick", "P1 out@Inf", []string{`"inf"`}},
		{"no route", "2x2", "quick", "P1", []string{`"P1"`, "unknown route"}},
		{"the second", "2x2", "quick", "P1 go, P2 zigzag", []string{"P2 zigzag"}},
	} {
		p, err := New(Spec{Set: tt.set, Family: tt.family, Routes: tt.routes, Receiver: testSpeed, Back: testSpeed})
		if err == nil {
			t.Errorf("%s: read as %v", tt.name, p)
			continue
		}
		for _, w := range tt.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %v; want %q in it", tt.name, err, w)
			}
		}
	}
	for _, at := range []string{"-8", "60", " 5 "} {
		if _, err := New(Spec{Set: "2x2", Family: "quick", Routes: "P1 out@" + at, Receiver: testSpeed}); err != nil {
			t.Errorf("depth %q: %v", at, err)
		}
	}
}

// TestQualifiers: what stands beside a route, and that it is written again.
func TestQualifiers(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		item, who, route, written string
		release, side             int
		fake                      bool
	}{
		{"P1 inside release seam", "P1", "seam", "P1 inside release seam", -1, 1, false},
		{"P1 Outside Release go", "P1", "go", "P1 outside release go", 1, 1, false},
		{"back flat@2 play side", "back", "flat", "back flat@2", 0, 1, false},
		{"back flat@2 to the B side", "back", "flat", "back flat@2 to the B side", 0, -1, false},
		{"back flat@2 back side", "back", "flat", "back flat@2 to the B side", 0, -1, false},
		{"back flat@2 to the other side", "back", "flat", "back flat@2 to the B side", 0, -1, false},
		{"B2 cross@11 to the other side", "B2", "cross", "B2 cross@11", 0, -1, false}, // not a back: he keeps his side
		{"P2 flat@2 after a fake block", "P2", "flat", "P2 flat@2 after a fake block", 0, 1, true},
		{"p2 OUT@5 (quick)", "P2", "out", "P2 out@5", 0, 1, false},
		{"P2 snag@5", "P2", "spot", "P2 spot@5", 0, 1, false},
		{"P1 block", "P1", "block", "P1 block", 0, 1, false},
		{"P1 out@7.5", "P1", "out", "P1 out@7.5", 0, 1, false},
	} {
		p := drawn(t, Spec{Set: "2x2", Family: "boot", Routes: tt.item})
		i := slices.IndexFunc(p.Receivers, func(r Receiver) bool { return r.Name == tt.who })
		r := &p.Receivers[i]
		if r.Route.Name != tt.route || r.Release != tt.release || r.Side != tt.side || r.Fake != tt.fake || !r.Named {
			t.Errorf("%q: %s, release %d, side %d, fake %v, named %v", tt.item, r.Route.Name, r.Release, r.Side, r.Fake,
				r.Named)
		}
		if p.String() != tt.written {
			t.Errorf("%q is written %q, want %q", tt.item, p, tt.written)
		}
	}
}

// TestUnnamed: who is not named stays in, but the back side #1 runs a go; what the rest runs is
// run and not written; the concept's word for a man comes before the rest's.
func TestUnnamed(t *testing.T) {
	t.Parallel()
	routesOf := func(p *Picture) string {
		var out []string
		for i := range p.Receivers {
			out = append(out, p.Receivers[i].Route.Name)
		}
		return strings.Join(out, " ")
	}
	if p := drawn(t, Spec{Set: "2x2", Family: "quick",
		Routes: "P1 slant@3"}); routesOf(p) != "slant block go block block" {
		t.Errorf("they run %s", routesOf(p))
	}
	p := drawn(t, Spec{Set: "2x2", Family: "quick", Routes: "P1 slant@3, B1 post@12",
		Rest: "B1 dig@12, B2 seam, , back check"})
	if routesOf(p) != "slant block post seam check" || p.String() != "P1 slant@3, B1 post@12" {
		t.Errorf("they run %s, written %q", routesOf(p), p)
	}
}

// TestNumbers: from the sideline in, a back last on the side he releases to, in the order of the
// backfield; one who stays in has none (trade notes 0.1).
func TestNumbers(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		set, routes string
		want        map[string]int
	}{
		{"2x2", "P1 go", map[string]int{"P1": 1, "P2": 2, "B1": 1, "B2": 2, "back": 0}},
		{"2x2", "back flat@2 play side", map[string]int{"back": 3}},
		{"3x1", "back flat@2 to the B side", map[string]int{"back": 2}},
		{"2x1", "back flat@2 play side, back2 flat@2 play side", map[string]int{"back": 3, "back2": 4}},
		{"2x1", "back flat@2 to the B side, back2 flat@2 play side", map[string]int{"back": 2, "back2": 3}},
		{"2x1", "back2 flat@2 play side", map[string]int{"back": 0, "back2": 3}},
		{"empty 3x2", "P3 go", map[string]int{"P3": 3, "B2": 2}},
	} {
		p := drawn(t, Spec{Set: tt.set, Family: "quick", Routes: tt.routes})
		for i := range p.Receivers {
			r := &p.Receivers[i]
			if want, asked := tt.want[r.Name]; asked && r.Number != want {
				t.Errorf("%s, %q: %s is #%d, want #%d", tt.set, tt.routes, r.Name, r.Number, want)
			}
			if !r.Back && p.At(r.Side, r.Number) != i || r.Back && r.Number > 0 && p.At(r.Side, r.Number) >= 0 {
				t.Errorf("%s: At finds %s where he lines up: no", tt.set, r.Name)
			}
		}
	}
}

// TestTables: every route and set has its names for itself, and answers to a look are routes.
func TestTables(t *testing.T) {
	t.Parallel()
	type named struct {
		Name string
		Also []string
	}
	once := func(what string, all []named) {
		owner := map[string]string{}
		for _, x := range all {
			for _, n := range append([]string{x.Name}, x.Also...) {
				if other, taken := owner[strings.ToLower(n)]; taken {
					t.Errorf("%s %q: both %s and %s are called so", what, n, other, x.Name)
				}
				owner[strings.ToLower(n)] = x.Name
			}
		}
	}
	var doc struct{ Routes, Sets []named }
	for _, raw := range [][]byte{routesJSON, setsJSON} {
		if err := json.Unmarshal(raw, &doc); err != nil {
			t.Fatal(err)
		}
	}
	once("route", doc.Routes)
	once("set", doc.Sets)
	for _, name := range RouteNames() {
		r, err := LookupRoute(strings.ToUpper(" " + name + " "))
		if err != nil || r.Name != name {
			t.Errorf("route %q in capitals: %v, %v", name, r, err)
			continue
		}
		for _, to := range []string{r.OnPress, r.InMan, r.TwoHigh} {
			if _, err := LookupRoute(to); to != "" && err != nil {
				t.Errorf("%s becomes %q: %v", name, to, err)
			}
		}
	}
	for _, name := range SetNames() {
		s, err := LookupSet(strings.ToUpper(name))
		if err != nil || len(s.Play)+len(s.Back)+len(s.Backfield) != 5 || !HasSet(name) {
			t.Errorf("set %q: %+v, %v; five are eligible", name, s, err)
		}
	}
	if HasSet("6x0") {
		t.Error("there is a set 6x0")
	}
}

// TestConvert: who is pressed, has a man on him or sees two deep runs his route's answer, in this
// order, at the depth of his break; nobody else does, and the picture itself stays.
func TestConvert(t *testing.T) {
	t.Parallel()
	p := drawn(t, Spec{Set: "2x2", Family: "dropback", Routes: "P1 hitch@6, P2 seam, B1 stick@7, back hook@8 play side"})
	bit := func(name string) uint8 {
		return 1 << slices.IndexFunc(p.Receivers, func(r Receiver) bool { return r.Name == name })
	}
	for _, tt := range []struct {
		what string
		look Look
		want string // "" p itself
	}{
		{"nothing", Look{}, ""},
		{"press", Look{Press: bit("P1")}, "P1 fade, P2 seam, B1 stick@7, back hook@8"},
		{"man", Look{Man: bit("P1")}, "P1 slant@6, P2 seam, B1 stick@7, back hook@8"},
		{"press before man", Look{Man: bit("P1"), Press: bit("P1")}, "P1 fade, P2 seam, B1 stick@7, back hook@8"},
		{"two deep", Look{TwoHigh: true}, "P1 hitch@6, P2 bender@12, B1 stick@7, back hook@8"},
		{"two of them", Look{Man: bit("P1") | bit("B1")}, "P1 slant@6, P2 seam, B1 out@7, back hook@8"},
		{"a route without answer", Look{Press: bit("B1") | bit("P2")}, ""},
		{"a back", Look{Man: bit("back")}, ""},
	} {
		got := p.Convert(tt.look)
		if (tt.want == "") != (got == p) || tt.want != "" && got.String() != tt.want {
			t.Errorf("%s: %v, want %q", tt.what, got, tt.want)
		}
		if again := p.Convert(p.Asked(tt.look)); again.String() != got.String() {
			t.Errorf("%s: what is asked of it converts it to %v, not %v", tt.what, again, got)
		}
	}
	if p.String() != "P1 hitch@6, P2 seam, B1 stick@7, back hook@8" {
		t.Errorf("the picture has become %v", p)
	}
	fade := p.Convert(Look{Press: bit("P1")}).Receivers[p.At(1, 1)].Path
	if len(fade.Breaks) != 0 || fade.At(4).Y < 15 {
		t.Errorf("a fade is run to %v", fade.At(4))
	}
}

// TestAssume: a set nobody can place is drawn from the set in its word, else from the set most
// of its concepts are drawn from, else the plainest its personnel leaves.
func TestAssume(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		word, personnel, want, why string
	}{
		{"trips tight", "", "3x1", `"trips"`}, {"3 by 1 near", "", "3x1", `"3x1"`}, {"Three By One", "", "3x1", `"3x1"`},
		{"gun trips closed left", "", "3x1 with an attached tight end on the other side", `"trips closed"`},
		{"empty quads", "", "empty 3x2", `"empty"`}, {"triplets", "", "2x2", "plainest"}, {"", "", "2x2", "plainest"},
		{"blue", "21", "2x1", "21 personnel"}, {"blue", "10", "2x2", "10 personnel"}, {"blue", "12", "", "12 personnel"},
	} {
		got, why := Assume(Hint{Word: tt.word, Personnel: tt.personnel})
		if tt.want != "" && got != tt.want || !strings.Contains(why, tt.why) || !HasSet(got) {
			t.Errorf("%q with %q: %s, %s; want %s, %s", tt.word, tt.personnel, got, why, tt.want, tt.why)
		}
	}
	if s, _ := LookupSet(firstOf(Assume(Hint{Personnel: "12"}))); s.PlayAttached+s.BackAttached == 0 {
		t.Errorf("two tight ends, and none of %s is attached", s.Name)
	}
	var h Hint
	h.Saw("Stick", "11", 3) // drawn from 3x1
	h.Saw("smash", "12", 2)
	h.Saw("", "", 50)
	if got, why := Assume(h); got != "3x1" || !strings.Contains(why, "concepts") || h.Personnel != "11" {
		t.Errorf("mostly stick: %s, %s, personnel %s", got, why, h.Personnel)
	}
	h.Saw("unheard of", "12", 1) // as often as 11 now: the smaller stays
	if h.Personnel != "11" {
		t.Errorf("of two personnels seen as often %s counts", h.Personnel)
	}
	if h.Saw("", "12", 1); h.Personnel != "12" {
		t.Errorf("the most seen personnel is %s", h.Personnel)
	}
}

func firstOf(s, _ string) string { return s }

// TestRuns: every run says a gap, who pulls is named, a name nobody knows is blocked as inside
// zone, and letters may be large or small.
func TestRuns(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, r := range Runs() {
		if seen[r.Concept] || !strings.Contains("ABCD", r.Gap) || r.Gap == "" || len(r.Pulls) < r.Pullers ||
			r.Carries == "" || r.Line == "" {
			t.Errorf("%+v", r)
		}
		seen[r.Concept] = true
		if got := LookupRun(strings.ToUpper(r.Concept)); got.Concept != r.Concept {
			t.Errorf("%s in capitals is %s", r.Concept, got.Concept)
		}
	}
	if got := LookupRun("statue"); got.Concept != "inside zone" {
		t.Errorf("a run nobody knows is blocked as %s", got.Concept)
	}
}

// TestTurnedTwice: a set turned and turned again is the set.
func TestTurnedTwice(t *testing.T) {
	t.Parallel()
	for _, name := range SetNames() {
		s, _ := LookupSet(name)
		once := s.turned()
		twice := once.turned()
		if !slices.Equal(twice.Play, s.Play) || !slices.Equal(once.Play, s.Back) || twice.PlayOff != s.PlayOff ||
			once.BackAttached != s.PlayAttached || twice.PlayAttached != s.PlayAttached {
			t.Errorf("%s: turned %+v, twice %+v", name, once, twice)
		}
		for i := range s.Backfield {
			if once.Backfield[i][0] != -s.Backfield[i][0] || twice.Backfield[i][0] != s.Backfield[i][0] {
				t.Errorf("%s: back %d turned %v, twice %v", name, i, once.Backfield[i], twice.Backfield[i])
			}
		}
	}
}

// FuzzNotation: what is read is written and read again as the same; nothing stops the reader.
func FuzzNotation(f *testing.F) {
	for _, s := range []string{"P1 hitch@6, P2 corner@12", "back flat@2 to the B side",
		"P1 inside release seam", "B9 go", "P1 out@1e9", ","} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, routes string) {
		spec := Spec{Set: "3x1", Family: "dropback", Routes: routes, Receiver: testSpeed, Back: testSpeed}
		p, err := New(spec)
		if err != nil {
			return
		}
		spec.Routes = p.String()
		q, err := New(spec)
		if err != nil || q.String() != p.String() {
			t.Errorf("%q is written %q, which reads %v, %v", routes, p, q, err)
		}
	})
}
