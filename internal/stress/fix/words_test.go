package fix

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"overhang/internal/stress/call"
)

// corner is the corner of a call of the book, as it stands in it.
func corner(t *testing.T, name string) (*call.Compiled, *call.Slot) {
	t.Helper()
	p, err := call.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Slots {
		if strings.Contains(p.Slots[i].Name, "corner") {
			return p, &p.Slots[i]
		}
	}
	t.Fatalf("%s has no corner", name)
	return nil, nil
}

// TestMoved: a move of an alignment is said by where it goes and where that is, moves the man
// of a copy and nobody of the original, and is as large as its yards.
func TestMoved(t *testing.T) {
	t.Parallel()
	p, who := corner(t, "cover 3 spot")
	before := fmt.Sprintf("%+v", *p.Call)
	row := who.Defender.Align[0]
	for _, tt := range []struct {
		dx, dy float64
		says   []string
		size   float64
	}{
		{2, 0, []string{"2 yards wider"}, 2}, {-1, 0, []string{"1 yard tighter"}, 1},
		{0, 3, []string{"3 yards deeper"}, 3}, {0, -1.5, []string{"1.5 yards shallower"}, 1.5},
		{1, -2, []string{"1 yard wider and 2 yards shallower"}, 3},
	} {
		ch := moved(who, 0, tt.dx, tt.dy)
		for _, s := range append(tt.says, yards(row.Depth+tt.dy)+" deep.") {
			if !strings.Contains(ch.Words, s) {
				t.Errorf("%v, %v: %q; want it to say %q", tt.dx, tt.dy, ch.Words, s)
			}
		}
		if ch.Kind != Alignment || ch.size != tt.size {
			t.Errorf("%v, %v: %s of size %v; want an alignment of %v", tt.dx, tt.dy, ch.Kind, ch.size, tt.size)
		}
		changed, err := ch.plan(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		got := twin(p.Call, changed.Call, who.Defender).Align[0]
		if got.Offset != row.Offset+tt.dx || got.Depth != row.Depth+tt.dy {
			t.Errorf("%v, %v: from %v, %v to %v, %v", tt.dx, tt.dy, row.Offset, row.Depth, got.Offset, got.Depth)
		}
	}
	if after := fmt.Sprintf("%+v", *p.Call); after != before {
		t.Error("the call of the book was changed")
	}
}

// TestCopied: nothing that an edit reaches is shared with the original, checks included.
func TestCopied(t *testing.T) {
	t.Parallel()
	for _, p := range call.Book() {
		c := copied(p.Call)
		if !reflect.DeepEqual(c, p.Call) {
			t.Fatalf("%s: the copy differs", p.Call.Name)
		}
		all := []*call.Defender{}
		for i := range p.Call.Defenders {
			all = append(all, &p.Call.Defenders[i])
		}
		for i := range p.Call.Checks {
			for k := range p.Call.Checks[i].Defenders {
				all = append(all, &p.Call.Checks[i].Defenders[k])
			}
		}
		for n, man := range all {
			d := twin(p.Call, c, man)
			if d == nil || d == man || d.Name != man.Name {
				t.Fatalf("%s: man %d, %s, has no twin in the copy", p.Call.Name, n, man.Name)
			}
			d.Align[0].Offset += 100
			if len(d.Rules) > 0 {
				d.Rules[0].When = "changed"
			}
			if len(d.Keys) > 0 {
				d.Keys[0] = "changed"
			}
			if man.Align[0].Offset > 50 || len(man.Rules) > 0 && man.Rules[0].When == "changed" ||
				slices.Contains(man.Keys, "changed") {
				t.Fatalf("%s: %s changed with his copy", p.Call.Name, man.Name)
			}
		}
		if twin(p.Call, c, &call.Defender{Name: all[0].Name}) != nil {
			t.Fatalf("%s: a man who is not in the call has a twin", p.Call.Name)
		}
	}
}

// TestStranger: a change of a man who is not in the call is no call.
func TestStranger(t *testing.T) {
	t.Parallel()
	p, _ := corner(t, "cover 1")
	ch := Change{edits: []edit{{man: &call.Defender{}, does: func(*call.Defender) {}}}}
	if _, err := ch.plan(t.Context(), p); err == nil {
		t.Error("a man who is not there was changed")
	}
}

// TestFirst: a new rule stands before all others, and the man reads whom it asks about; a rule
// with the same condition is replaced where it stands.
func TestFirst(t *testing.T) {
	t.Parallel()
	when, err := call.ParseCond("#2 vertical")
	if err != nil {
		t.Fatal(err)
	}
	then, err := call.ParseDuties("man #2")
	if err != nil {
		t.Fatal(err)
	}
	d := call.Defender{Keys: []string{"#1"}, Rules: []call.Rule{{When: "#1 vertical", Then: "man #1"}}}
	first(when, then)(&d)
	want := []call.Rule{{When: "#2 vertical", Then: "man #2"}, {When: "#1 vertical", Then: "man #1"}}
	if !reflect.DeepEqual(d.Rules, want) {
		t.Errorf("rules: %v", d.Rules)
	}
	if !slices.Equal(d.Keys, []string{"#1", "#2"}) {
		t.Errorf("keys: %v; want #2 after #1", d.Keys)
	}
	d = call.Defender{Keys: []string{"#2"}, Rules: []call.Rule{{When: "#1 vertical", Then: "man #1"},
		{When: "#2 vertical", Then: "help on #2"}}}
	first(when, then)(&d)
	if len(d.Rules) != 2 || d.Rules[1].Then != "man #2" || len(d.Keys) != 1 {
		t.Errorf("a rule with the condition: %v, keys %v; want it replaced", d.Rules, d.Keys)
	}
}

// TestSaid: lengths and landmarks as a coach says them.
func TestSaid(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ got, want string }{
		{yards(1), "1 yard"}, {yards(2), "2 yards"}, {yards(0.5), "0.5 yards"}, {yards(1.5), "1.5 yards"},
		{spot("#1", 0), "on #1"}, {spot("#1", 1), "1 yard outside #1"}, {spot("#2", -2), "2 yards inside #2"},
		{spot("ball", 0), "on the ball"}, {spot("end man", 2.5), "2.5 yards outside the end man"},
		{spot("hash", -1), "1 yard inside the hash"}, {spot("apex", 0), "halfway between #2 and the end man"},
		{spot("apex", 1), "1 yard outside halfway between #2 and the end man"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q; want %q", tt.got, tt.want)
		}
	}
}

