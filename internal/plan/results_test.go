package plan

import (
	"context"
	"math"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// TestResultsLift: what an opponent's results add stands in success, by the number, and in
// points at 1.93 a success (published fit of one season); a fix and a cell have it as the
// board does, and no chance leaves 0 to 1.
func TestResultsLift(t *testing.T) {
	c, err := call.Lookup("cover 3 spot")
	if err != nil {
		t.Fatal(err)
	}
	n := Named{Name: "cover 3 spot", Compiled: c}
	terms := Terms{Setting: stress.Usual, Percent: [3]int{40, 60, 100}}
	cell := func(r *Results) Cell {
		k := Concept{SetName: "2x2", Concept: "curls", Family: "dropback", Plays: 10, Routes: "P1 curl@12, P2 flat",
			Results: r}
		b, err := Build(context.Background(), []Named{n}, []Concept{k}, 10, field.HighSchool, terms)
		if err != nil {
			t.Fatal(err)
		}
		alone, err := Play(context.Background(), n, &k, field.HighSchool, terms)
		if err != nil || alone.Value.Points != b.Rows[0].Cells[0].Points {
			t.Fatalf("the cell by itself gives up %v, on the board %v (%v)", alone, b.Rows[0].Cells[0].Points, err)
		}
		return b.Rows[0].Cells[0]
	}
	was := cell(nil)
	now := cell(&Results{Level: 0.03, With: 0.02, In: -0.01})
	if d := now.Success - was.Success; math.Abs(d-0.04) > 1e-9 || now.Stress != now.Success {
		t.Errorf("success moved by %.4f, want .04", d)
	}
	if d := now.Points - was.Points; math.Abs(d-0.04*1.93) > 1e-9 {
		t.Errorf("points moved by %.4f, want .0772", d)
	}
	if s := cell(&Results{Level: 3}).Success; s != 1 {
		t.Errorf("a chance of %v", s)
	}
}
