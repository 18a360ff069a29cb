package plan

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestApportion(t *testing.T) {
	for _, c := range []struct {
		n       int
		weights []float64
		want    []int
		src     string
	}{
		// MEM: the usual worked example of the largest remainder: 100,000 votes, ten seats.
		{10, []float64{47000, 16000, 15900, 12000, 6000, 3100}, []int{5, 2, 1, 1, 1, 0},
			"largest remainder, textbook example, MEM"},
		{3, []float64{1, 1}, []int{2, 1}, "of equals the first, CALC"},
		{4, []float64{0, 0}, []int{0, 0}, "no weight, CALC"},
		{0, []float64{1}, []int{0}, "nothing to share, CALC"},
	} {
		if d := cmp.Diff(c.want, Apportion(c.n, c.weights)); d != "" {
			t.Errorf("Apportion(%d, %v): %s (%s)", c.n, c.weights, d, c.src)
		}
	}
	// The quota rule: everybody gets his share rounded down or up, and all is given out.
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SliceOfN(rapid.Float64Range(0, 100), 1, 9).Draw(t, "weights")
		n := rapid.IntRange(0, 60).Draw(t, "n")
		sum, given := 0.0, 0
		for _, x := range w {
			sum += x
		}
		for i, got := range Apportion(n, w) {
			given += got
			if exact := float64(n) * w[i] / sum; sum > 0 && math.Abs(float64(got)-exact) >= 1+1e-9 {
				t.Fatalf("%d of a quota of %v", got, exact)
			}
		}
		if sum > 0 && given != n {
			t.Fatalf("%d given out of %d", given, n)
		}
	})
}

func TestScript(t *testing.T) {
	us := []Usage{
		{"3x1", "flood", "1", "7-10", "", "left", "right", 6}, {"3x1", "flood", "3", "4-6", "", "right", "left", 4},
		{"bunch", "a name of six whole words", "3", "4-6", "", "", "", 5}, {"3x1", "stick", "1", "7-10", "", "middle",
			"right", 5},
	}
	b := written()
	reps := Script(Period{Name: "team", Minutes: 15, RepS: 60}, b, us)
	count := map[int]int{}
	for i, r := range reps {
		count[r.Concept]++
		if i < 4 && count[r.Concept] > 2 {
			t.Errorf("rep %d is the third of its picture: they are not spread", i+1)
		}
	}
	// CALC: weights 10 x .2, 5 x .6, 5 x .4 = 2, 3, 2; of 15 reps 4.29, 6.43, 4.29: 4, 6, 4 and the
	// one left to the largest remainder, .43.
	if len(reps) != 15 || count[0] != 4 || count[1] != 7 || count[2] != 4 {
		t.Errorf("%d reps, by concept %v; want 4, 7 and 4 of 15", len(reps), count)
	}
	var hashes []string
	var calls []int
	for _, r := range reps {
		if r.Concept == 0 {
			hashes, calls = append(hashes, r.Hash), append(calls, r.Call)
			if r.Usual.Down != "1" || r.Usual.Band != "7-10" || r.Usual.SituationPlays != 6 ||
				r.Side != map[string]string{"left": "right", "right": "left"}[r.Hash] {
				t.Errorf("flood is usually %+v, from the %s hash to the %s; want first and 7-10, six plays, to the other side "+
					"of the hash", r.Usual, r.Hash, r.Side)
			}
		}
	}
	slices.Sort(hashes)
	// CALC: 4 reps over 6 left and 4 right: 2.4 and 1.6, so 2 and 2.
	if d := cmp.Diff([]string{"left", "left", "right", "right"}, hashes); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]int{0, 1, 2, 0}, calls); d != "" {
		t.Errorf("our calls in turn: %s", d)
	}
	p := Period{Minutes: 2, RepS: 60, Downs: []string{"3"}}
	third := Script(p, b, p.In(us, nil))
	for _, r := range third {
		if r.Concept == 0 && (r.Usual.Down != "3" || r.Hash != "right") {
			t.Errorf("on third down the flood is at %+v, %s", r.Usual, r.Hash)
		}
	}
	half := 0.0
	for _, p := range Scaled(UsualPeriods, 40) {
		half += p.Minutes
	}
	if half != 40 || Scaled(UsualPeriods, 0)[0].Minutes != UsualPeriods[0].Minutes {
		t.Errorf("scaled to 40 minutes: %v", half)
	}
	near := Period{Near: true}
	if got := near.In([]Usage{{Zone: "RED"}, {Zone: "OWN"}, {}}, []string{"RED", "GOAL"}); len(got) != 1 ||
		got[0].Zone != "RED" {
		t.Errorf("near the goal: %+v", got)
	}
	if n := len(Script(UsualPeriods[0], &Board{}, nil)); n != 0 {
		t.Errorf("%d reps of an empty board", n)
	}
	total := 0.0
	for _, p := range UsualPeriods {
		total += p.Minutes
		if p.Contact == Full {
			t.Errorf("%s is full contact: the usual day has none", p.Name)
		}
	}
	if total != 75 {
		t.Errorf("the usual day has %v minutes, its comment says 75", total)
	}
}
