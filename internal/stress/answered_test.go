package stress

import (
	"math"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/picture"
)

// TestAnswered: what a call gives up to a picture is the mean of the routes as drawn and of
// the answers their receivers have to it; a picture without one is taken as drawn. A hitch
// becomes a slant when a man has him from the snap: common practice, no source.
func TestAnswered(t *testing.T) {
	weigh := func(name, routes string) float64 {
		compiled, err := call.Lookup(name)
		if err != nil {
			t.Fatal(err)
		}
		p, err := picture.New(picture.Spec{Set: "2x2", Family: "quick", Routes: routes, Receiver: standard.Receiver,
			Back: standard.Back})
		if err != nil {
			t.Fatal(err)
		}
		r := must(Weigh(t.Context(), compiled, &Seen{Play: Prepare(p, &standard)}, Usual))
		return r.Value.Success
	}
	drawn := func(name, routes string) float64 {
		compiled, _ := call.Lookup(name)
		p, err := picture.New(picture.Spec{Set: "2x2", Family: "quick", Routes: routes, Receiver: standard.Receiver,
			Back: standard.Back})
		if err != nil {
			t.Fatal(err)
		}
		r := must(Evaluate(t.Context(), compiled, Prepare(p, &standard), Usual))
		return r.Outcome().On(Usual.ToGain, &Usual).Success
	}
	const hitch, slant = "P1 hitch@6, P2 out@5", "P1 slant@6, P2 out@5"
	want := 0.6*drawn("cover 1", hitch) + 0.4*drawn("cover 1", slant)
	if got := weigh("cover 1", hitch); math.Abs(got-want) > 1e-9 {
		t.Errorf("a hitch against man is worth %v; want %v, of the hitch and of the slant", got, want)
	}
	for _, x := range [][2]string{{"cover 1", slant}, {"cover 3 spot", hitch}} {
		if got, want := weigh(x[0], x[1]), drawn(x[0], x[1]); got != want {
			t.Errorf("%s against %s is worth %v; as drawn %v", x[1], x[0], got, want)
		}
	}
}
