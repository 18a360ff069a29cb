package ink

import (
	"testing"
)

// TestVisual holds the order of letters on paper against the Unicode Standard
// Annex 9: P2 (the first letter with a direction rules the line), W2 to W7 (figures
// keep their order), L2 (runs are turned). The lines were put in order by hand (CALC).
func TestVisual(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"plain, 12 yd", "plain, 12 yd"},
		{"Žďár École", "Žďár École"},
		{"אבג", "גבא"},
		{"אבג 12", "12 גבא"},
		{"call אבג here", "call גבא here"},
		{Name("אבג"), "גבא"},
		{"1. " + Name("אבג") + " (n = 3)", "1. גבא (n = 3)"},
		{"from " + Name("אבג") + " 15 (80 to 100%)", "from גבא 15 (80 to 100%)"},
	} {
		if got := Visual(tt.in); got != tt.want {
			t.Errorf("Visual(%q) = %q, want %q", tt.in, got, tt.want)
		}
	}
	if a, b := TextWidth(Name("אבג"), 10, false), TextWidth("אבג", 10, false); a != b {
		t.Errorf("the invisible letter is %g wide", a-b)
	}
}
