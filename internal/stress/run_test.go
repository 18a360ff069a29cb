package stress

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// aRun prepares a run from a set.
func aRun(t *testing.T, params *motion.Params, set, concept string) *motion.Play {
	t.Helper()
	p, err := picture.New(picture.Spec{Set: set, Family: "run", Concept: concept, Routes: "B1 block",
		Receiver: params.Receiver, Back: params.Back})
	if err != nil {
		t.Fatal(err)
	}
	return Prepare(p, params)
}

// TestTradeRunBox holds runs by the men in the box against a season's.
func TestTradeRunBox(t *testing.T) {
	rows := valueTable(t, "run_box.csv")
	if rows == nil {
		t.Skip("no value tables")
	}
	params := motion.Defaults(field.Pro)
	by := map[int]*[5]mean{}
	for _, set := range []string{"2x2", "3x1", "2x1", "2x2 attached"} {
		for _, run := range picture.Runs() {
			pl := aRun(t, &params, set, run.Concept)
			for _, compiled := range call.Book() {
				r := must(Evaluate(t.Context(), compiled, pl, Usual))
				o, box := r.Outcome(), r.RunAt().Box
				v := o.On(ToGain{Need: 4, Down: 1, Distance: 10, YardsToGoal: 60}, &Usual)
				if by[box] == nil {
					by[box] = &[5]mean{}
				}
				for k, x := range []float64{v.Success, v.Gain, o.from(4), 1 - o.from(1), o.from(10)} {
					by[box][k].add(x, 1)
				}
			}
		}
	}
	sum, n := 0.0, 0.0
	var want [2]float64
	for _, r := range rows {
		if r["standard"] != "down-distance-field" {
			continue
		}
		if r["box"] == "slope per man" {
			want = [2]float64{figure(r["success_effect"]), figure(r["gain_effect"])}
			continue
		}
		b := by[int(figure(r["box"]))]
		if b == nil || r["box"] < "6" || r["box"] > "8" {
			continue
		}
		for k, col := range []string{"four_plus_raw", "zero_or_less_raw", "ten_plus_raw"} {
			d := b[k+2].of() - figure(r[col])
			sum, n = sum+d*d, n+1
		}
	}
	fmt.Printf("run-box: slope success %.3f %.3f gain %.3f %.3f share rms %.3f\n", slope(by, 0), want[0], slope(by, 1),
		want[1], math.Sqrt(sum/n))
}

// TestTradeLongRun holds the chance a yard that a run past four yards ends there against a
// season's (run_hazard, boxes of six to eight together), and that it falls with nobody deep.
func TestTradeLongRun(t *testing.T) {
	rows := valueTable(t, "run_hazard.csv")
	if rows == nil {
		t.Skip("no value tables")
	}
	params := motion.Defaults(field.Pro)
	all, of := &Outcome{}, map[string]*Outcome{}
	for _, set := range []string{"2x2", "3x1", "2x1", "2x2 attached"} {
		for _, run := range picture.Runs() {
			pl := aRun(t, &params, set, run.Concept)
			for _, compiled := range call.Book() {
				o := must(Evaluate(t.Context(), compiled, pl, Usual)).Outcome()
				if of[compiled.Call.Name] == nil {
					of[compiled.Call.Name] = &Outcome{}
				}
				for n, p := range o.Yards {
					all.Yards[n] += p
					of[compiled.Call.Name].Yards[n] += p
				}
			}
		}
	}
	sum := 0.0
	for _, b := range []struct{ from, to int }{{4, 7}, {7, 10}, {10, 15}, {15, 20}} {
		ended, reached := 0.0, 0.0
		for _, r := range rows {
			if y := int(figure(r["yards"])); y >= b.from && y < b.to {
				ended, reached = ended+figure(r["ended"]), reached+figure(r["reached"])
			}
		}
		got := 1 - math.Pow(all.from(b.to)/all.from(b.from), 1/float64(b.to-b.from))
		fmt.Printf("long run: ends a yard from %d to %d %.3f %.3f\n", b.from, b.to, got, ended/reached)
		sum += (got - ended/reached) * (got - ended/reached)
	}
	if rms := math.Sqrt(sum / 4); rms > 0.015 {
		t.Errorf("runs past four yards end %.3f a yard off the season", rms)
	}
	ten := func(name string) float64 { return of[name].from(10) / of[name].from(4) }
	if ten("cover 0") < ten("cover 1")+0.05 || of["cover 0"].from(20) < 1.3*of["cover 1"].from(20) {
		t.Errorf("nobody deep: ten of four %.3f, with one man deep %.3f; of twenty %.4f and %.4f", ten("cover 0"),
			ten("cover 1"), of["cover 0"].from(20), of["cover 1"].from(20))
	}
}

