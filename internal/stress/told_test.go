package stress

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// everyFinding plays the book against the library and looks at every finding of it.
func everyFinding(t *testing.T, look func(pl *motion.Play, r *Result, f *Finding)) {
	t.Helper()
	params := motion.Defaults(field.HighSchool)
	tuneParams(&params)
	var ev Evaluator
	for _, pl := range libraryPlays(t, &params) {
		for _, p := range call.Book() {
			r := must(ev.Evaluate(t.Context(), p, pl, Usual))
			for n := range r.Findings {
				look(pl, r, &r.Findings[n])
			}
		}
	}
}

// releaseOf is the index of the release a finding is worst at.
func releaseOf(g *motion.Rep, f *Finding) int {
	return int(math.Round((f.At - g.Releases[0]) / motion.Tick))
}

// TestEveryFinding: over all findings of book x library the man named owes the throw by rule, a deep
// man one within a yard of his zone, too, or nobody does and he is the nearest; and the yards told are
// the yards that are there: those of the separation that curve, table and drawing show of the same
// release.
func TestEveryFinding(t *testing.T) {
	t.Parallel()
	n, singles, choices := 0, 0, 0
	everyFinding(t, func(pl *motion.Play, r *Result, f *Finding) {
		g, k := r.Rep, releaseOf(r.Rep, f)
		n++
		bad := func(format string, args ...any) {
			t.Errorf("%s, %s: %s: %s", g.Setup.Compiled.Call.Name, pl.Picture, describe(g, f), fmt.Sprintf(format, args...))
		}
		owes := func(j int) bool { // help from over six yards away is none
			grade := g.Owes(j, f.Open, k)
			return grade == 2 || grade == 1 && g.Window[j][f.Open][k] <= 6 ||
				slices.ContainsFunc(g.Setup.Men[j].Owed(g.Releases[k]), func(d duty.Duty) bool {
					return d.Verb == call.InZone && d.Zone.Sink == 0 && d.Zone.Inside(g.Of(f.Open)[k].At) >= -1
				})
		}
		nearest, owed := g.Cover[0], false
		for _, j := range g.Cover {
			owed = owed || owes(j)
			if g.Window[j][f.Open][k] < g.Window[nearest][f.Open][k] {
				nearest = j
			}
		}
		if owed && !owes(f.Man) || !owed && f.Man != nearest || owed == (f.Kind == Uncovered) {
			bad("he does not owe it")
		}
		size := math.Inf(1)
		for _, a := range g.Arrivals(f.Open, k) {
			size = min(size, a.Distance)
		}
		if f.Choice {
			choices++
			if f.Size > f.Between+g.Params.Contest+1e-9 {
				bad("the best spot misses %.2f", f.Between)
			}
		} else if math.Abs(size-f.Size) > 0.01 {
			bad("%.2f yd are there", size)
		}
		if !strings.Contains(r.Sentence(f), yards(f.Size)) {
			bad("the sentence says other yards: %s", r.Sentence(f))
		}
		if f.Single {
			singles++
		}
	})
	t.Logf("%d findings, %d of one owner, %d choices", n, singles, choices)
	if n < 1000 || singles == 0 || choices == 0 {
		t.Errorf("%d findings, %d of one owner, %d choices: the library was not gone through", n, singles, choices)
	}
}
