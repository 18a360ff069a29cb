package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// written is a board by hand: A is best overall and on flood, B on the bunch.
func written() *Board {
	row := func(call string, stress float64, cells ...float64) Row {
		r := Row{Call: call, Stress: stress}
		for _, c := range cells {
			r.Cells = append(r.Cells, Cell{Stress: c})
		}
		return r
	}
	return &Board{Concepts: []Concept{{SetName: "3x1", Concept: "flood", Plays: 10},
		{SetName: "bunch", Concept: "a name of six whole words", Plays: 5}, {SetName: "3x1", Concept: "stick", Plays: 5}},
		Rows: []Row{row("A", .35, .2, .6, .4), row("B", .45, .6, .3, .3), row("C", .5, .5, .6, .4)}}
}

func TestPicks(t *testing.T) {
	// CALC: means over the calls are .4333, .5, .3667; A gains 10 x .2333 on flood; B 5 x
	// .2 on the bunch concept; C is worse than the mean everywhere.
	var got []string
	for _, p := range written().Picks(3) {
		got = append(got, p.Call+": "+p.Reason)
		if n := len(strings.Fields(p.Reason)); n > 5 {
			t.Errorf("%q has %d words, want five at most", p.Reason, n)
		}
	}
	if d := cmp.Diff([]string{"A: best vs flood", "B: best vs a name of", "C: gives up least overall"}, got); d != "" {
		t.Error(d)
	}
	// CALC: from 3x1 A gives up (10 x .2 + 5 x .4) / 15 = .267, B (10 x .6 + 5 x .3) / 15 = .5; from
	// the bunch B gives up .3 and A .6.
	as := written().Alerts()
	if len(as) != 1 || as[0].SetName != "bunch" || as[0].Call != "B" || as[0].Plays != 5 ||
		math.Abs(as[0].First-.6) > 1e-12 || as[0].Stress != .3 {
		t.Errorf("alerts %+v; want B against the bunch", as)
	}
	// CALC: 10 plays by 1 yd is more than 5 by 1.5; a single is no two-way threat.
	w := written()
	w.Rows[0].Cells[0].Findings = []Finding{{Defender: "corner", ShortYd: 1, TwoWay: true}, {Defender: "hook", ShortYd: 9}}
	w.Rows[0].Cells[1].Findings = []Finding{{Defender: "safety", ShortYd: 1.5, TwoWay: true}}
	if got := w.Watch(); got == nil || got.Defender != "corner" || got.Concept != "flood" || written().Watch() != nil {
		t.Errorf("watch %+v; want the corner against flood, and nothing where nothing was found", got)
	}
	empty := &Board{Rows: []Row{{Call: "A"}}}
	if len(empty.Picks(3)) != 0 || len(empty.Alerts()) != 0 || len((&Board{}).Alerts()) != 0 {
		t.Error("a board without concepts or calls has picks or alerts")
	}
}
