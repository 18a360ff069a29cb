package stress

import (
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// TestCrossing: "the vertical-line exchange: corner over #1 and safety over #2 until
// they cross, then swap" (trade notes 3.3, FD-CURL), to the right and to the left.
func TestCrossing(t *testing.T) {
	compiled, err := call.Lookup("quarters with exchange")
	if err != nil {
		t.Fatal(err)
	}
	speed := field.Speed{Max: 7.8, Tau: 0.7}
	for _, tt := range []struct{ routes, one, two string }{
		{"P1 go, P2 seam", "strong corner", "strong safety"},
		{"P1 inside release seam, P2 wheel@3", "strong safety", "strong corner"},
	} {
		for _, left := range []bool{false, true} {
			p, err := picture.New(picture.Spec{Set: "2x2", Family: "dropback", Routes: tt.routes, Left: left, Receiver: speed,
				Back: speed})
			if err != nil {
				t.Fatal(err)
			}
			s := duty.New(compiled, p, 1, compiled.Call.Vertical)
			for n, want := range map[int]string{1: tt.one, 2: tt.two} {
				if got := s.Men[duty.Owner(s, p.At(p.Play, n))].Slot.Name; got != want {
					t.Errorf("%s, left %v: #%d is the %s's, want the %s's", tt.routes, left, n, got, want)
				}
			}
		}
	}
}

func TestCrossingRefused(t *testing.T) {
	for _, s := range []string{"#1 crosses", "#1 crosses #1", "#1 crosses far #2", "#1 crosses #2 deep",
		"#1 crosses #2 before soon"} {
		if c, err := call.ParseCond(s); err == nil {
			t.Errorf("%q was read as %+v", s, c)
		}
	}
}
