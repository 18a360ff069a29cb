package duty_test

import (
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// TestHowFlat: a slant is a break in at about 45 degrees, a shallow, a drag, a mesh route and an in
// are flat (trade notes section 1); the corner of quarters hands on who comes in shallow (3.3, MQ-1),
// and so has nobody else's slant to hope for.
func TestHowFlat(t *testing.T) {
	compiled, err := call.Lookup("quarters match")
	if err != nil {
		t.Fatal(err)
	}
	speed := field.Speed{Max: 7.8, Tau: 0.7}
	for _, tt := range []struct {
		route  string
		slant  bool
		corner bool // has him
	}{{"slant@3", true, true}, {"slant@5", true, true}, {"shallow@3", false, false}, {"shallow@5", false, false},
		{"mesh@5", false, false}, {"in@5", false, false}} {
		for _, left := range []bool{false, true} {
			p, err := picture.New(picture.Spec{Set: "2x2", Family: "quick", Routes: "P1 " + tt.route + ", P2 flat@2",
				Left: left, Receiver: speed, Back: speed})
			if err != nil {
				t.Fatal(err)
			}
			one := p.At(p.Play, 1)
			got := duty.Seen(p.Receivers[one].Path, 2, compiled.Call.Vertical)
			if got&call.InBreak == 0 || got&call.Slanted != 0 != tt.slant {
				t.Errorf("%s, left %v: seen as %s", tt.route, left, got)
			}
			s := duty.New(compiled, p, 1, compiled.Call.Vertical)
			for j := range s.Men {
				m := &s.Men[j]
				if m.Slot.Name != "strong corner" {
					continue
				}
				d := m.Owed(2)[0]
				if has := d.Verb == call.Man && d.Target == one; has != tt.corner {
					t.Errorf("%s, left %v: the corner has him: %v", tt.route, left, has)
				}
			}
		}
	}
}
