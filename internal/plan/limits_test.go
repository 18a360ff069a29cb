package plan

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"overhang/internal/tags"
)

func share(x float64) *float64 { return &x }

// limited is a plan of one situation with limits chosen.
func limited(t *testing.T, l Limits) (*Content, error) {
	t.Helper()
	b := ranked(rand.New(rand.NewPCG(16, 2)), 6, 30, 20, 12, 8)
	c := &Content{Situations: []Situation{Take("RED", map[string]string{"field_zone": "RED"}, &b, true)}}
	return c, c.Choose([]ChoiceIn{{"RED", Choice{Limits: l}}})
}

// TestLimits: the mix keeps to floors, ceilings, a number of calls and the only ones, says
// which limit a call stands at and what they cost, and without limits it is what it was. That
// limits can only cost is the definition of the best mix.
func TestLimits(t *testing.T) {
	free, err := limited(t, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	first := &free.Situations[0]
	for name, l := range map[string]Limits{
		"floor":       {Shares: []Bound{{Call: "f", AtLeast: share(.2)}}},
		"floors":      {Shares: []Bound{{Call: "f", AtLeast: share(.2)}, {Call: "a", AtLeast: share(.3)}}},
		"all of it":   {Shares: []Bound{{Call: "f", AtLeast: share(1)}}},
		"ceiling":     {Shares: []Bound{{Call: first.Calls[0].Call, AtMost: share(.25)}}},
		"never":       {Shares: []Bound{{Call: first.Calls[0].Call, AtMost: share(0)}}},
		"one call":    {AtMost: 1},
		"two":         {AtMost: 2, Shares: []Bound{{Call: "c", AtLeast: share(.1), AtMost: share(.1)}}},
		"only two":    {Only: true, Shares: []Bound{{Call: "e"}, {Call: "f"}}},
		"only, split": {Only: true, Shares: []Bound{{Call: "e", AtMost: share(.6)}, {Call: "f", AtMost: share(.6)}}},
	} {
		c, err := limited(t, l)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		s := &c.Situations[0]
		sum, calls := 0.0, 0
		for _, p := range s.Calls {
			low, high := l.of(p.Call)
			sum += p.Share
			if p.Share > 0 {
				calls++
			}
			if p.Share < low-1e-7 || p.Share > high+1e-7 {
				t.Errorf("%s: %s is called %.3f, from %.2f to %.2f", name, p.Call, p.Share, low, high)
			}
			if low > 0 && math.Abs(p.Share-low) < 1e-9 && !strings.Contains(p.For, "floor") {
				t.Errorf("%s: %s stands at its floor and says %q", name, p.Call, p.For)
			}
		}
		if math.Abs(sum-1) > 1e-7 || calls > l.most() {
			t.Errorf("%s: %d calls come to %v", name, calls, sum)
		}
		if s.LimitsCost == nil || *s.LimitsCost < 0 || math.Abs(*s.MixPoints-*first.MixPoints-*s.LimitsCost) > 1e-7 {
			t.Errorf("%s: gives up %v, free %v, cost %v", name, *s.MixPoints, *first.MixPoints, s.LimitsCost)
		}
		if err := c.Choose(nil); err != nil || *s.MixPoints != *first.MixPoints || s.LimitsCost != nil {
			t.Errorf("%s: without limits again it gives up %v, before %v", name, *s.MixPoints, *first.MixPoints)
		}
	}
}

// TestLimitsWrong: what no mix can hold is refused with its field, and nothing is changed.
func TestLimitsWrong(t *testing.T) {
	for field, l := range map[string]Limits{
		"limits.shares[0].call":     {Shares: []Bound{{Call: "nobody"}}},
		"limits.shares[1].call":     {Shares: []Bound{{Call: "a"}, {Call: "a"}}},
		"limits.shares[0].at_least": {Shares: []Bound{{Call: "a", AtLeast: share(math.NaN())}}},
		"limits.shares[0].at_most":  {Shares: []Bound{{Call: "a", AtMost: share(1.2)}}},
		"limits.shares":             {Shares: []Bound{{Call: "a", AtLeast: share(.7)}, {Call: "b", AtLeast: share(.4)}}},
		"limits.at_most":            {AtMost: -1},
	} {
		c, err := limited(t, l)
		e := tags.As(err)
		if e == nil || len(e.Fields) == 0 || e.Fields[0].Field != "choices[0]."+field {
			t.Errorf("%s: %v", field, err)
		}
		if c.Situations[0].LimitsCost != nil {
			t.Errorf("%s: the mix was changed", field)
		}
	}
	for name, l := range map[string]Limits{
		"no room": {Only: true, Shares: []Bound{{Call: "a", AtMost: share(.5)}, {Call: "b", AtMost: share(.3)}}},
		"too few for it": {AtMost: 1, Only: true, Shares: []Bound{{Call: "a", AtMost: share(.5)},
			{Call: "b", AtMost: share(.5)}}},
	} {
		if _, err := limited(t, l); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}