// from is the chance of a gain of so many yards and more.
func (o *Outcome) from(gain int) (p float64) {
	for i := fewest + gain; i < len(o.Yards); i++ {
		p += o.Yards[i]
	}
	return p
}

// slope of a measure by the men in the box, weighted by how often a box came up.
func slope(by map[int]*[5]mean, k int) float64 {
	var x, y, xy, xx mean
	for box, b := range by {
		w := b[k].weight
		x.add(float64(box), w)
		y.add(b[k].of(), w)
		xy.add(float64(box)*b[k].of(), w)
		xx.add(float64(box*box), w)
	}
	return (xy.of() - x.of()*y.of()) / (xx.of() - x.of()*x.of())
}

// With the box unchanged, a fitter who is out of his gap costs: the man of the aimed gap
// stands on the other side of the ball and has no gap there, and the run is worth more.
// Where a man to spare takes the gap over it costs nothing, so of these cases six must
// cost, and none may win.
func TestFitterOutOfHisGap(t *testing.T) {
	params, cost := motion.Defaults(field.HighSchool), 0
	for _, x := range []struct{ call, set, run string }{{"cover 3 sky", "3x1", "power"}, {"cover 1", "3x1", "toss"},
		{"cover 2 spot", "2x1", "toss"},
		{"palms", "2x1", "toss"}, {"tampa 2", "2x1", "toss"}, {"cover 2 carry", "2x1", "toss"}, {"cover 1 rat", "3x1",
			"toss"}} {
		compiled, err := call.Lookup(x.call)
		if err != nil {
			t.Fatal(err)
		}
		r := must(Evaluate(t.Context(), compiled, aRun(t, &params, x.set, x.run), Usual))
		fit, at := r.RunFit(), r.RunAt()
		before := r.Outcome().On(Usual.ToGain, &Usual)
		moved := *r.Rep.Setup
		moved.Men = slices.Clone(moved.Men)
		r.Rep.Setup = &moved
		for n := range fit.Gaps {
			if j := fit.Man[n]; fit.Gaps[n].Name == at.Gap && j >= 0 {
				r.Rep.Setup.Men[j].At.X *= -1 // as far from the ball on the other side
				r.Rep.Setup.Men[j].Slot = without(r.Rep.Setup.Men[j].Slot)
			}
		}
		after := r.Outcome().On(Usual.ToGain, &Usual)
		if now := r.RunAt(); now.Box != at.Box {
			t.Errorf("%s against %s from %s: the box went from %d to %d men", x.call, x.run, x.set, at.Box, now.Box)
		}
		if after.Points < before.Points-1e-9 {
			t.Errorf("%s against %s from %s: %.4f, with the man of the %s gap out of it %.4f", x.call, x.run, x.set,
				before.Points, at.Gap, after.Points)
		}
		if after.Points > before.Points+0.05 {
			t.Logf("%s against %s from %s: %.3f points, with the man of the %s gap out of it %.3f", x.call, x.run, x.set,
				before.Points, at.Gap, after.Points)
			cost++
		}
	}
	if cost < 6 {
		t.Errorf("in %d cases a fitter out of his gap costs 0.05 points", cost)
	}
}

// without is a slot whose man fits no run; the book's own keeps its role.
func without(s *call.Slot) *call.Slot {
	c, d := *s, *s.Defender
	d.Fit, c.Defender = "", &d
	return &c
}
