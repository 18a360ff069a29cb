package httpapi_test

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"net/url"
	"strings"
	"testing"
)

// smashes stores ten smashes of the opponent o1 and the first calls of the book.
func (c *client) smashes() {
	c.t.Helper()
	game := c.season()
	for i := range 10 {
		c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1, smash))
	}
	for _, b := range c.must(200, "GET", "/v1/book", "")["items"].([]any) {
		body, _ := json.Marshal(b)
		c.must(201, "POST", ours+"/calls", `{"name":"`+b.(map[string]any)["name"].(string)+`","active":true,"body":`+
			string(body)+`}`)
	}
}

// wellFormed reads XML to its end (XML 1.0: a document that does not parse is none).
func wellFormed(t *testing.T, what, doc string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(doc))
	for {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Errorf("%s is not well-formed XML: %v", what, err)
			return
		}
	}
}

func TestDrawings(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	c.smashes()
	const cell = ours + "/opponents/o1/drawing?concept=smash&call=cover+2+spot"
	question := `{"call":"cover 2 spot","picture":"P1 hitch@6, P2 corner@12"}`
	for _, tt := range []struct{ method, path, body, accept, kind, word string }{
		{"GET", cell, "", "", "image/svg+xml", "yards open"},
		{"GET", cell + "&width_mm=60&caption=false&seen_from=defense", "", "", "image/svg+xml", `width="60mm"`},
		{"GET", cell + "&show=call", "", "", "image/svg+xml", "cloud"},
		{"GET", cell + "&show=concept", "", "", "image/svg+xml", "12"},
		{"GET", cell + "&show=timeline", "", "", "image/svg+xml", "by release"},
		{"GET", cell + "&show=playback&slow=2", "", "", "image/svg+xml", "animateTransform"},
		{"GET", cell + "&format=pdf", "", "", "application/pdf", "%PDF-"},
		{"GET", cell, "", "application/pdf", "application/pdf", "%PDF-"},
		{"GET", ours + "/opponents/o1/drawing?concept=smash", "", "", "image/svg+xml", "12"},
		{"GET", ours + "/opponents/o1/stress?format=svg", "", "", "image/svg+xml", "smash"},
		{"GET", ours + "/opponents/o1/stress", "", "application/pdf", "application/pdf", "%PDF-"},
		{"GET", "/v1/drawing/legend?width_mm=60", "", "", "image/svg+xml", "the man in conflict"},
		{"POST", "/v1/drawing", question, "", "image/svg+xml", "The strong corner is caught between"},
		{"POST", "/v1/drawing?format=pdf&show=timeline", question, "", "application/pdf", "%PDF-"},
	} {
		resp, raw := c.do(tt.method, tt.path, tt.body, "Accept", tt.accept)
		if got := resp.Header.Get("Content-Type"); resp.StatusCode != 200 || got != tt.kind || !strings.Contains(raw,
			tt.word) {
			t.Errorf("%s %s: %d %s; want %s with %q\n%.300s", tt.method, tt.path, resp.StatusCode, got, tt.kind, tt.word, raw)
		}
		if tt.kind == "image/svg+xml" {
			wellFormed(t, tt.path, raw)
		}
	}
	for _, tt := range []struct {
		method, path, body string
		status             int
		word               string
	}{
		{"GET", ours + "/opponents/o1/drawing", "", 400, "concept"},
		{"GET", ours + "/opponents/o1/drawing?concept=mesh", "", 400, "smash"},         // no such word; the nearest is named,
		{"GET", ours + "/opponents/o1/drawing?concept=smash&down=1", "", 404, "smash"}, // all were on third down
		{"GET", ours + "/opponents/o1/drawing?concept=smash&call=cover+9", "", 404, "cover 9"},
		{"GET", ours + "/opponents/o9/drawing?concept=smash", "", 404, "o9"},
		{"GET", cell + "&finding=40", "", 400, `"field":"finding"`},
		{"GET", cell + "&width_mm=5", "", 400, `"field":"width_mm"`},
		{"GET", cell + "&show=dance", "", 400, `"field":"show"`},
		{"GET", cell + "&show=playback&format=pdf", "", 400, `"field":"format"`},
		{"POST", "/v1/drawing", `{"call":"cover 9","picture":"P1 go"}`, 422, "cover 9"},
		{"POST", "/v1/drawing", `{"call":"cover 1"}`, 422, "picture"},
	} {
		if resp, raw := c.do(tt.method, tt.path, tt.body); resp.StatusCode != tt.status || !strings.Contains(raw, tt.word) {
			t.Errorf("%s %s: %d %s; want %d naming %q", tt.method, tt.path, resp.StatusCode, raw, tt.status, tt.word)
		}
	}
}

// TestCellIsTheBoard holds every cell's drawing and page against the board's own
// answer: what it says is short, and the words.
func TestCellIsTheBoard(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	c.smashes()
	board := c.must(200, "GET", ours+"/opponents/o1/stress", "")
	still := 0
	for _, row := range board["calls"].([]any) {
		cell := row.(map[string]any)["cells"].([]any)[0].(map[string]any)
		query := "concept=smash&call=" + url.QueryEscape(cell["call"].(string))
		findings := cell["findings"].([]any)
		if len(findings) == 0 {
			still++
			if _, raw := c.do("GET", ours+"/opponents/o1/drawing?"+query, ""); strings.Contains(raw, "yards open") {
				t.Errorf("%s: the board has nothing open, the drawing does", cell["call"])
			}
		}
		for n, f := range findings {
			f := f.(map[string]any)
			at := fmt.Sprintf("%s&finding=%d", query, n+1)
			_, svg := c.do("GET", ours+"/opponents/o1/drawing?"+at, "")
			_, page := c.do("GET", "/programs/ours/opponents/o1/cell?"+at, "")
			open := strings.TrimSuffix(fmt.Sprintf("%.1f", f["short_yd"]), ".0") + " yards open"
			for _, word := range []string{open, f["sentence"].(string)} {
				if !strings.Contains(svg, word) {
					t.Errorf("%s, finding %d: the drawing lacks %q", cell["call"], n+1, word)
				}
			}
			for _, word := range []string{f["sentence"].(string), f["rule"].(string), fmt.Sprintf("%.0f%%",
				100*cell["stress"].(float64)), "<svg", "<desc>", "ran it 10 times"} {
				if !strings.Contains(html.UnescapeString(page), word) {
					t.Errorf("%s, finding %d: the page lacks %q", cell["call"], n+1, word)
				}
			}
		}
	}
	if still == 0 || still == len(board["calls"].([]any)) {
		t.Errorf("%d cells of %d without a finding: the test wants both kinds", still, len(board["calls"].([]any)))
	}
	for _, q := range []string{"concept=smash", "call=cover+1", "concept=smash&call=cover+1&finding=x",
		"concept=smash&call=cover+1&finding=99"} {
		if resp, raw := c.do("GET", "/programs/ours/opponents/o1/cell?"+q, ""); resp.StatusCode != 400 {
			t.Errorf("cell?%s: %d %.200s; want 400", q, resp.StatusCode, raw)
		}
	}
}
