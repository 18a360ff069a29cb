package migrations

import (
	"io/fs"
	"strings"
	"testing"
)

// TestPairs: every step goes up and down, and no two have one number. A step without its
// way down was named by no other test, and two of one number stop the start.
func TestPairs(t *testing.T) {
	t.Parallel()
	ups, err := fs.Glob(files, "*.up.sql")
	if err != nil || len(ups) == 0 {
		t.Fatal(err, "no steps")
	}
	steps := map[string]string{}
	for _, up := range ups {
		number, _, _ := strings.Cut(up, "_")
		if other := steps[number]; other != "" {
			t.Errorf("%s and %s have one number", other, up)
		}
		steps[number] = up
		if _, err := fs.Stat(files, strings.Replace(up, ".up.", ".down.", 1)); err != nil {
			t.Errorf("%s has no way down: %v", up, err)
		}
	}
	if downs, _ := fs.Glob(files, "*.down.sql"); len(downs) != len(ups) {
		t.Errorf("%d ways down for %d steps", len(downs), len(ups))
	}
}
