package starter

import (
	"testing"

	"overhang/internal/stress/picture"
)

// TestAdapt: concepts carried over to sets they are not drawn from, as a coach
// would say it (common practice, no source).
func TestAdapt(t *testing.T) {
	for _, tc := range []struct{ concept, set, want string }{
		{"stick", "2x2", "P1 go, P2 stick@6, back arrow play side"},
		{"flood", "2x1", "P1 go, P2 sail@12, back flat play side"},
		{"snag", "2x2", "P1 spot@5, P2 corner@10, back flat play side"},
		{"mesh", "2x1", "P1 corner@10, P2 over@6, B1 under@5, back flat@2 play side"},
		{"mesh", "empty 3x2", "P1 corner@10, P2 over@6, P3 flat@2, B1 post@12, B2 under@5"},
		{"hitches", "2x1", "P1 hitch@6, P2 hitch@6, B1 hitch@6"},
		{"tunnel screen", "2x2", "P1 tunnel@1, P2 block"},
	} {
		set, err := picture.LookupSet(tc.set)
		if err != nil {
			t.Fatal(err)
		}
		if got := adapt(entries(tc.concept)[0].Routes, set); got != tc.want {
			t.Errorf("%s from %s: %s, want %s", tc.concept, tc.set, got, tc.want)
		}
	}
}

// TestEveryConceptFromEverySet: a sheet with a concept and a set of the library
// has routes, whichever they are.
func TestEveryConceptFromEverySet(t *testing.T) {
	for _, set := range picture.SetNames() {
		for _, e := range picture.Library() {
			rs := Routes(e.Concept, set, "left")
			if len(rs) == 0 {
				t.Errorf("%s from %s: no routes", e.Concept, set)
			}
			seen := map[string]bool{}
			for _, r := range rs {
				key := r.Side + string(rune('0'+r.Number)) + map[bool]string{true: "back"}[r.Eligible == "back"]
				if seen[key] {
					t.Errorf("%s from %s: two routes for %s %d", e.Concept, set, r.Side, r.Number)
				}
				seen[key] = true
			}
		}
	}
}
