package stress

import (
	"math"
	"slices"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// What a charted word stands for: written down, with its sources, before the lift of
// where passers throw was first read, and told in the package documentation.
var charted = struct {
	routes map[string][]string // ours, by the charted word
	calls  map[string][]part
	family map[string]float64 // share of a season's throws, by family
}{
	routes: map[string][]string{"ANGLE": {"angle", "check"}, "CORNER": {"corner", "post-corner"},
		"CROSS": {"over", "cross", "shallow", "mesh"},
		"FLAT":  {"flat", "late flat", "arrow", "swing"}, "GO": {"go", "fade", "seam", "sluggo"}, "HITCH": {"hitch", "curl",
			"stick", "sit", "spot", "hook", "comeback"},
		"IN": {"in", "dig", "drift", "option"}, "OUT": {"out", "sail", "whip"}, "POST": {"post", "inside post", "bender",
			"glance", "divide", "corner-post"},
		"SCREEN": {"bubble", "slow screen", "tunnel", "now"}, "SLANT": {"slant"}, "WHEEL": {"wheel"}},
	// Rushers by coverage: open_plays_2022 (five or more: COVER_1 .32, COVER_3 .22). The
	// rest are shares of common practice, no source.
	calls: map[string][]part{
		"COVER_0": {{"cover 0", 1, nil}},
		"COVER_1": {{"cover 1", .30, outside}, {"cover 1", .10, nil}, {"cover 1", .14, pressed}, {"cover 1 rat", .14, nil},
			{"cover 1", .16, rushed("hole")},
			{"cover 1", .16, both(pressed, rushed("hole"))}},
		"COVER_2": {{"cover 2 spot", .35, nil}, {"cover 2 carry", .35, nil}, {"tampa 2", .30, nil}},
		"2_MAN":   {{"two-man", 1, nil}},
		"COVER_3": {{"cover 3 match", .40, nil}, {"cover 3 sky", .20, nil}, {"cover 3 spot", .18, nil},
			{"fire zone", .22, nil}},
		"COVER_4": {{"quarters match", .45, nil}, {"quarters spot", .25, nil}, {"palms", .30, nil}},
		"COVER_6": {{"cover 6", 1, nil}}},
	// Throws of open_plays_2022 that are neither screens nor RPOs 13,090 without and 3,461 with a
	// play fake, 531 RPOs; families that share one are alike, concepts of a family too.
	family: map[string]float64{"dropback": .766, "quick": .766, "play_action": .203, "boot": .203, "rpo": .031,
		"draw": .031},
}

// A part is a call that a charted word stands for, how often, and in what it differs
// from the book's.
type part struct {
	call   string
	weight float64
	change func(*call.Call)
}

// manWord says that a charted word stands for man to man.
func manWord(w string) bool { return w == "COVER_0" || w == "COVER_1" || w == "2_MAN" }

// plan compiles a part.
func (p part) plan(t *testing.T) *call.Compiled {
	t.Helper()
	compiled, err := call.Lookup(p.call)
	if err != nil || p.change == nil {
		if err != nil {
			t.Fatal(err)
		}
		return compiled
	}
	c := *compiled.Call
	c.Defenders = slices.Clone(c.Defenders)
	for i := range c.Defenders {
		c.Defenders[i].Align = slices.Clone(c.Defenders[i].Align)
	}
	p.change(&c)
	if compiled, err = call.Compile(&c); err != nil {
		t.Fatal(err)
	}
	return compiled
}

// pressed puts the corners a yard and a half off, hands on.
func pressed(c *call.Call) {
	for i := range c.Defenders {
		if d := &c.Defenders[i]; slices.Contains(d.Roles, "corner") {
			for n := range d.Align {
				d.Align[n].Depth, d.Align[n].Technique = 1.5, "press"
			}
		}
	}
}

// outside gives men with help inside outside leverage (trade notes 3.10: leverage to help;
// BR-C1, SAB-C1).
func outside(c *call.Call) {
	for i := range c.Defenders {
		d := &c.Defenders[i]
		if !slices.Contains(d.Roles, "man on #1") && !slices.Contains(d.Roles, "man on #2") {
			continue
		}
		for n := range d.Align {
			if a := &d.Align[n]; a.On[0] == '#' {
				a.Offset = math.Abs(a.Offset)
			}
		}
		d.Rules = slices.Clone(d.Rules)
		for n := range d.Rules {
			d.Rules[n].Then = strings.ReplaceAll(d.Rules[n].Then, " inside", " outside")
		}
	}
}

// rushed sends the man of a role.
func rushed(role string) func(*call.Call) {
	return func(c *call.Call) {
		for i := range c.Defenders {
			if d := &c.Defenders[i]; slices.Contains(d.Roles, role) {
				d.Rules = []call.Rule{{When: "else", Then: "rush"}}
			}
		}
	}
}

func both(a, b func(*call.Call)) func(*call.Call) {
	return func(c *call.Call) { a(c); b(c) }
}

// A seen throw is one that the passer of the library might choose against a charted
// coverage, with how often.
type seen struct {
	route, coverage string
	ours            string  // our route's name, with the receiver
	weight          float64 // of concept and call, times the passer's share
	throw           Throw
}

// library plays the library's concepts against what the charted words stand for, at
// professional level, and lists every receiver the passer might choose. Screens weigh
// nothing in family, and one each in no family's stead when screens is set.
func seenThrows(t *testing.T, screens bool) (out []seen) {
	t.Helper()
	params := motion.Defaults(field.Pro)
	tuneParams(&params)
	name := map[string]string{}
	for word, routes := range charted.routes {
		for _, r := range routes {
			name[r] = word
		}
	}
	entries := picture.Library()
	alike := map[float64]float64{}
	for _, e := range entries {
		alike[charted.family[e.Family]]++
	}
	plays := libraryPlays(t, &params)
	words := make([]string, 0, len(charted.calls))
	for w := range charted.calls {
		words = append(words, w)
	}
	slices.Sort(words)
	var plans [][]*call.Compiled
	for _, w := range words {
		var ps []*call.Compiled
		for _, p := range charted.calls[w] {
			ps = append(ps, p.plan(t))
		}
		plans = append(plans, ps)
	}
	rooms := map[*motion.Play]*Evaluator{} // an Evaluator remembers the men of one picture
	for n, pl := range plays {
		share := charted.family[entries[n].Family]
		w := share / alike[share]
		if share == 0 {
			if !screens {
				continue
			}
			w = 1.0 / float64(len(entries))
		}
		play := func(compiled *call.Compiled, pl *motion.Play, s Setting, word string, w float64) {
			if rooms[pl] == nil {
				rooms[pl] = &Evaluator{}
			}
			r := must(rooms[pl].Evaluate(t.Context(), compiled, pl, s))
			for _, th := range r.Throws {
				th.Separation = onTheDay(r.Rep, &th)
				rec := &pl.Picture.Receivers[th.Receiver]
				out = append(out, seen{name[rec.Route.Name], word, rec.Name + " " + rec.Route.Name, w * th.Share, th})
			}
		}
		for x, word := range words {
			for y, compiled := range plans[x] {
				for _, balance := range []int{1, -1} { // the strong side of an even set lies as often here as there
					s := Usual
					s.Balance = balance
					each := w * charted.calls[word][y].weight / 2
					c := pl.Answered(duty.New(compiled, pl.Picture, balance, compiled.Call.Vertical).Look())
					if c == nil {
						play(compiled, pl, s, word, each)
						continue
					}
					play(compiled, pl, s, word, each*(1-picture.Converts))
					play(compiled, c, s, word, each*picture.Converts)
				}
			}
		}
	}
	return out
}

// onTheDay is how far the nearest man is from a catch on the days when it is thrown: tracked
// separations are of throws that were made.
func onTheDay(g *motion.Rep, th *Throw) field.Yards {
	near, read := field.Yards(math.Inf(1)), torn(g, th.Receiver, th.K, new([11]float64))
	for n, j := range g.Cover {
		d := g.Gap[j][th.Receiver][th.K]
		if n < len(read) {
			d += DefaultCurve.better(th.Flight) * read[n]
		}
		near = min(near, d)
	}
	return near
}

// libraryPlays prepares the library's pictures on a field of the level.
func libraryPlays(t *testing.T, params *motion.Params) (out []*motion.Play) {
	t.Helper()
	for _, e := range picture.Library() {
		p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Rest: e.Rest,
			Spot: field.Spot{Level: params.Level}, Receiver: params.Receiver, Back: params.Back})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, Prepare(p, params))
	}
	return out
}