// made is a fix of a kind that wins points and yards.
func made(kind Kind, words string, wins, net, gain, size float64) Fix {
	return Fix{Change: Change{Kind: kind, Words: words, size: size}, Before: Mark{Worst: 5}, After: Mark{Worst: 5 - gain,
		Finding: words}, PointsBefore: 1, PointsAfter: 1 - wins, WorstBefore: 3, WorstAfter: 3 - net}
}

// TestBest: what wins most points comes first, then most yards, then the smaller change; of each
// kind so many and no two that do the same; what does not hold together is left out.
func TestBest(t *testing.T) {
	t.Parallel()
	names := func(as []Fix) (out []string) {
		for i := range as {
			out = append(out, as[i].Words)
		}
		return out
	}
	sound := func(a *Fix) bool { return a.Words != "broken" }
	for _, tt := range []struct {
		name string
		as   []Fix
		want string
	}{
		{"points before yards", []Fix{made(Rule, "yards", 0.1, 2, 2, 1), made(Help, "points", 0.2, 0, 1, 1)}, "points yards"},
		{"yards before size", []Fix{made(Rule, "small", 0.1, 1, 2, 1), made(Help, "yards", 0.1, 2, 2, 3)}, "yards small"},
		{"the smaller change", []Fix{made(Rule, "large", 0.1, 1, 2, 3), made(Help, "small", 0.1, 1, 2, 1)}, "small large"},
		{"a tie nobody could teach", []Fix{made(Rule, "large", 0.1, 1.01, 2, 3), made(Help, "small", 0.1, 1, 2, 1)},
			"small large"},
		{"two of a kind", []Fix{made(Rule, "a", 0.3, 1, 1, 1),
			made(Rule, "b", 0.2, 1, 2, 1), made(Rule, "c", 0.1, 1, 3, 1)}, "a b"},
		{"what does not hold", []Fix{made(Rule, "broken", 0.3, 1, 1, 1), made(Rule, "b", 0.2, 1, 2, 1),
			made(Rule, "c", 0.1, 1, 3, 1)}, "b c"},
		{"nothing", nil, ""},
	} {
		if got := strings.Join(names(best(tt.as, 2, sound)), " "); got != tt.want {
			t.Errorf("%s: %q; want %q", tt.name, got, tt.want)
		}
	}
	same := []Fix{made(Rule, "x", 0.2, 1, 2, 1), made(Rule, "x", 0.2, 1, 2, 2), made(Help, "x", 0.2, 1, 2, 3)}
	if got := best(same, 5, sound); len(got) != 2 || got[0].Kind == got[1].Kind {
		t.Errorf("of three that do the same, two of a kind: %d are listed", len(got))
	}
}

