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
		"#1 goes vertical past 7 yards: man #1, outside leverage.": "#1 vertical past 7: man #1 outside.",
		"Line up otherwise 1.5 yards inside #2, 9.5 yards deep (no #2: 7 yards outside the ball).": "Line up otherwise " +
			"1.5 inside #2, 9.5 deep (no #2: 7 outside the ball).",
		"hook: from 2 yards past the ball to 10 yards out, up to 15 yards deep. Drop to 4 yards out, 10 yards deep; " +
			"sink no deeper than 10 yards.": "hook: 2 past the ball to 10 out, up to 15. Drop 4 out, 10 deep, sink to " +
			"10.",
	} {
		if got := Short(long); got != want {
			t.Errorf("%q is short %q; want %q", long, got, want)
		}
	}
}
