package httpapi_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Bounds of what stands in the document as an example, in bytes.
const (
	longestExample = 6500
	allExamples    = 180_000
)

// Asked is the end of the name of an example that is sent; the one that comes back has the
// name of the operation alone.
const asked = "Asked"

// A sampler keeps what a server was asked and what it answered, shortened, by operation.
type sampler struct {
	*client
	kept  map[string]any
	names map[string]string // identities and the like, as the document has them
}

// ask sends a request, keeps it and its answer under the name of its operation, and returns
// the whole answer.
func (s *sampler) ask(method, path, body string, header ...string) (map[string]any, string) {
	s.t.Helper()
	resp, raw := s.do(method, path, body, header...)
	if resp.StatusCode >= 300 {
		s.t.Fatalf("%s %s: %d %s", method, path, resp.StatusCode, raw)
	}
	req, _ := http.NewRequest(method, s.url+path, nil)
	route, _, err := s.router.FindRoute(req)
	if err != nil {
		s.t.Fatal(err)
	}
	id := route.Operation.OperationID
	if body != "" {
		s.keep(id+asked, body)
	}
	if raw != "" {
		s.keep(id, raw)
	}
	out := map[string]any{}
	json.Unmarshal([]byte(raw), &out)
	out["etag"] = resp.Header.Get("ETag")
	return out, resp.Header.Get("Location")
}

// keep keeps a text, the first time only: as JSON, or its first lines.
func (s *sampler) keep(name, raw string) {
	if s.kept[name] != nil {
		return
	}
	if strings.HasPrefix(raw, "%PDF") || strings.HasPrefix(raw, "<svg") || strings.HasPrefix(raw, "PK") {
		return
	}
	raw = s.plain(raw)
	dec := json.NewDecoder(strings.NewReader(raw))
	dec.UseNumber()
	var v any
	if dec.Decode(&v) == nil && !dec.More() {
		s.kept[name] = shortened(v, 0)
		return
	}
	lines := strings.SplitAfter(raw, "\n")
	s.kept[name] = strings.Join(lines[:min(len(lines), 4)], "")
}

var (
	aTime   = regexp.MustCompile(`20\d\d-\d\d-\d\dT[0-9:.]+Z`)
	aDate   = regexp.MustCompile(`"date":"\d{4}-\d\d-\d\d"`)
	aUUID   = regexp.MustCompile(`[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}`)
	aCursor = regexp.MustCompile(`"next_cursor":"[\w-]+"`)
	aSecret = regexp.MustCompile(`overhang_[\w-]{20,}|(invitation=|/packet#|"key":")[\w-]{20,}`)
)

// plain puts in what is the same in every run: identities in the order they come, one time,
// no secrets.
func (s *sampler) plain(raw string) string {
	raw = aUUID.ReplaceAllStringFunc(raw, func(id string) string {
		if s.names[id] == "" {
			s.names[id] = fmt.Sprintf("0199d3f0-0000-7000-8000-%012x", len(s.names)+1)
		}
		return s.names[id]
	})
	raw = aTime.ReplaceAllString(raw, "2031-09-14T18:30:00Z")
	raw = aDate.ReplaceAllString(raw, `"date":"2031-09-14"`)
	raw = aCursor.ReplaceAllString(raw, `"next_cursor":"AZnT8AAAcACAAAAAAAAAAQ"`)
	return aSecret.ReplaceAllStringFunc(raw, func(found string) string {
		head := strings.TrimRight(found, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_")
		if strings.HasPrefix(found, "overhang_") {
			head = "overhang_"
		}
		return head + "made-up-for-this-example"
	})
}

// shortened is a JSON value with one object or two of every list, the more the higher it
// stands; lists of plain values keep six. A record of many members keeps three.
func shortened(v any, depth int) any {
	switch v := v.(type) {
	case []any:
		most := 6
		if len(v) > 0 {
			switch v[0].(type) {
			case map[string]any, []any:
				most = 2
				if depth > 2 {
					most = 1
				}
			}
		}
		out := []any{}
		for _, x := range v[:min(most, len(v))] {
			out = append(out, shortened(x, depth+1))
		}
		return out
	case map[string]any:
		out := map[string]any{}
		for k, x := range v {
			out[k] = shortened(x, depth+1)
		}
		return out
	}
	return v
}

// written are the examples as the end of the document, one a line.
func written(t *testing.T, kept map[string]any) string {
	var b strings.Builder
	b.WriteString(examplesHead)
	names := make([]string, 0, len(kept))
	for name := range kept {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		var line bytes.Buffer
		enc := json.NewEncoder(&line)
		enc.SetEscapeHTML(false)
		if err := enc.Encode(kept[name]); err != nil {
			t.Fatal(err)
		}
		if line.Len() > longestExample {
			t.Errorf("the example %s has %d bytes; at most %d, please", name, line.Len(), longestExample)
		}
		fmt.Fprintf(&b, "    %s: {value: %s}\n", name, strings.TrimSpace(line.String()))
	}
	return b.String()
}

// examplesHead begins the part of the document that a test writes.
const examplesHead = `  # Real answers of the invented season, shortened: lists to two, identities and times alike.
  # Written by go test ./internal/httpapi -run TestExamplesOfAll -update
  examples:
`

const documentFile = "../../api/openapi.yaml"

// rewrite puts examples into the document in place of those that it has.
func rewrite(t *testing.T, kept map[string]any) {
	raw, err := os.ReadFile(documentFile)
	if err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(string(raw), examplesHead)
	if err := os.WriteFile(documentFile, []byte(strings.TrimRight(head, "\n")+"\n"+written(t, kept)), 0o644); err != nil {
		t.Fatal(err)
	}
}
