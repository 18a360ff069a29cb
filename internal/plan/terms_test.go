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
