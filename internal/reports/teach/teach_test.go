package teach

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"overhang/internal/stress/call"
)

// TestWords: sentences written by hand for rules of the book and of the schema.
// Source: the package documentation of call (what each word means) and the trade's
// usual way to say it; common practice, no source.
func TestWords(t *testing.T) {
	for when, want := range map[string]string{
		"else":                           "anything else, and until they declare",
		"#2 vertical":                    "#2 goes vertical past 7 yards",
		"#2 out/up":                      "#2 breaks out before 7 yards or turns up after a break before 7 yards",
		"#2 in/stop":                     "#2 breaks in or stops before 7 yards",
		"#1 short":                       "#1 breaks short of 7 yards",
		"#2 block/absent":                "#2 stays in to block or there's no #2",
		"#2 absent":                      "there's no #2",
		"back released":                  "the back to your side releases (breaks, or goes past 7 yards)",
		"far back released":              "the back away releases (breaks, or goes past 7 yards)",
		"#3 vertical and trips":          "#3 goes vertical past 7 yards, and trips to your side",
		"#2 absent and trips away":       "there's no #2, and trips to the other side",
		"#1 in before 5 and #2 out":      "#1 breaks in before 5 yards, and #2 breaks out before 7 yards",
		"#1 vertical and not #3 out":     "#1 goes vertical past 7 yards, unless #3 breaks out before 7 yards",
		"#2 vertical or far #2 vertical": "#2 goes vertical past 7 yards; or #2 on the other side goes vertical past 7 yards",
		"#3 released and empty and #4 absent": "#3 releases (breaks, or goes past 7 yards), and the backfield is empty, " +
			"and there's no #4",
		"single and #1 attached": "one receiver to your side, and #1 lines up attached",
		"#2 deep in":             "#2 breaks in past 7 yards",
		"run and strong and not tight end away": "they show run, and strength to your side, unless a tight end to the " +
			"other side",
	} {
		c, err := call.ParseCond(when)
		if err != nil {
			t.Fatal(err)
		}
		if got := When(&c, 7); got != want {
			t.Errorf("when %q\n got %s\nwant %s", when, got, want)
		}
	}
	for then, want := range map[string]string{
		"man #2; help zone inside quarter": "man #2; help in the inside quarter",
		"man far #3 inside trail":          "man #3 on the other side, inside leverage, trail",
		"under #2; zone hook":              "play under #2 (no deep ball); play the hook",
		"read #2 inside":                   "stay with #2 until he declares, inside leverage",
		"zone cloud; bump #1":              "play the cloud flat; bump #1 on the way",
		"zone half":                        "play the deep half",
		"carry #1":                         "carry #1 vertical",
		"man back":                         "man the back to your side",
		"squeeze #1":                       "squeeze #1 (not your man)",
		"help #1":                          "help on #1",
		"zone far hook":                    "play the hook on the other side",
		"rush":                             "rush the passer",
		"hold":                             "hold your spot",
	} {
		ds, err := call.ParseDuties(then)
		if err != nil {
			t.Fatal(err)
		}
		if got := Then(ds); got != want {
			t.Errorf("then %q\n got %s\nwant %s", then, got, want)
		}
	}
	for want, a := range map[string]call.Align{
		"1.5 yards inside #2, 9.5 yards deep (no #2: 7 yards outside the ball)": {On: "#2", Offset: -1.5, Depth: 9.5,
			Missing: 7},
		"0.5 yards outside #1, 5 yards deep, press":                {On: "#1", Offset: .5, Depth: 5, Technique: "press"},
		"halfway between #2 and the end man, 4.5 yards deep":       {On: "apex", Depth: 4.5},
		"6 yards outside the ball on the other side, 6 yards deep": {On: "ball", Offset: -6, Depth: 6},
		"3 yards outside the ball, 5 yards deep":                   {On: "ball", Offset: 3, Depth: 5},
		"over the ball, 13 yards deep":                             {On: "ball", Depth: 13},
		"2 yards outside the end man on the line, 1 yard deep":     {On: "end man", Offset: 2, Depth: 1},
	} {
		if got := Align(&a); got != want {
			t.Errorf("align %+v\n got %s\nwant %s", a, got, want)
		}
	}
	for role, want := range map[string]string{
		"force": "Run: force. Nothing gets outside you.",
		"gap":   "Run: fit your gap.",
		"":      "",
	} {
		if got := Fit(role); got != want {
			t.Errorf("fit %q: %q, want %q", role, got, want)
		}
	}
	if got := Keys([]call.Who{{Number: 2}, {Number: 3, Far: true},
		{}}); got != "Read #2, then #3 on the other side, then the back to your side." {
		t.Errorf("keys: %s", got)
	}
	// The numbers are those of zones.json.
	for name, want := range map[string]string{
		"hook": "hook: from 2 yards past the ball to 10 yards out, up to 15 yards deep. Drop to 5 yards out, 10 yards " +
			"deep; sink no deeper than 10 yards.",
		"half": "deep half: from the ball to your sideline, everything deeper than 14 yards. Drop to 12 yards out, " +
			"16 yards deep; stay as deep as the deepest receiver.",
		"hole": "hole: from 7 yards past the ball to 7 yards out, up to 15 yards deep. Drop over the ball, 10 yards deep; " +
			"sink no deeper than 10 yards.",
	} {
		z, _ := new(call.Call).Zone(name)
		if got := Zone(name, z); got != want {
			t.Errorf(" got %s\nwant %s", got, want)
		}
	}
}

