package backup

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"overhang/internal/tags/postgres"
)

// abc is SHA-256 of "abc" (FIPS 180-2, appendix B.1, MEM).
const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"

func fileOf(t *testing.T, content string) string {
	t.Helper()
	f := filepath.Join(t.TempDir(), "backup")
	if err := os.WriteFile(f, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
	return f
}

// TestDigest is what sha256sum prints.
func TestDigest(t *testing.T) {
	t.Parallel()
	if got, err := Digest(fileOf(t, "abc")); err != nil || got != abc {
		t.Errorf("%s, %v", got, err)
	}
	if _, err := Digest(filepath.Join(t.TempDir(), "none")); !os.IsNotExist(err) {
		t.Errorf("a file that is not there: %v", err)
	}
}

// TestVerify: only the very file is restored, by sums that are whole.
func TestVerify(t *testing.T) {
	t.Parallel()
	f := fileOf(t, "abc")
	const rest = "schema: x\nplays 3 y\n"
	for name, tt := range map[string]struct{ sums, says string }{
		"its own":            {fileLine + abc + "\n" + rest, ""},
		"another file's":     {fileLine + strings.Repeat("0", 64) + "\n" + rest, "not the file that was backed up"},
		"cut in the digest":  {fileLine + abc[:60] + "\n" + rest, "not the file that was backed up"},
		"without the schema": {fileLine + abc + "\nplays 3 y\n", "no digests"},
		"cut after a line":   {fileLine + abc + "\n", "no digests"},
		"without the file":   {rest, "no digests"},
		"empty":              {"", "no digests"},
	} {
		got, err := verify(f, tt.sums)
		if tt.says == "" && (err != nil || got != rest) || tt.says != "" && (err == nil || !strings.Contains(err.Error(),
			tt.says)) {
			t.Errorf("%s: %q, %v; want %q", name, got, err, tt.says)
		}
	}
}

// TestDiffer lists each line that only one side has, and whose it is.
func TestDiffer(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ want, got, says string }{
		"the same":          {"a 1 x\nb 2 y\n", "a 1 x\nb 2 y\n", ""},
		"another order":     {"a 1 x\nb 2 y\n", "b 2 y\na 1 x\n", ""},
		"one row more":      {"a 1 x\n", "a 2 z\n", "backup: a 1 x\nrestored: a 2 z\n"},
		"a table is gone":   {"a 1 x\nb 2 y\n", "a 1 x\n", "backup: b 2 y\n"},
		"a table is new":    {"a 1 x\n", "a 1 x\nb 2 y\n", "restored: b 2 y\n"},
		"a longer name":     {"a 1 x\n", "aa 1 x\n", "backup: a 1 x\nrestored: aa 1 x\n"},
		"the end of a name": {"aa 1 x\n", "a 1 x\n", "backup: aa 1 x\nrestored: a 1 x\n"},
		"cut in a digest":   {"a 1 xyz", "a 1 xyzzy\n", "restored: a 1 xyzzy\n"},
	} {
		if got := differ(tt.want, tt.got); got != tt.says {
			t.Errorf("%s: %q, want %q", name, got, tt.says)
		}
	}
}

// TestTextIsInOneOrder, so that two backups can be compared by eye.
func TestTextIsInOneOrder(t *testing.T) {
	t.Parallel()
	s := postgres.Sums{"plays": "3 y", "games": "1 x", "schema:": "z"}
	for range 20 {
		if got := text(s); got != "games 1 x\nplays 3 y\nschema: z\n" {
			t.Fatalf("%q", got)
		}
	}
}

// TestRefusedBeforeAnythingIsDone: a file that is there stays, sums that are not there are named.
func TestRefusedBeforeAnythingIsDone(t *testing.T) {
	t.Parallel()
	f := fileOf(t, "abc")
	if _, err := Write(context.Background(), "postgres://127.0.0.1:1/x", f); err == nil ||
		!strings.Contains(err.Error(), "exists") {
		t.Errorf("a backup over a file: %v", err)
	}
	if raw, err := os.ReadFile(f); err != nil || string(raw) != "abc" {
		t.Errorf("the file became %q, %v", raw, err)
	}
	if err := Restore(context.Background(), "postgres://127.0.0.1:1/x", f, ""); err == nil ||
		!strings.Contains(err.Error(), f+".sums") {
		t.Errorf("without sums: %v", err)
	}
	elsewhere := fileOf(t, fileLine+strings.Repeat("0", 64)+"\nschema: x\n")
	if err := Restore(context.Background(), "postgres://127.0.0.1:1/x", f, elsewhere); err == nil ||
		!strings.Contains(err.Error(), "nothing was restored") {
		t.Errorf("another file's sums: %v", err)
	}
	missing := filepath.Join(t.TempDir(), "new")
	if _, err := Write(context.Background(), "postgres://127.0.0.1:1/x", missing); err == nil {
		t.Error("a backup of nothing")
	}
	for _, left := range []string{missing, missing + ".part", missing + ".sums"} {
		if _, err := os.Stat(left); !os.IsNotExist(err) {
			t.Errorf("%s was left behind: %v", left, err)
		}
	}
	if err := run(context.Background(), "pg_dump", "postgres://db:x y/z"); err == nil || strings.Contains(err.Error(),
		"db:x y") {
		t.Errorf("an address that is none: %v; want it not repeated, it may hold a password", err)
	}
}

// TestNothingHalfWritten: where a backup cannot stand its sums do not stand either, and one that
// can has both.
func TestNothingHalfWritten(t *testing.T) {
	part := fileOf(t, "a backup")
	file := filepath.Join(t.TempDir(), "backup")
	if err := os.MkdirAll(filepath.Join(file, "somebody's"), 0o700); err != nil { // came while it was written
		t.Fatal(err)
	}
	if err := keep(part, file, postgres.Sums{"plays": "1"}); err == nil {
		t.Error("a folder was replaced by a backup")
	}
	if _, err := os.Stat(file + ".sums"); err == nil {
		t.Error("there are sums of a backup that is not there")
	}
	if err := os.RemoveAll(file); err != nil {
		t.Fatal(err)
	}
	if err := keep(part, file, postgres.Sums{"plays": "1"}); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(file + ".sums")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := verify(file, string(raw)+"schema: 1\n"); err != nil {
		t.Error(err)
	}
}
