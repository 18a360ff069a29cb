package picture

import (
	"testing"

	"overhang/internal/stress/field"
)

func TestDump(t *testing.T) {
	for _, s := range []string{"P1 hitch@6, P2 corner@12", "P1 dig@16, P2 seam, B2 shallow@3", "P1 curl@12, P2 flat@3, back flat@2 play side", "P1 inside release seam, P2 wheel@3, back angle@1", "P2 cross@11 to the other side, P1 spot@5", "P1 sluggo@3, P2 sit@6 over the ball"} {
		p, err := New(Spec{Set: "2x2", Family: "dropback", Routes: s, Receiver: field.Speed{Max: 7.8, Tau: .7}, Back: field.Speed{Max: 7.2, Tau: .7}})
		if err != nil {
			t.Fatal(err)
		}
		t.Log(p.String())
		for _, r := range p.Receivers {
			if r.Named {
				t.Logf("%s breaks %+v done %.2f", r.Name, r.Path.Breaks, r.Path.Done)
				for _, u := range []float64{.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 5} {
					t.Logf("   %.1f %.1f,%.1f v %.1f,%.1f", u, r.Path.At(u).X, r.Path.At(u).Y, r.Path.VelAt(u).X, r.Path.VelAt(u).Y)
				}
			}
		}
	}
}