// TestReadBack reads every sentence of the built-in book back, by a reader written
// from the sentences alone, and finds the rule it was made from: no sentence says
// more, less or something else, and no two rules sound alike.
func TestReadBack(t *testing.T) {
	rules := 0
	for _, p := range call.Book() {
		slots := p.Slots
		for _, ch := range p.Checks {
			slots = append(slots[:len(slots):len(slots)], ch.Slots...)
		}
		for _, s := range slots {
			for _, r := range s.Rules {
				rules++
				said := When(&r.When, p.Call.Vertical)
				got := readCond(t, said)
				want := explicit(r.When, p.Call.Vertical)
				if d := cmp.Diff(want, got); d != "" {
					t.Errorf("%s, %s, %q said as %q reads back otherwise (-rule +sentence):\n%s", p.Call.Name, s.Name, r.Rule.When,
						said, d)
				}
				if d := cmp.Diff(r.Then, readDuties(t, Then(r.Then)), cmpopts.IgnoreFields(call.Duty{}, "Area")); d != "" {
					t.Errorf("%s, %s, %q said as %q reads back otherwise (-rule +sentence):\n%s", p.Call.Name, s.Name, r.Rule.Then,
						Then(r.Then), d)
				}
			}
		}
	}
	if rules < 300 {
		t.Errorf("%d rules read: the book was not gone through", rules)
	}
}

// TestReadBackAny does the same for conditions nobody has written yet.
func TestReadBackAny(t *testing.T) {
	words := []string{"undeclared", "vertical", "out", "in", "stop", "up", "short", "deep out", "deep in", "deep stop",
		"deep out/deep in", "deep in/deep stop/out", "block", "absent", "attached", "slant", "out/slant",
		"released", "out/up", "in/stop/block/absent"}
	sets := []string{"trips", "twins", "single", "bunch", "strong", "tight end", "trips away", "single away", "empty",
		"two backs", "run", "#1 crosses #2", "far #3 crosses far #2 before 5", "#2 crosses back"}
	rapid.Check(t, func(t *rapid.T) {
		var parts []string
		for range rapid.IntRange(1, 3).Draw(t, "n") {
			s := rapid.SampledFrom(sets).Draw(t, "fact")
			if rapid.Bool().Draw(t, "sees") {
				who := rapid.SampledFrom([]string{"#1", "#2", "#5", "far #3", "back", "far back"}).Draw(t, "who")
				s = who + " " + rapid.SampledFrom(words).Draw(t, "does")
				if d := rapid.IntRange(0, 12).Draw(t, "before"); d > 0 && hasDepth(s) {
					s += fmt.Sprintf(" before %d", d)
				}
			}
			if rapid.Bool().Draw(t, "not") {
				s = "not " + s
			}
			parts = append(parts, s)
		}
		rule := strings.Join(parts, rapid.SampledFrom([]string{" and ", " or "}).Draw(t, "by"))
		c, err := call.ParseCond(rule)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(explicit(c, 7), readCond(t, When(&c, 7))); d != "" {
			t.Fatalf("%q said as %q reads back otherwise (-rule +sentence):\n%s", rule, When(&c, 7), d)
		}
	})
}

