package httpapi_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/api"
	"overhang/internal/ask"
	"overhang/internal/reports"
)

// TestKindsAreTheDocument: the document has a path for every kind of report and none
// beside them, the options of each are the parameters of its path, and the words of
// the sheets' path name every sheet. The other side of TestContract, which holds the
// routes against the document.
func TestKindsAreTheDocument(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	written := map[string]bool{}
	for _, k := range reports.Kinds {
		path := "/v1/programs/{program}" + regexp.MustCompile(`:(\w+)`).ReplaceAllString(k.Path(), "{$1}")
		written[path] = true
		item := doc.Paths.Value(path)
		if item == nil || item.Get == nil {
			t.Errorf("%s: a row of reports.Kinds, and no GET %s in the document", k.Name, path)
			continue
		}
		var has []string
		for _, p := range item.Get.Parameters {
			if _, option := ask.Options[p.Value.Name]; option {
				has = append(has, p.Value.Name)
			}
		}
		if want := slices.Sorted(slices.Values(k.Takes)); !slices.Equal(slices.Sorted(slices.Values(has)), want) {
			t.Errorf("%s takes %v, its path in the document %v", k.Name, want, has)
		}
		if words := item.Parameters.GetByInAndName("path", "kind"); words != nil && !strings.Contains(words.Description,
			k.Name+": ") {
			t.Errorf("%s: the words of its path do not say what it is", k.Name)
		}
	}
	for path := range doc.Paths.Map() {
		if report := strings.Contains(path, "/reports/") || strings.Contains(path, "/sheets/"); report && !written[path] {
			t.Errorf("%s is in the document and no row of reports.Kinds", path)
		}
	}
}
