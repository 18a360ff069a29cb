package plan

import (
	"context"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// TestOurMen: a slower corner in man coverage gives up more against the out he covers, a
// quicker one less, and the cell says what it would be with even men; a call in which he has
// nothing to do with it, or everybody even, says nothing. A man who is slower is never
// better off: common practice, no source.
func TestOurMen(t *testing.T) {
	out := Concept{SetName: "2x2", Concept: "outs", Family: "dropback", Plays: 10, Routes: "P1 out@10, B1 go"}
	named := func(by call.Paces) Named {
		even, err := call.Lookup("cover 1")
		if err != nil {
			t.Fatal(err)
		}
		n := Named{Name: "cover 1", Compiled: even}
		if c, some := even.Pacing(by); some {
			n.Compiled, n.Even = c, even
		}
		return n
	}
	at := map[call.Pace]float64{}
	for _, pace := range []call.Pace{"", call.Slower, call.Quicker} {
		by := call.Paces{}
		if pace != "" {
			by["strong corner"] = pace
		}
		b, err := Build(context.Background(), []Named{named(by)}, []Concept{out}, 10, field.HighSchool,
			Terms{Setting: stress.Usual, Percent: [3]int{40, 60, 100}})
		if err != nil {
			t.Fatal(err)
		}
		c := &b.Rows[0].Cells[0]
		at[pace] = c.Points
		if (c.Even != nil) != (pace != "") || b.Uneven() != map[bool]int{true: 1}[pace != ""] {
			t.Errorf("%q: even %v, %d cells uneven", pace, c.Even, b.Uneven())
		}
		if c.Even != nil && *c.Even != at[""] {
			t.Errorf("%q: even men give up %.3f there and %.3f by themselves", pace, *c.Even, at[""])
		}
	}
	t.Logf("even %.3f, slower %.3f, quicker %.3f points", at[""], at[call.Slower], at[call.Quicker])
	if at[call.Slower] <= at[""] || at[call.Quicker] >= at[""] {
		t.Errorf("even %.3f, slower %.3f, quicker %.3f points", at[""], at[call.Slower], at[call.Quicker])
	}
}
