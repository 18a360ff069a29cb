package plan

import (
	"context"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

func ptr[T any](v T) *T { return &v }

func row(set, concept string, plays int, side string, number int, back bool, route string, n int,
	median *float64) tags.ConceptRow {
	return tags.ConceptRow{SetName: set, Concept: concept, Family: "dropback", Plays: plays, Side: side, Number: number,
		Back: back, Route: route, N: n, Known: n, Median: median}
}

// rows are what the store counts for ten smashes and four floods.
func rows() []tags.ConceptRow {
	return []tags.ConceptRow{
		row("2x2", "smash", 10, "play", 1, false, "hitch", 9, ptr(5.4)),
		row("2x2", "smash", 10, "play", 1, false, "in", 1, ptr(5.0)),
		row("2x2", "smash", 10, "play", 2, false, "corner", 10, ptr(12.0)),
		row("2x2", "smash", 10, "play", 3, true, "flat", 3, ptr(2.0)), // released too seldom to belong
		row("2x2", "smash", 10, "back", 1, false, "go", 10, nil),
		row("3x1", "flood", 4, "play", 1, false, "go", 4, nil),
		row("3x1", "flood", 4, "play", 2, false, "sail", 4, nil), // no depth was ever tagged
		row("3x1", "flood", 4, "play", 3, false, "flat", 4, ptr(3.0)),
	}
}

func TestConcepts(t *testing.T) {
	cs := Concepts(rows())
	if len(cs) != 2 || cs[0].Routes != "P1 hitch@5.5, P2 corner@12, B1 go" || cs[1].Routes != "P1 go, P2 sail, P3 flat@3" {
		t.Fatalf("concepts: %+v", cs)
	}
	if o := cs[0].Receivers[0].Others; len(o) != 1 || o[0] != "in 1" {
		t.Errorf("disagreements %v; want the one in", o)
	}
}

// TestAwayFromStrength: a play run away from the three of a 3x1 has the three on the P side, as
// the library has what is run to the weak side; whom the set has on neither side is in no
// picture, and the others still are. (Common practice, no source.)
func TestAwayFromStrength(t *testing.T) {
	t.Parallel()
	r := func(n int, side string, number int, route string) tags.ConceptRow {
		return row("3x1", "verticals", n, side, number, false, route, n, nil)
	}
	back := row("3x1", "verticals", 4, "back", 4, true, "flat", 4, nil)
	for name, x := range map[string]struct {
		rows []tags.ConceptRow
		want string
	}{
		"away": {[]tags.ConceptRow{r(4, "back", 1, "go"), r(4, "back", 2, "seam"), r(4, "back", 3, "bender"),
			r(4, "play", 1, "go"), back}, "P1 go, P2 seam, P3 bender, B1 go, back flat"},
		"a man too many": {[]tags.ConceptRow{r(4, "play", 1, "go"), r(4, "play", 2, "seam"), r(4, "back", 1, "go"),
			r(4, "back", 2, "seam")}, "P1 go, P2 seam, B1 go"},
	} {
		got := Concepts(x.rows)[0]
		names, want := strings.Split(got.Routes, ", "), strings.Split(x.want, ", ")
		slices.Sort(names)
		slices.Sort(want)
		if !slices.Equal(names, want) {
			t.Errorf("%s: %q, want %q", name, got.Routes, x.want)
		}
		if _, err := picture.New(picture.Spec{Set: "3x1", Family: "dropback", Routes: got.Routes}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestOneBackIsOneMan: a back who checks to either side is not two men; backs who
// release more often than there were plays are.
func TestOneBackIsOneMan(t *testing.T) {
	back := func(side string, n int) tags.ConceptRow {
		return row("2x2", "sticks", 10, side, 3, true, "flat", n, ptr(2.0))
	}
	for _, c := range []struct {
		play, other int
		want        string
	}{{5, 5, "back flat@2"}, {4, 6, "back flat@2 to the B side"}, {8, 7, "back flat@2 to the B side, back2 flat@2"},
		{2, 2, ""}} {
		got := Concepts([]tags.ConceptRow{back("back", c.other), back("play", c.play)})[0]
		if c.play >= c.other { // the store orders by side; of equals either may stand
			got = Concepts([]tags.ConceptRow{back("play", c.play), back("back", c.other)})[0]
		}
		if got.Routes != c.want && !(c.want == "back flat@2 to the B side, back2 flat@2" &&
			got.Routes == "back flat@2, back2 flat@2 to the B side") {
			t.Errorf("to the play side %d, to the other %d of 10: %q, want %q", c.play, c.other, got.Routes, c.want)
		}
		if n := len(got.Seldom); (n == 1) != (c.want == "") {
			t.Errorf("to the play side %d, to the other %d of 10: seldom %v", c.play, c.other, got.Seldom)
		}
	}
}

// TestRarePictureIsNotTheWorst: what he ran once in 41 plays is no call's worst picture.
func TestRarePictureIsNotTheWorst(t *testing.T) {
	b := Board{Covered: 41, Concepts: []Concept{{Plays: 30}, {Plays: 10}, {Plays: 1}}}
	r := Row{Cells: []Cell{{Stress: 0.45, GivesUp: GivesUp{Points: 0.1}}, {Stress: 0.4, GivesUp: GivesUp{Points: 0.2}},
		{Stress: 0.9, GivesUp: GivesUp{Points: 0.9}}}}
	if b.weigh(&r); r.Worst != 1 {
		t.Errorf("worst picture %d", r.Worst)
	}
	one := Board{Covered: 3, Concepts: []Concept{{Plays: 3}}}
	r = Row{Cells: []Cell{{Stress: 0.5}}}
	if one.weigh(&r); r.High-r.Low < 0.3 {
		t.Errorf("three plays of one concept: %v to %v; three plays say less than that", r.Low, r.High)
	}
}

func TestSituationOf(t *testing.T) {
	set := tags.DefaultSettings() // 40, 60, 100% of the distance
	for _, c := range []struct {
		down, distance int
		band           string
		need           float64
	}{{0, 0, "", 4}, {1, 10, "", 4}, {3, 7, "", 7}, {3, 0, "", 10}, {3, 0, "1-3", 2}, {3, 0, "4-6", 5}, {3, 0, "11+", 13},
		{3, 0, "no such band", 10}} {
		if got := SituationOf(c.down, c.distance, c.band, set).ToGain.Need; got != c.need {
			t.Errorf("down %d, distance %d, band %q: needs %v, want %v", c.down, c.distance, c.band, got, c.need)
		}
	}
}

func TestBoard(t *testing.T) {
	var calls []Named
	for _, n := range []string{"cover 2 spot", "quarters match", "cover 3 spot"} {
		p, err := call.Lookup(n)
		if err != nil {
			t.Fatal(err)
		}
		calls = append(calls, Named{Name: n, Compiled: p})
	}
	b := must(Build(context.Background(), calls, Concepts(rows()), 20, field.HighSchool, Terms{Setting: stress.Usual}))
	if b.Plays != 20 || b.Covered != 14 ||
		b.LeftOut["no concept or set tagged, or a pass without play side or routes"] != 6 {
		t.Errorf("of %d plays %d covered, left out %v; want 14 of 20 and six untagged", b.Plays, b.Covered, b.LeftOut)
	}
	share := 0.0
	for i, r := range b.Rows {
		mean := (10*r.Cells[0].Stress + 4*r.Cells[1].Stress) / 14 // weighted by hand
		if math.Abs(mean-r.Stress) > 1e-12 || r.Low > r.Stress || r.High < r.Stress {
			t.Errorf("%s: stress %v in [%v, %v], by hand %v", r.Call, r.Stress, r.Low, r.High, mean)
		}
		if i > 0 && r.Points < b.Rows[i-1].Points {
			t.Error("the board is not in order of what is given up")
		}
		share += r.Share
	}
	if math.Abs(share-1) > 1e-9 {
		t.Errorf("mix shares add up to %v", share)
	}
	// The mix gives up no more to what hurts it than the first call alone.
	if *b.Predictable < 0 || b.turned(0, 0) < *b.MixPoints-1e-9 && b.turned(0, 1) < *b.MixPoints-1e-9 {
		t.Errorf("the mix gives up %v, the first call %v and %v", *b.MixPoints, b.turned(0, 0), b.turned(0, 1))
	}
	empty := must(Build(context.Background(), calls, nil, 0, field.HighSchool, Terms{Setting: stress.Usual}))
	if len(empty.Rows) != 3 || empty.Covered != 0 || math.IsNaN(empty.Rows[0].Stress) || empty.TooFew == "" {
		t.Errorf("a board without plays: %+v", empty)
	}
}

func TestCases(t *testing.T) {
	var calls []Named
	for _, n := range []string{"cover 2 spot", "cover 3 spot", "quarters match"} {
		p, err := call.Lookup(n)
		if err != nil {
			t.Fatal(err)
		}
		calls = append(calls, Named{Name: n, Compiled: p})
	}
	sit := Terms{Setting: stress.Usual}
	b := must(Build(context.Background(), calls, Concepts(rows()), 20, field.HighSchool, sit))
	cases := must(Cases(context.Background(), &b, 10, calls))
	if len(cases) == 0 {
		t.Fatal("no case")
	}
	for i, c := range cases {
		f := &c.Result.Findings[c.Found]
		if got := Tell(c.Result, f); got != c.Finding || f.Single {
			t.Errorf("%s against %s: played again it says %+v, on the board %+v", c.Call, c.Concept, got, c.Finding)
		}
		if i > 0 && float64(c.Plays)*c.Finding.ShortYd > float64(cases[i-1].Plays)*cases[i-1].Finding.ShortYd {
			t.Errorf("case %d weighs more than the one before", i)
		}
		// Read off the board by hand: no call gives up less to the concept.
		for _, r := range b.Rows {
			for _, cell := range r.Cells {
				k := &b.Concepts[cell.Concept]
				if k.Concept == c.Concept && (cell.Stress < c.AnswerStress || r.Call == c.AnswerCall &&
					cell.Stress != c.AnswerStress || r.Call == c.Call && cell.Stress != c.Stress) {
					t.Errorf("%s against %s: answer %s %v, the board has %s %v", c.Call, c.Concept, c.AnswerCall, c.AnswerStress,
						r.Call, cell.Stress)
				}
			}
		}
		if c.Better != nil && c.Better.BestYd > c.Better.TaughtYd {
			t.Errorf("%s against %s: at best %v, as taught %v", c.Call, c.Concept, c.Better.BestYd, c.Better.TaughtYd)
		}
	}
	if few := Worst(&b, 1); len(few) != 1 || few[0].Finding != cases[0].Finding {
		t.Error("the one worst conflict is not the first of ten")
	}
	empty := must(Build(context.Background(), calls, nil, 0, field.HighSchool, sit))
	if none := must(Cases(context.Background(), &empty, 10, calls)); none == nil || len(none) != 0 {
		t.Errorf("an empty board: %v; want no cases, not null", none)
	}
}

// TestNothingIsUnknown: a board of no play says null, not 0, of what its calls and its mix give
// up; one of few plays has no mix, and knows its rows.
func TestNothingIsUnknown(t *testing.T) {
	calls := []Named{{Name: "cover 1", Compiled: must(call.Lookup("cover 1"))}}
	terms := Terms{Setting: stress.Usual}
	empty := must(Build(t.Context(), calls, nil, 0, field.HighSchool, terms))
	few := must(Build(t.Context(), calls, Concepts(rows()[5:]), 4, field.HighSchool, terms))
	for _, c := range []struct {
		board *Board
		rows  bool
	}{{&empty, false}, {&few, true}} {
		var said map[string]any
		if err := json.Unmarshal(must(json.Marshal(c.board)), &said); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"mix_value", "mix_gives_up_points", "predictable_points"} {
			if v, there := said[name]; v != nil || !there {
				t.Errorf("%d plays: %s is %v, want null", c.board.Covered, name, v)
			}
		}
		row := said["calls"].([]any)[0].(map[string]any)
		for _, name := range []string{"gives_up_points", "gives_up_low", "success", "stress", "worst_concept"} {
			if v, there := row[name]; (v != nil) != c.rows || !there {
				t.Errorf("%d plays: %s of a row is %v", c.board.Covered, name, v)
			}
		}
	}
}
