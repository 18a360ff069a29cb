package httpapi_test

import (
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// TestUnknownKeys: an answer to a body of made-up keys costs what reading it costs, and
// lists no more faults than somebody would mend. Four thousand keys took 1.5 GB.
func TestUnknownKeys(t *testing.T) {
	c, s := guarded(t)
	c = c.person(s, "ours", "head", staff.Owner)
	for _, at := range []string{ours + "/plays", "/v1/stress"} {
		for _, n := range []int{250, 4_000, 50_000} {
			var b strings.Builder
			b.WriteString(`{"a":1`)
			for i := range n {
				fmt.Fprintf(&b, `,"k%d":1`, i)
			}
			b.WriteByte('}')
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			resp, raw := c.do("POST", at, b.String())
			runtime.ReadMemStats(&after)
			if made := after.TotalAlloc - before.TotalAlloc; made > 100<<20 {
				t.Errorf("%s: %d unknown keys took %d MB", at, n, made>>20)
			}
			var p struct {
				Detail string
				Errors []struct{ Field, Message string }
			}
			if err := json.Unmarshal([]byte(raw), &p); err != nil || resp.StatusCode != 422 {
				t.Fatalf("%s: %d %.200s", at, resp.StatusCode, raw)
			}
			if len(p.Errors) == 0 || len(p.Errors) > 100 || n == 250 && !strings.Contains(p.Detail,
				"more faults are not listed") {
				t.Errorf("%s, %d keys: %d faults, %q", at, n, len(p.Errors), p.Detail)
			}
		}
	}
}

// TestBounds refuses what no honest body is, before it is held against the document.
func TestBounds(t *testing.T) {
	c, s := guarded(t)
	c = c.person(s, "ours", "head", staff.Owner)
	for what, body := range map[string]string{
		"nested": `{"note":` + strings.Repeat("[", 5_000) + strings.Repeat("]", 5_000) + `}`,
		"key":    `{"` + strings.Repeat("k", 10_000) + `":1}`,
		"text":   `{"note":"` + strings.Repeat("x", 100_000) + `"}`,
	} {
		if resp, raw := c.do("POST", ours+"/plays", body); resp.StatusCode != 422 || !strings.Contains(raw,
			`"field":"body"`) || !strings.Contains(raw, what) || len(raw) > 1_000 {
			t.Errorf("%s: %d, %d bytes, %.300s", what, resp.StatusCode, len(raw), raw)
		}
	}
	for _, body := range []string{`{"a":`, `]`, `{"a":1}}`, ``} { // no JSON is told as ever
		if resp, raw := c.do("POST", ours+"/plays", body); resp.StatusCode != 400 && resp.StatusCode != 422 {
			t.Errorf("%q: %d %s", body, resp.StatusCode, raw)
		}
	}
}

// TestRoleBeforeBody: who may not write is told so, whatever he sends, and to a
// stranger the program does not exist.
func TestRoleBeforeBody(t *testing.T) {
	c, s := guarded(t)
	owner := c.person(s, "ours", "head", staff.Owner)
	reader, stranger := c.person(s, "ours", "reader", staff.Reader), c.person(s, "theirs", "stranger", staff.Owner)
	for _, body := range []string{`{"nonsense":1}`, `{`, `[]`} {
		if resp, raw := reader.do("POST", ours+"/plays", body); resp.StatusCode != 403 {
			t.Errorf("a reader's %s: %d %s", body, resp.StatusCode, raw)
		}
		if resp, raw := stranger.do("POST", ours+"/plays", body); resp.StatusCode != 404 {
			t.Errorf("a stranger's %s: %d %s", body, resp.StatusCode, raw)
		}
	}
	const add = "/opponents/new"
	for _, page := range []string{add, "/games/new"} {
		if resp, _ := reader.do("GET", "/programs/ours"+page, ""); resp.StatusCode != 403 {
			t.Errorf("a reader is shown the form %s: %d", page, resp.StatusCode)
		}
	}
	for _, page := range []string{"", "/opponents", "/games"} {
		if resp, raw := reader.do("GET", "/programs/ours"+page, ""); resp.StatusCode != 200 || strings.Contains(raw, add) {
			t.Errorf("a reader's %s: %d, or it offers to add an opponent", page, resp.StatusCode)
		}
		if _, raw := owner.do("GET", "/programs/ours"+page, ""); page != "/games" && !strings.Contains(raw, add) {
			t.Errorf("an owner's %s does not offer to add an opponent", page)
		}
	}
}
