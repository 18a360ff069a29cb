package teach

import (
	"testing"

	"overhang/internal/stress/call"
)

// TestShort: over every man of the built-in book two rules or alignments that differ differ
// in short words too, and short is never longer.
func TestShort(t *testing.T) {
	for _, c := range call.Book() {
		for i := range c.Slots {
			s, long := &c.Slots[i], map[string]string{}
			hold := func(words string) {
				short := Short(words)
				if had, ok := long[short]; ok && had != words {
					t.Errorf("%s, %s: %q and %q are both %q", c.Call.Name, s.Name, had, words, short)
				}
				if long[short] = words; len(short) > len(words) {
					t.Errorf("%q is longer than %q", short, words)
				}
			}
			for k := range s.Rules {
				hold(When(&s.Rules[k].When, c.Call.Vertical) + ": " + Then(s.Rules[k].Then))
			}
			for k := range s.Align {
				hold(Align(&s.Align[k].Align))
			}
		}
	}
	for long, want := range map[string]string{
		"#1 gets to 7 yd before any break: take #1 man to man, wherever he goes, from outside.": "#1 vertical past 7: " +
			"man on #1, from outside.",
		"Line up otherwise 1.5 yd inside #2, 9.5 yd deep (where that man is missing: 7 yd from the ball on your side).": "" +
			"Line up otherwise 1.5 inside #2, 9.5 deep (if none: 7 out).",
		"Against the run: force, nothing gets outside you; your place is 9 yd from the ball on your side, 1 yd deep.": "" +
			"Run: force, nothing gets outside you (9 from the ball, 1 deep).",
	} {
		if got := Short(long); got != want {
			t.Errorf("%q is short %q; want %q", long, got, want)
		}
	}
}
