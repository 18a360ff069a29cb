// Package outside finds what tests check against and the project does not hold: open
// data and published tables beside the checkout. Under CI (the variable CI is set) a
// test that needs them fails without them; elsewhere it is skipped with a word, so that
// a fresh clone alone is green.
package outside

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"testing"
)

// Path is a file or folder of the folder shared beside the checkout.
func Path(t testing.TB, parts ...string) string {
	t.Helper()
	root, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(root, "go.mod")); err == nil {
			break
		}
		if root == filepath.Dir(root) {
			t.Fatal("no go.mod above the test")
		}
		root = filepath.Dir(root)
	}
	path := filepath.Join(append([]string{root, "..", "shared"}, parts...)...)
	if _, err := os.Stat(path); err != nil {
		Missing(t, "NOT CHECKED AGAINST THE OUTSIDE: put the folder shared beside the checkout: "+err.Error())
	}
	return path
}

// Missing fails the test under CI and skips it elsewhere.
func Missing(t testing.TB, why string) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatal(why)
	}
	t.Skip(why)
}

// Rows reads a table of the folder, its head first.
func Rows(t testing.TB, parts ...string) [][]string {
	t.Helper()
	f, err := os.Open(Path(t, parts...))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
