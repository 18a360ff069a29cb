package httpapi

import (
	"io"
	"log/slog"
	"overhang/api"
	"overhang/internal/door"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
)

// TestLater: every operation but those that never wait says that it may be refused
// for the load, and every cost stands at a route that is served.
func TestLater(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			for _, status := range []string{"429", "503"} {
				r := op.Responses.Value(status)
				if door.Open(path) {
					continue
				}
				if r == nil || r.Ref != "#/components/responses/Later" {
					t.Errorf("%s %s does not document %s with Retry-After", method, path, status)
				}
			}
		}
	}
	e, err := New(nil, slog.New(slog.NewTextHandler(io.Discard, nil)))
	if err != nil {
		t.Fatal(err)
	}
	served := map[string]bool{}
	for _, r := range e.Routes() {
		path := strings.TrimSuffix(r.Path, "/")
		served[path], served[r.Method+" "+path] = true, true
	}
	for path := range costs {
		if !served[path] {
			t.Errorf("%s costs something and is not served", path)
		}
	}
}
