package httpapi_test

import (
	"encoding/json"
	"html"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"overhang/api"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestDocument: the contract as JSON says what it says as YAML, who has it is not
// sent it again (RFC 9110, 13.1.2), and its page has every operation.
func TestDocument(t *testing.T) {
	store, _ := postgrestest.New(t)
	c := clientFor(t, store)
	written, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/openapi.json", "/openapi.yaml"} {
		r, raw := c.do("GET", path, "")
		doc, err := openapi3.NewLoader().LoadFromData([]byte(raw))
		if err != nil || doc.Paths.Len() != written.Paths.Len() ||
			len(doc.Components.Schemas) != len(written.Components.Schemas) {
			t.Fatalf("%s: %v, %d paths", path, err, doc.Paths.Len())
		}
		tag := r.Header.Get("ETag")
		if again, body := c.do("GET", path, "", "If-None-Match", tag); again.StatusCode != 304 || body != "" {
			t.Errorf("%s again: status %d, %d bytes; want 304 without a body", path, again.StatusCode, len(body))
		}
		if head, body := c.do("HEAD", path, ""); head.StatusCode != 200 || body != "" || head.Header.Get("ETag") != tag {
			t.Errorf("HEAD %s: status %d, %d bytes, ETag %s; want that of GET", path, head.StatusCode, len(body),
				head.Header.Get("ETag"))
		}
	}
	_, page := c.do("GET", "/docs", "")
	shown := map[string]bool{}
	for _, block := range strings.Split(page, "<pre")[1:] {
		_, text, _ := strings.Cut(block, ">")
		text, _, _ = strings.Cut(text, "</pre>")
		shown[canonical(t, []byte(html.UnescapeString(text)))] = true
	}
	for name, x := range written.Components.Examples {
		raw, err := json.Marshal(x.Value.Value)
		if text, ok := x.Value.Value.(string); ok {
			raw = []byte(text)
		}
		if err != nil || !shown[canonical(t, raw)] {
			t.Errorf("/docs does not show the example %s (%v)", name, err)
		}
	}
	for path, item := range written.Paths.Map() {
		for method, op := range item.Operations() {
			if !strings.Contains(page, `id="`+op.OperationID+`"`) {
				t.Errorf("/docs lacks %s %s", method, path)
			}
		}
	}
}

// canonical writes JSON in one way; text that is no JSON as it stands.
func canonical(t *testing.T, raw []byte) string {
	t.Helper()
	var v any
	if json.Unmarshal(raw, &v) != nil {
		return string(raw)
	}
	out, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
