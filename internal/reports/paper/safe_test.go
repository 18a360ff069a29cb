package paper

import "testing"

// TestSafe: what a spreadsheet takes for a formula, also behind a line feed, stands behind an
// apostrophe (OWASP ASVS 5.0, 1.2.10; CSV Injection, MEM).
func TestSafe(t *testing.T) {
	for in, want := range map[string]string{"=1": "'=1", "+1": "'+1", "-1": "'-1", "@x": "'@x", "\tx": "'\tx",
		"\rx": "'\rx", "\n=1": "'\n=1", "x=1": "x=1", "": ""} {
		if got := Safe(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
