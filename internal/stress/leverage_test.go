package stress

import (
	"fmt"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/picture"
)

// A man inside of #2 loses the flat: it is met in time for the down, but caught three yards from
// him, behind the slant (leverage to help: BR-C1, SAB-C1; slant and flat: common practice, no source).
// From outside he does not.
func TestManLosesTheFlat(t *testing.T) {
	for _, c := range []struct {
		call   string
		change func(*call.Call)
		loses  bool
	}{{"cover 1", func(*call.Call) {}, true}, {"cover 0", func(*call.Call) {}, true}, {"cover 1", outside, false}} {
		compiled := part{c.call, 1, c.change}.plan(t)
		p, err := picture.New(picture.Spec{Set: "2x2", Family: "quick", Routes: "P1 slant@3, P2 flat@2",
			Receiver: standard.Receiver, Back: standard.Back})
		if err != nil {
			t.Fatal(err)
		}
		r := must(Evaluate(t.Context(), compiled, Prepare(p, &standard), Usual))
		var found *Finding
		for n := range r.Findings {
			if f := &r.Findings[n]; p.Receivers[f.Open].Name == "P2" {
				found = f
			}
		}
		if (found != nil) != c.loses {
			t.Errorf("%s, outside %v: found %v", c.call, !c.loses, found)
			continue
		}
		if found == nil {
			continue
		}
		d := r.Rep.Setup.Men[found.Man].Slot
		told := found.Kind == Leverage || found.Wrong // alone, or with the slant that trades places with the flat
		if !told || found.Size < 2 || found.Size > 5 || !strings.Contains(fmt.Sprint(d.Roles), "man on #2") {
			t.Errorf("%s: %s; want the man on #2, two to five yards", c.call, describe(r.Rep, found))
		}
	}
}