// hasDepth: an absent, blocking or attached man has no depth to be told.
func hasDepth(s string) bool {
	for _, w := range []string{"absent", "block", "attached", "undeclared"} {
		if strings.HasSuffix(s, " "+w) {
			return false
		}
	}
	return true
}

// explicit writes the threshold into every condition that has one, as a sentence does.
func explicit(c call.Cond, vertical float64) call.Cond {
	for i := range c.Kids {
		c.Kids = slices.Clone(c.Kids)
		c.Kids[i] = explicit(c.Kids[i], vertical)
	}
	const plain = call.Undeclared | call.Blocks | call.Absent | call.Attached
	if c.Op == call.Sees && c.Before == 0 && c.States&^plain != 0 || c.Op == call.Crosses && c.Before == 0 {
		c.Before = vertical
	}
	return c
}

type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

// readCond is a reader of the sentences: it knows nothing of package teach.
func readCond(t fataler, s string) call.Cond {
	t.Helper()
	if s == "anything else, and until they declare" {
		return call.Cond{Op: call.Else}
	}
	if parts := strings.Split(s, "; or "); len(parts) > 1 {
		return kids(t, call.Or, parts)
	}
	marked := strings.ReplaceAll(strings.ReplaceAll(s, ", and ", "|"), ", unless ", "|unless ")
	if parts := strings.Split(marked, "|"); len(parts) > 1 {
		return kids(t, call.And, parts)
	}
	if rest, ok := strings.CutPrefix(s, "unless "); ok {
		return kids(t, call.Not, []string{rest})
	}
	switch s {
	case "they show run":
		return call.Cond{Op: call.Set, Fact: call.FactOf("run")}
	case "the backfield is empty":
		return call.Cond{Op: call.Set, Fact: call.FactOf("empty")}
	case "two backs are in the backfield":
		return call.Cond{Op: call.Set, Fact: call.FactOf("two backs")}
	}
	for words, fact := range map[string]string{"trips": "trips", "two receivers": "twins", "one receiver": "single",
		"a bunch or stack": "bunch", "a tight end": "tight end", "strength": "strong"} {
		if m := regexp.MustCompile(`^` + words + ` to (your|the other) side$`).FindStringSubmatch(s); m != nil {
			return call.Cond{Op: call.Set, Fact: call.FactOf(fact), Away: m[1] != "your"}
		}
	}
	if m := regexp.MustCompile(`^(.*) and (.*) switch before ([0-9.]+) yards?$`).FindStringSubmatch(s); m != nil {
		a, _ := readWho(t, m[1])
		b, _ := readWho(t, m[2])
		before, _ := strconv.ParseFloat(m[3], 64)
		return call.Cond{Op: call.Crosses, Who: a, With: b, Before: before}
	}
	return readSees(t, s)
}

func kids(t fataler, op call.Op, parts []string) call.Cond {
	c := call.Cond{Op: op}
	for _, p := range parts {
		c.Kids = append(c.Kids, readCond(t, p))
	}
	return c
}

var whoRE = regexp.MustCompile(`^(#(\d) on the other side|#(\d)|the back away|the back to your side)`)

