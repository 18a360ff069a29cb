package httpapi_test

import (
	"encoding/json"
	"html"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// TestCellPage: the page draws the cell and what it links to is what the API knows; each
// conflict over the board leads to its own finding and to its fixes; a fix stored over the
// API gives up on the board what was said; a reader is shown no way to save.
func TestCellPage(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	own, reader := c.person(s, "ours", "head", staff.Coordinator), c.person(s, "ours", "rea", staff.Reader)
	own.smashes()
	const cell, query = "/programs/ours/opponents/o1/cell?", "concept=smash&call=quarters+match"
	_, page := own.do("GET", cell+query, "")
	page = html.UnescapeString(page)
	for _, want := range []string{"could line up", "Where the rule flips", "/v1/programs/ours/opponents/o1/sweeps/break?",
		`id="cures">Fixes`, `id="keep"`, "data-may", `data-picture="`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, attribute := range []string{`<a href="/v1/`, `src="/v1/`} {
		for _, part := range strings.Split(page, attribute)[1:] {
			link, _, _ := strings.Cut(part, `"`)
			own.must(200, "GET", "/v1/"+link, "")
		}
	}
	if _, page := reader.do("GET", cell+query, ""); !strings.Contains(page, `id="cures">Fixes`) ||
		strings.Contains(page, `id="keep"`) {
		t.Error("a reader sees no fixes, or is offered to save")
	}

	_, board := own.do("GET", "/programs/ours/opponents/o1/board", "")
	cards := strings.Split(board, `<li class="card" data-cell="`)[1:]
	for _, card := range cards {
		card = html.UnescapeString(card)
		answers, _, _ := strings.Cut(card, `"`)
		own.must(200, "GET", answers, "")
		_, link, _ := strings.Cut(card, `<h3><a href="`)
		link, _, _ = strings.Cut(link, `"`)
		_, said, _ := strings.Cut(card, "</h3>\n<p>")
		said, _, _ = strings.Cut(said, "</p>")
		shown := `<p class="say" id="say" aria-live="polite">` + said
		if _, page := own.do("GET", link, ""); said == "" || !strings.Contains(html.UnescapeString(page), shown) {
			t.Errorf("%s does not show %q", link, said)
		}
	}
	if len(cards) == 0 {
		t.Error("no conflict over the board: the test wants one")
	}

	items := own.must(200, "GET", ours+"/opponents/o1/answers?per_kind=2&"+query, "")["items"].([]any)
	if len(items) == 0 {
		t.Fatal("no answer to a smash: the test wants one")
	}
	first := items[0].(map[string]any)
	first["call"].(map[string]any)["name"] = "mended"
	body, _ := json.Marshal(map[string]any{"name": "mended", "active": true, "body": first["call"]})
	if answer, said := reader.do("POST", ours+"/calls", string(body)); answer.StatusCode != 403 {
		t.Errorf("a reader saves: %d %s", answer.StatusCode, said)
	}
	own.must(201, "POST", ours+"/calls", string(body))
	row, then := cellOf(own.must(200, "GET", ours+"/opponents/o1/stress", ""), "mended",
		map[string]any{"concept": "smash", "set_name": "2x2"})
	if row == nil || !alike(then["stress"], first["stress_after"]) {
		t.Errorf("on the board it gives up %v; the answer said %v", then["stress"], first["stress_after"])
	}
}
