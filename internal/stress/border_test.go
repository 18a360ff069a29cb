package stress

import (
	"slices"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// TestBorderIsOfBoth: a route that splits the halves is for both half safeties to see (USA-SM: the
// divide route). Within a yard of the middle it is both's, further on the far one's alone; a throw well
// inside of a zone is nobody else's.
func TestBorderIsOfBoth(t *testing.T) {
	compiled, err := call.Lookup("cover 2 spot")
	if err != nil {
		t.Fatal(err)
	}
	for _, left := range []bool{false, true} {
		p, err := picture.New(picture.Spec{Set: "3x1", Family: "dropback", Routes: "P1 hitch@6, P2 corner@12, P3 post@10",
			Left: left, Receiver: standard.Receiver, Back: standard.Back})
		if err != nil {
			t.Fatal(err)
		}
		g := must(Evaluate(t.Context(), compiled, Prepare(p, &standard), Usual)).Rep
		f := &finder{g: g, tune: &defaultTuning, grades: make([]uint8, len(g.Setup.Men)*(g.Run+1))}
		post := p.At(p.Play, 3)
		half := func(side int) int {
			return slices.IndexFunc(g.Setup.Men, func(m duty.Man) bool {
				return m.Side == side && slices.Contains(m.Slot.Roles, "half safety")
			})
		}
		near, far, split := half(p.Play), half(-p.Play), 0
		for k := range g.Releases {
			th := &g.Of(post)[k]
			if !th.Live || th.At.Y < 16 {
				continue
			}
			f.grade(k)
			x := th.At.X * float64(p.Play)
			if x < -border && f.owes(near, post) != 0 || x > border && f.owes(far, post) != 0 {
				t.Errorf("left %v: caught at %.1f it is also of the half safety away from it", left, x)
			}
			if field.Yards(x) > -border && x < border {
				split++
				if f.owes(near, post) != 2 || f.owes(far, post) != 2 {
					t.Errorf("left %v: caught at %.1f it is %d and %d, want both's", left, x, f.owes(near, post), f.owes(far, post))
				}
			}
		}
		if split == 0 {
			t.Errorf("left %v: no throw splits the halves", left)
		}
	}
}