// TestCount: a fix's sums weigh each picture, and the picture it hurts is the one whose worst
// conflict grows most, by more than matters.
func TestCount(t *testing.T) {
	t.Parallel()
	a := Fix{Hurt: -1}
	marks := []struct {
		weight        float64
		before, after Mark
	}{
		{2, Mark{Points: 1, Worst: 4}, Mark{Points: 0.5, Worst: 1}},
		{1, Mark{Points: 0.2, Worst: 1}, Mark{Points: 0.3, Worst: 1.4}}, // by less than matters
		{1, Mark{Points: 0.2, Worst: 1}, Mark{Points: 0.6, Worst: 2}},
		{5, Mark{Points: 0.1, Worst: 0}, Mark{Points: 0.2, Worst: 0.8}},
	}
	for i, m := range marks {
		a.count(i, m.weight, m.before, m.after)
	}
	if math.Abs(a.PointsBefore-2.9) > 1e-12 || math.Abs(a.PointsAfter-2.9) > 1e-12 || a.WorstBefore != 10 ||
		math.Abs(a.WorstAfter-9.4) > 1e-12 {
		t.Errorf("points %v to %v, yards %v to %v", a.PointsBefore, a.PointsAfter, a.WorstBefore, a.WorstAfter)
	}
	if a.Hurt != 2 || a.HurtAfter.Worst != 2 {
		t.Errorf("it hurts picture %d; want 2, by a yard", a.Hurt)
	}
	if math.Abs(a.Most-0.5) > 1e-12 {
		t.Errorf("it costs one picture %v at most; want .5", a.Most)
	}
	if math.Abs(a.Wins()) > 1e-12 || math.Abs(a.Net()-0.6) > 1e-12 {
		t.Errorf("wins %v and %v yards", a.Wins(), a.Net())
	}
	for worst, cured := range map[float64]bool{0: true, Matters: true, Matters + 0.01: false} {
		if f := (Fix{After: Mark{Worst: worst}}); f.Cures() != cured {
			t.Errorf("%v yards left are a cure: %v", worst, f.Cures())
		}
	}
}

// TestEffort: what is tried and played is bounded, the rest is told, and what wins most in the
// picture goes first.
func TestEffort(t *testing.T) {
	t.Parallel()
	p, _ := corner(t, "quarters match")
	c := &Case{Compiled: p, Pictures: make([]Weighted, 4000)}
	many := make([]Change, 100_000)
	if got := c.few(many); len(got) == 0 || len(got)+c.NotTried != len(many) || c.NotTried == 0 {
		t.Errorf("%d of %d are tried, %d are told to be not", len(got), len(many), c.NotTried)
	}
	if got := c.few(many[:1]); len(got) != 1 || c.NotTried != 0 {
		t.Errorf("one change: %d tried, %d not", len(got), c.NotTried)
	}
	var as []Fix
	for i := range 50 {
		as = append(as, made(Rule, fmt.Sprint(i), 0, 0, float64(i), 1))
	}
	if got := c.largest(as); len(got) == 0 || len(got)+c.NotTried != 50 || got[0].Words != "49" {
		t.Errorf("%d of 50 are played, %d told to be not, the first gains %v", len(got), c.NotTried, got[0].Gain())
	}
	if got := (&Case{Compiled: p, Pictures: c.Pictures[:10]}).largest(as); len(got) != 50 {
		t.Errorf("%d of 50 are played against ten pictures", len(got))
	}
}