func readWho(t fataler, s string) (call.Who, string) {
	t.Helper()
	m := whoRE.FindStringSubmatch(s)
	if m == nil {
		t.Fatalf("no receiver at the start of %q", s)
	}
	n, _ := strconv.Atoi(m[2] + m[3])
	far := strings.HasSuffix(m[1], "other side") || strings.HasSuffix(m[1], "away")
	return call.Who{Number: int8(n), Far: far}, strings.TrimPrefix(s[len(m[1]):], " ")
}

func readSees(t fataler, s string) call.Cond {
	t.Helper()
	if rest, ok := strings.CutPrefix(s, "there's no "); ok {
		w, _ := readWho(t, rest)
		return call.Cond{Op: call.Sees, Who: w, States: call.Absent}
	}
	if rest, ok := strings.CutPrefix(s, "there's "); ok {
		w, _ := readWho(t, rest)
		return call.Cond{Op: call.Not, Kids: []call.Cond{{Op: call.Sees, Who: w, States: call.Absent}}}
	}
	w, rest := readWho(t, s)
	c := call.Cond{Op: call.Sees, Who: w}
	depth := func(s, word string) string {
		head, yd, ok := strings.Cut(s, word)
		if ok {
			c.Before, _ = strconv.ParseFloat(strings.Fields(strings.TrimSuffix(yd, ")"))[0], 64)
		}
		return head
	}
	var open []call.State // breaks whose depth is still to come
	for _, part := range strings.Split(strings.ReplaceAll(rest, "(breaks, or goes", "(breaks,goes"), " or ") {
		early := map[string]call.State{"breaks out": call.OutBreak, "breaks in": call.InBreak, "stops": call.StopBreak,
			"slants": call.Slanted}
		deep := map[string]call.State{"breaks out": call.DeepOut, "breaks in": call.DeepIn, "stops": call.DeepStop}
		switch {
		case part == "has not declared":
			c.States |= call.Undeclared
		case part == "stays in to block":
			c.States |= call.Blocks
		case part == "lines up attached":
			c.States |= call.Attached
		case strings.HasPrefix(part, "there's no "):
			c.States |= call.Absent
		case strings.HasPrefix(part, "breaks short of "):
			depth(part, " of ")
			c.States |= call.OutBreak | call.InBreak | call.StopBreak
		case strings.HasPrefix(part, "releases (breaks,goes past "):
			depth(part, " past ")
			c.States |= call.Vertical | call.OutBreak | call.InBreak | call.StopBreak | call.TurnedUp
		case strings.HasPrefix(part, "goes vertical past "):
			depth(part, " past ")
			c.States |= call.Vertical
		case strings.HasPrefix(part, "turns up after a break before "):
			depth(part, " before ")
			c.States |= call.TurnedUp
		case early[part] != 0:
			open = append(open, early[part])
		case strings.Contains(part, " before "):
			c.States |= early[depth(part, " before ")]
			for _, o := range open {
				c.States |= o
			}
			open = nil
		case strings.Contains(part, " past "):
			c.States |= deep[depth(part, " past ")]
			for _, o := range open {
				c.States |= o << 4
			}
			open = nil
		default:
			t.Fatalf("cannot read %q in %q", part, s)
		}
	}
	return c
}

func readDuties(t fataler, s string) []call.Duty {
	t.Helper()
	var out []call.Duty
	for _, part := range strings.Split(s, "; ") {
		out = append(out, readDuty(t, part))
	}
	return out
}

