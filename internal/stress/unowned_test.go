package stress

import (
	"context"
	"strings"
	"testing"

	"overhang/internal/stress/call"
)

// TestHoles scans book x library, with backs released, from bunch and from empty: a throw
// that nobody owes, open by two yards for 0.3 s, is written in the book as given up, with
// its reason; and nothing is written there that the scan doesn't find.
func TestHoles(t *testing.T) {
	t.Parallel()
	given := 0
	for _, p := range call.Book() {
		used := map[string]bool{}
		for _, h := range must(Holes(context.Background(), p)) {
			if h.Why == "" {
				t.Errorf("%s: %v (%s)", p.Call.Name, h, h.Routes)
			}
			used[h.Why] = true
		}
		for _, g := range p.Gives {
			given++
			if !used[g.Why] {
				t.Errorf("%s gives up %s %s, and somebody owes it: %q", p.Call.Name, g.Receiver, g.Route, g.Why)
			}
		}
	}
	t.Logf("%d pictures, %d throws given up with a reason", len(yardsticks()), given)
	if len(yardsticks()) < 150 {
		t.Errorf("%d pictures: the library was not gone through", len(yardsticks()))
	}
}

// TestHoleFound: a call that loses the man on the flat is told so, in its own words.
func TestHoleFound(t *testing.T) {
	t.Parallel()
	compiled, err := call.Lookup("cover 3 spot")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := compiled.Call.Encode()
	if err != nil {
		t.Fatal(err)
	}
	bad := strings.Replace(string(raw), `"zone curl-flat"`, `"zone hook"`, 1)
	if bad == string(raw) {
		t.Fatal("nothing was changed")
	}
	_, faults, err := Examine(t.Context(), []byte(bad))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range faults {
		if f.Severity == call.Refused && strings.Contains(f.Message, "nobody has the play side's #2 on the flat") {
			return
		}
	}
	t.Errorf("nobody has the flat, and the check says %+v", faults)
}
