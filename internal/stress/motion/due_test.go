package motion

import (
	"math"
	"slices"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// TestDue: in palms the corner has an out of #2 (trade notes 3.4). A ball that leaves before his rule
// says so he breaks on as on his own as soon as it does; who never gets the out breaks on it late
// (common practice, no source).
func TestDue(t *testing.T) {
	params := Defaults(field.HighSchool)
	compiled, err := call.Lookup("palms")
	if err != nil {
		t.Fatal(err)
	}
	p, err := picture.New(picture.Spec{Set: "2x2", Family: "quick", Routes: "P1 go, P2 out@5",
		Receiver: params.Receiver, Back: params.Back})
	if err != nil {
		t.Fatal(err)
	}
	s := duty.New(compiled, p, 1, compiled.Call.Vertical)
	g := NewRep(Prepare(p, &params), s, &Scratch{})
	man := func(name string) int {
		return slices.IndexFunc(s.Men, func(m duty.Man) bool { return m.Slot.Name == name })
	}
	corner, middle, out := man("strong corner"), man("middle"), p.At(p.Play, 2)
	told := s.Men[corner].Shifts[1].From
	soon := 0
	for k, at := range g.Releases {
		if !g.Of(out)[k].Live {
			continue
		}
		want := params.Reaction
		if at < told {
			want = min(params.Late, max(params.Reaction, told-at))
			if g.Owes(corner, out, k) != 0 {
				t.Fatalf("at %.1f the out is the corner's already", at)
			}
			if want < params.Late {
				soon++
			}
		}
		if got := g.reactions(corner, k, out); at < told && math.Abs(got-want) > 1e-9 || got < want {
			t.Errorf("released at %.1f the corner breaks after %.2f s, want %.2f", at, got, want)
		}
		if g.Owes(middle, out, k) == 0 && g.reactions(middle, k, out) != params.Late {
			t.Errorf("released at %.1f the middle breaks after %.2f s", at, g.reactions(middle, k, out))
		}
	}
	if soon < 3 {
		t.Errorf("the corner sees %d throws that will be his: want three at least", soon)
	}
}
