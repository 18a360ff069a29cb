package stress

import (
	"fmt"
	"slices"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// TestOrderOfQuestions asks every call against pictures and runs, forward and backward,
// each time of plays prepared anew: what was asked before may change no answer.
func TestOrderOfQuestions(t *testing.T) {
	ask := func(backward bool) map[string]string {
		params := motion.Defaults(field.Pro)
		plays := libraryPlays(t, &params)[:12]
		for _, set := range []string{"2x2", "3x1"} {
			for _, run := range picture.Runs() {
				plays = append(plays, aRun(t, &params, set, run.Concept))
			}
		}
		book := slices.Clone(call.Book())
		if backward {
			slices.Reverse(plays)
			slices.Reverse(book)
		}
		said := map[string]string{}
		for _, pl := range plays {
			for _, compiled := range book {
				r := must(Evaluate(t.Context(), compiled, pl, Usual))
				o := r.Outcome()
				key := fmt.Sprint(compiled.Call.Name, " against ", pl.Picture.Concept, " from ", pl.Picture.Set.Name, pl.Picture)
				said[key] = fmt.Sprintf("%v %v %v %+v", r.Stress, len(r.Findings), o.Yards, r.RunAt())
			}
		}
		return said
	}
	first, second := ask(false), ask(true)
	wrong := 0
	for key, was := range first {
		if now := second[key]; now != was {
			if wrong++; wrong <= 5 {
				t.Errorf("%s:\n forward  %.200s\n backward %.200s", key, was, now)
			}
		}
	}
	t.Logf("%d of %d answers differ", wrong, len(first))
}
