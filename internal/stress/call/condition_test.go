package call

import (
	"strings"
	"testing"
)

// TestRefusedConditions: a condition that cannot be read is refused with the words that are
// wrong, whether it stands alone or among others.
func TestRefusedConditions(t *testing.T) {
	t.Parallel()
	for cond, names := range map[string]string{
		"#6 vertical": "#6", "#0 vertical": "#0", "him vertical": "him", "#2 sideways": "sideways", "#2": `""`,
		"#2 out/sideways": "sideways", "#2 out before deep": "deep", "#2 out before 0": `"0"`,
		"#2 out before -5": "-5", "#2 out before nan": "nan", "#2 out before inf": "inf", "#2 crosses #2": "another",
		"#2 crosses far #1": "another", "#2 crosses": `"#2 crosses"`, "far far #2 out": "far",
	} {
		for _, c := range []string{cond, "not " + cond, "#1 vertical and " + cond, cond + " or #1 vertical"} {
			if _, err := ParseCond(c); err == nil || !strings.Contains(err.Error(), names) {
				t.Errorf("%q: %v; want a refusal that says %s", c, err, names)
			}
		}
	}
	for _, ok := range []string{"", "else", " ELSE ", "#2 out before 0.5", "#2 OUT", "far back released", "#1 crosses #2",
		"not #2 vertical and #1 out or #3 absent"} {
		if _, err := ParseCond(ok); err != nil {
			t.Errorf("%q: %v", ok, err)
		}
	}
}
