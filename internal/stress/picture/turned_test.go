package picture

import (
	"testing"

	"overhang/internal/stress/field"
)

// TestTurned runs trips to its single receiver: the men stand where they stand in
// the set, only the concept goes the other way (common practice, no source).
func TestTurned(t *testing.T) {
	speed := field.Speed{Max: 7.8, Tau: 0.7}
	at := func(routes string, left bool) map[string]field.Point {
		p, err := New(Spec{Set: "3x1", Family: "dropback", Routes: routes, Left: left, Receiver: speed, Back: speed})
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]field.Point{}
		for i := range p.Receivers {
			out[p.Receivers[i].Name] = p.Receivers[i].At
		}
		return out
	}
	strong, single := at("P1 go, P3 flat", false), at("P1 post, B3 in", true)
	for name, twin := range map[string]string{"P1": "B1", "P2": "B2", "P3": "B3", "B1": "P1", "back": "back"} {
		if strong[name] != single[twin] {
			t.Errorf("%s stands at %v in trips, %s at %v when it is run to the single receiver", name, strong[name], twin,
				single[twin])
		}
	}
	for _, bad := range []string{"P4 go", "P3 go, B3 go", "X in"} {
		if _, err := New(Spec{Set: "3x1", Family: "dropback", Routes: bad, Receiver: speed, Back: speed}); err == nil {
			t.Errorf("%q was read: neither side of the set has him", bad)
		}
	}
	bunch, err := New(Spec{Set: "bunch", Family: "dropback", Routes: "P1 post, B2 in", Receiver: speed, Back: speed})
	if err != nil || bunch.Bunched(1) || !bunch.Bunched(-1) {
		t.Errorf("a bunch on the other side: %v", err)
	}
}
