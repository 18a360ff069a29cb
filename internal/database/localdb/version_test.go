package localdb

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestDataOfAnotherVersion: a folder that another version of PostgreSQL wrote is named with
// both versions and the way out, and nothing in it is touched.
func TestDataOfAnotherVersion(t *testing.T) {
	dir := shortTemp(t)
	if err := os.Mkdir(filepath.Join(dir, "data"), 0o755); err != nil {
		t.Fatal(err)
	}
	written := filepath.Join(dir, "data", "PG_VERSION")
	if err := os.WriteFile(written, []byte("13\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	_, err := Start(context.Background(), Options{Dir: dir})
	for _, want := range []string{"PostgreSQL 13's", "OVERHANG_POSTGRES_BIN", "api backup"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Start: %v; want an error with %q", err, want)
		}
	}
	if files, _ := os.ReadDir(filepath.Join(dir, "data")); len(files) != 1 {
		t.Errorf("the folder has %d files; want the one that was there", len(files))
	}
}
