package plan

import (
	"math"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

func named(t *testing.T, name string) Named {
	t.Helper()
	p, err := call.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	return Named{Name: name, Compiled: p}
}

// Each play is judged by its own down and distance: a concept run on 3rd and 2 and on 3rd
// and 12 gives up the mean of what each alone does, and the board says so whatever the
// filter said of the distance.
func TestOwnDownAndDistance(t *testing.T) {
	set := tags.DefaultSettings()
	cover3 := named(t, "cover 3 spot")
	stick := Concept{SetName: "3x1", Concept: "stick", Family: "quick", Plays: 4, Routes: "P1 go, P2 arrow@3, P3 stick@6"}
	on := func(faced ...tags.Faced) float64 {
		c := stick
		c.Faced = faced
		b := must(Build(t.Context(), []Named{cover3}, []Concept{c}, 4, field.HighSchool, SituationOf(3, 0, "", set)))
		return b.Rows[0].Cells[0].Stress
	}
	short, long := on(tags.Faced{Down: 3, DistanceYd: 2, Plays: 4}), on(tags.Faced{Down: 3, DistanceYd: 12, Plays: 4})
	both := on(tags.Faced{Down: 3, DistanceYd: 2, Plays: 3}, tags.Faced{Down: 3, DistanceYd: 12, Plays: 1})
	if short <= long+0.1 {
		t.Errorf("on 3rd and 2 it gives up %.3f, on 3rd and 12 %.3f: one must be well over the other", short, long)
	}
	if want := (3*short + long) / 4; math.Abs(both-want) > 1e-12 {
		t.Errorf("three plays short and one long: %.6f, by hand %.6f", both, want)
	}
	if untold := on(); math.Abs(untold-on(tags.Faced{Down: 3, DistanceYd: 10, Plays: 4})) > 1e-12 {
		t.Errorf("plays without a distance: %v, want what ten yards give up", untold)
	}
}

// What is borrowed from all plays is played on the situation's own downs: 3rd and 11 and more
// asks for the 13 of its middle, not for what first and ten asked, whether or not a down was
// known; near the goal line the plays keep their downs, and no play has longer than to it.
func TestMoved(t *testing.T) {
	t.Parallel()
	set := tags.DefaultSettings()
	far, near := SituationOf(3, 0, "11+", set), SituationOf(0, 0, "", set)
	cs := []Concept{{Plays: 3, Faced: []tags.Faced{{Down: 1, DistanceYd: 10, YardsToGoal: 60, Plays: 2},
		{Down: 2, DistanceYd: 3, YardsToGoal: 5, Plays: 1}}}, {Plays: 2}}
	if moved := far.Moved(cs, 0); far.need(moved) != 13 || moved[0].Faced[0].YardsToGoal != 60 ||
		moved[0].Faced[1].YardsToGoal != 0 || moved[1].Faced[0].Plays != 2 {
		t.Errorf("to 3rd and 11+: need %v, %v", far.need(moved), moved)
	}
	if moved := near.Moved(cs, 7); moved[0].Faced[0] != (tags.Faced{Down: 1, DistanceYd: 10, YardsToGoal: 7, Plays: 2}) {
		t.Errorf("to the 7: %v", moved[0].Faced)
	}
	if cs[0].Faced[0].Down != 1 || cs[0].Faced[1].YardsToGoal != 5 {
		t.Errorf("the plays themselves moved: %v", cs)
	}
}

// Near the goal line the field ends, and no gain is asked for that is past it.
func TestGoalLineIsNoOpenField(t *testing.T) {
	quarters := named(t, "quarters match")
	verticals := Concept{SetName: "2x2", Concept: "four verticals", Family: "dropback", Plays: 1,
		Routes: "P1 go, P2 seam, B1 go, B2 seam"}
	at := func(toGoal int) *stress.Result {
		c := verticals
		c.Faced = []tags.Faced{{Down: 1, DistanceYd: 10, YardsToGoal: toGoal, Plays: 1}}
		r, err := Play(t.Context(), quarters, &c, field.HighSchool, SituationOf(1, 10, "", tags.DefaultSettings()))
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	goal, open := at(3), at(60)
	for _, x := range goal.Throws {
		if x.Depth > 13 {
			t.Errorf("from the three a throw is caught %.1f yd deep, behind the end line", x.Depth)
		}
	}
	if goal.Stress == open.Stress {
		t.Error("a seam at the three gives up what it gives up at midfield")
	}
	terms := SituationOf(1, 10, "", tags.DefaultSettings())
	if need := terms.of(tags.Faced{Down: 1, DistanceYd: 10, YardsToGoal: 2}).Need; need != 2 {
		t.Errorf("first and goal at the two needs %v", need)
	}
	if need := terms.of(tags.Faced{Down: 4, DistanceYd: 1, YardsToGoal: 40}).Need; need != 1 {
		t.Errorf("4th and 1 needs %v", need)
	}
}