func readDuty(t fataler, s string) call.Duty {
	t.Helper()
	switch s {
	case "hold your spot":
		return call.Duty{Verb: call.Hold}
	case "rush the passer":
		return call.Duty{Verb: call.Rush}
	}
	if m := regexp.MustCompile(`^(play|help in) the (.*?)( on the other side)?$`).FindStringSubmatch(s); m != nil {
		zone := m[2]
		for of, said := range map[string]string{"cloud": "cloud flat", "cloud sink": "cloud flat and sink",
			"half": "deep half", "third": "deep third", "middle third": "deep middle third",
			"side underneath": "underneath zone", "rat": "low hole and cut the first crosser"} {
			if said == zone {
				zone = of
			}
		}
		return call.Duty{Verb: call.InZone, Zone: zone, FarZone: m[3] != "", Help: m[1] == "help in"}
	}
	for start, verb := range map[string]call.Verb{"man ": call.Man, "carry ": call.Carry, "play under ": call.Under,
		"help on ": call.HelpOn, "stay with ": call.Read, "squeeze ": call.Squeeze, "bump ": call.Bump} {
		if rest, ok := strings.CutPrefix(s, start); ok {
			w, rest := readWho(t, rest)
			d := call.Duty{Verb: verb, Who: w, Help: verb == call.HelpOn, Trail: strings.Contains(rest, ", trail")}
			if strings.Contains(rest, ", inside leverage") {
				d.Leverage = -1
			} else if strings.Contains(rest, ", outside leverage") {
				d.Leverage = +1
			}
			return d
		}
	}
	t.Fatalf("cannot read the duty %q", s)
	return call.Duty{}
}

// TestAlignReadsBack: yards, direction and man of every alignment of the book.
func TestAlignReadsBack(t *testing.T) {
	re := regexp.MustCompile(`^(?:([\d.]+) yards? (inside|outside) |(on|over) |)([^,]*), ` +
		`([\d.]+) yards? deep(, press|, trail ` +
		`technique)?(?: \(no (#\d|back|hash on your side): ([\d.]+) ` +
		`yards? outside the ball\))?$`)
	on := map[string]string{"the end man on the line": "end man", "the back": "back", "the ball": "ball",
		"the ball on the other side": "ball", "halfway between #2 and the end man": "apex",
		"the hash on your side": "hash"}
	num := func(s string) float64 { f, _ := strconv.ParseFloat(s, 64); return f }
	for _, p := range call.Book() {
		for _, d := range p.Call.Defenders {
			for _, a := range d.Align {
				m := re.FindStringSubmatch(Align(&a))
				if m == nil {
					t.Fatalf("%s, %s: cannot read %q", p.Call.Name, d.Name, Align(&a))
				}
				got := call.Align{When: a.When, On: m[4], Offset: num(m[1]), Depth: num(m[5]), Missing: num(m[8]),
					Technique: map[string]string{", press": "press", ", trail technique": "trail"}[m[6]]}
				if w, ok := on[m[4]]; ok {
					got.On = w
				}
				if m[2] == "inside" || m[4] == "the ball on the other side" {
					got.Offset = -got.Offset
				}
				if none := strings.Replace(got.On, "apex", "#2", 1); m[7] != "" && m[7] != none {
					t.Errorf("%q names another man where %s is missing", Align(&a), none)
				}
				if d := cmp.Diff(a, got); d != "" {
					t.Errorf("%q (-rule +sentence):\n%s", Align(&a), d)
				}
			}
		}
	}
}

// TestSaid: a rule as it is written says the same as the rule that was read.
func TestSaid(t *testing.T) {
	for _, p := range call.Book() {
		for i := range p.Slots {
			for _, r := range p.Slots[i].Rules {
				when, do, err := Said(r.Rule, p.Call.Vertical)
				if err != nil || when != When(&r.When, p.Call.Vertical) || do != Then(r.Then) {
					t.Errorf("%s: %+v is said %q, %q, %v", p.Call.Name, r.Rule, when, do, err)
				}
			}
		}
	}
	for _, bad := range []call.Rule{{When: "#2 sideways", Then: "man #2"}, {When: "#2 vertical", Then: "hope"}} {
		if when, do, err := Said(bad, 7); err == nil {
			t.Errorf("%+v is said %q, %q", bad, when, do)
		}
	}
}
