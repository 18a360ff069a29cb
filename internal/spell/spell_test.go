package spell

import (
	"testing"

	"pgregory.net/rapid"
)

// TestEdits: kitten and sitting are Levenshtein's 3 apart, ca and abc 3 where a
// pair is swapped once only (both from memory, standard examples); the rest by
// counting on fingers.
func TestEdits(t *testing.T) {
	for _, tc := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"smash", "smahs", 1}, {"", "flood", 5}, {"stick", "stick", 0},
		{"über", "uber", 1}} {
		if got := Edits(tc.a, tc.b); got != tc.want {
			t.Errorf("%q to %q: %d, want %d", tc.a, tc.b, got, tc.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[abc]{0,6}`)
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		if d := Edits(a, b); d != Edits(b, a) || (d == 0) != (a == b) || d > max(len(a), len(b)) {
			t.Fatalf("%q to %q: %d", a, b, d)
		}
	})
}
