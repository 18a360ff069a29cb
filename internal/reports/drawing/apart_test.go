package drawing

import (
	"testing"

	"overhang/internal/stress/field"
)

// TestBothAreSeen: of two defenders on one spot, or half a yard apart, neither hides the other's
// letter, and the one the drawing is about stays where he is; who stands clear is not moved. That
// a letter is seen when symbols overlap by no more than a sixth of their width is what was looked at.
func TestBothAreSeen(t *testing.T) {
	for _, by := range []field.Yards{0, 0.5, -1} {
		s := &Scene{Field: Strip{Top: 15, Bottom: -8, Left: -27, Right: 27}, Men: []Man{
			{Kind: Defender, At: field.Point{X: 1, Y: 5}, Mark: "H", Name: "hole"},
			{Kind: Defender, At: field.Point{X: 1 + by, Y: 5}, Mark: "L", Name: "linebacker"},
			{Kind: Defender, At: field.Point{X: 12, Y: 6}, Mark: "O", Name: "overhang"},
			{Kind: Eligible, At: field.Point{X: 12, Y: 6}, Mark: "2", Name: "#2"}}}
		for _, about := range []string{"", "hole", "linebacker"} {
			s.Options.Bare = about
			sh := newSheet(s, 180)
			if d, want := sh.stands[0].Dist(sh.stands[1]), beside*(sh.half(0)+sh.half(1)); d < want-1e-9 {
				t.Errorf("%v yards apart, about %q: drawn %.2f mm apart, want %.2f", by, about, d, want)
			}
			for i := range s.Men {
				moved := sh.stands[i].Dist(sh.at(s.Men[i].At)) > 1e-9
				if may := i < 2 && s.Men[i].Name != about; moved != may {
					t.Errorf("%v yards apart, about %q: the %s is moved %v", by, about, s.Men[i].Name, moved)
				}
			}
		}
	}
}
