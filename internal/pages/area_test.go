package pages

import (
	"slices"
	"testing"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// TestInsideRoutes: the routes that put a throw in the middle of the field are those of the
// library whose last leg runs on toward the ball, or goes five yards that way before it ends (a
// tunnel screen), and those that climb across.
func TestInsideRoutes(t *testing.T) {
	for _, name := range picture.RouteNames() {
		r, err := picture.LookupRoute(name)
		if err != nil {
			t.Fatal(err)
		}
		inside := r.Over
		if n := len(r.Legs); n > 0 && (!r.Settle || r.Legs[n-1].Len >= 5) {
			inside = inside || r.Legs[n-1].Dir <= -20 && r.Legs[n-1].Dir >= -115
		}
		if got := slices.Contains(tags.InsideRoutes, r.Name); got != inside {
			t.Errorf("%s: counted as thrown to the middle %v, its shape says %v", r.Name, got, inside)
		}
	}
}
