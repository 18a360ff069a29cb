package call

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestEveryCallSaysItsSource: each call of the built-in book stands in the table of
// doc_book.go, where its rules are held against where they come from; the quarters
// families stand below their first by what is different.
func TestEveryCallSaysItsSource(t *testing.T) {
	t.Parallel()
	doc, err := os.ReadFile("doc_book.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range Book() {
		name := p.Call.Name
		for _, family := range []string{"quarters match, ", "quarters match ", "quarters, "} {
			name = strings.TrimPrefix(name, family)
		}
		name, _, _ = strings.Cut(name, ",")
		name, _, _ = strings.Cut(name, ":")
		if !regexp.MustCompile(`(?m)^//\t *` + regexp.QuoteMeta(name) + ` `).Match(doc) {
			t.Errorf("%s is not in the table of doc_book.go: say where each man's rules come from", p.Call.Name)
		}
	}
}
