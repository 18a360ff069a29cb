package stress

import (
	"slices"
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

// TestHandedOnAtTheTackle: an overhang walls #2 in and carries him to the middle (trade notes 3.3,
// MQ-2): he goes in with a sit over the ball, but not past the tackle, and back out to the spot.
func TestHandedOnAtTheTackle(t *testing.T) {
	compiled, err := call.Lookup("quarters match")
	if err != nil {
		t.Fatal(err)
	}
	for _, left := range []bool{false, true} {
		p, err := picture.New(picture.Spec{Set: "2x2", Family: "quick", Left: left, Receiver: standard.Receiver,
			Back: standard.Back, Routes: "P1 spot@5, P2 sit@6 over the ball, back flat@2 play side"})
		if err != nil {
			t.Fatal(err)
		}
		g := must(Evaluate(t.Context(), compiled, Prepare(p, &standard), Usual)).Rep
		j := slices.IndexFunc(g.Setup.Men, func(m duty.Man) bool { return m.Slot.Name == "overhang" })
		wide := func(at field.Seconds) field.Yards {
			q, _ := g.Tracks[j].At(at)
			return q.X * float64(p.Play)
		}
		if in := wide(0) - wide(2); in < 1 {
			t.Errorf("left %v: he goes in %.1f yd with #2, want one at least", left, in)
		}
		for at := 0.0; at < 3; at += 0.1 {
			if wide(at) < duty.Tackle {
				t.Errorf("left %v: at %.1f s he is %.1f yd from the ball, inside of the tackle", left, at, wide(at))
			}
		}
		if wide(3) < wide(2)+1 {
			t.Errorf("left %v: at 3 s he is at %.1f, no nearer to the spot than at 2 s", left, wide(3))
		}
	}
}
