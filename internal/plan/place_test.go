package plan_test

import (
	"testing"

	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// A set nobody knows is drawn from one that is assumed, marked so on every play of it, on
// passes and runs; the word stays. Which set: common practice, no source.
func TestPlace(t *testing.T) {
	t.Parallel()
	uses := []tags.SetUse{{SetName: "Ruby", Concept: "smash", Personnel: "11", N: 6},
		{SetName: "Ruby", Concept: "power", Personnel: "11", N: 4}, {SetName: "(unknown)", Concept: "mesh", N: 3},
		{SetName: "Onyx", Concept: "power", Personnel: "21", N: 5}, {SetName: "Ruby trips", Concept: "smash", N: 2}}
	for _, tc := range []struct{ set, concept, want string }{
		{"Ruby", "smash", "2x2"}, {"Ruby", "power", "2x2"}, {"(unknown)", "mesh", "2x2"}, {"Onyx", "power", "2x1"},
		{"Ruby trips", "smash", "3x1"}, {"3 by 1 near", "smash", "3x1"}, {"2x2", "smash", ""},
	} {
		rows := []tags.ConceptRow{{SetName: tc.set, Concept: tc.concept, Family: "dropback", Plays: 4, Side: "play",
			Number: 1, Route: "hitch", N: 4}}
		if tc.concept == "power" {
			rows = []tags.ConceptRow{{SetName: tc.set, Concept: tc.concept, Family: "run", Plays: 4}}
		}
		plan.Place(rows, uses)
		c := plan.Concepts(rows)[0]
		if c.SetName != tc.set || c.Drawn != tc.want || (c.Assumed == c.Plays) != (tc.want != "") {
			t.Errorf("%s from %q: drawn as %q, %d of %d assumed; want %q", tc.concept, tc.set, c.Drawn, c.Assumed, c.Plays,
				tc.want)
		}
		if _, err := c.Picture(field.HighSchool); err != nil {
			t.Errorf("%s from %q: %v", tc.concept, tc.set, err)
		}
	}
}
