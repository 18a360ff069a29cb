package httpapi_test

import (
	"fmt"
	"html"
	"net/url"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// TestCellCures: the page says the numbers of the API's answers; a coordinator stores
// one of them as a call, which the board then has; nobody else sees or may use the form.
func TestCellCures(t *testing.T) {
	c, s := guarded(t)
	own, reader := c.person(s, "ours", "head", staff.Coordinator), c.person(s, "ours", "rea", staff.Reader)
	own.smashes()
	const cell = "/programs/ours/opponents/o1/cell?"
	const query = "concept=smash&call=quarters+match"
	out := own.must(200, "GET", ours+"/opponents/o1/answers?per_kind=2&"+query, "")
	items := out["items"].([]any)
	if len(items) == 0 {
		t.Fatal("no answer to a smash: the test wants one")
	}
	_, page := own.do("GET", cell+query, "")
	page = html.UnescapeString(page)
	for _, a := range items {
		a := a.(map[string]any)
		signed := func(name string) string { return strings.Replace(fmt.Sprintf("%+.2f", a[name]), "-", "\u2212", 1) }
		row := fmt.Sprintf(`%s → %s</span> here, <span class="n">%s → %s</span> over all <small>points a snap</small>; `+
			`open <span class="n">%.1f → %.1f</span>`, signed("gives_up_before"), signed("gives_up_after"),
			signed("all_gives_up_before"), signed("all_gives_up_after"), a["worst_before_yd"], a["worst_after_yd"])
		if !strings.Contains(page, row) || !strings.Contains(page, `value="`+a["words"].(string)+`"`) {
			t.Errorf("the page lacks %v with %s", a["words"], row)
		}
	}
	for _, want := range []string{"Where the defender could line up", "Where the rule flips",
		"/v1/programs/ours/opponents/o1/sweeps/break?", "where he is taught to line up"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	// The links of the page are questions that the API knows.
	for _, part := range strings.Split(page, `<a href="/v1/`)[1:] {
		link, _, _ := strings.Cut(part, `"`)
		own.must(200, "GET", "/v1/"+link, "")
	}
	// Each conflict of the game plan leads to its own finding.
	_, board := own.do("GET", "/programs/ours/opponents/o1/board", "")
	conflicts := strings.Split(board, "<li><strong>")[1:]
	for _, li := range conflicts {
		li = html.UnescapeString(li)
		_, rest, _ := strings.Cut(li, `class="screen" href="`)
		link, _, _ := strings.Cut(rest, "#cures")
		_, said, _ := strings.Cut(li, "</span>: ")
		said, _, _ = strings.Cut(said, " <span")
		shown := `<p class="say" id="say" aria-live="polite">` + said
		if _, page := own.do("GET", link, ""); said == "" || !strings.Contains(html.UnescapeString(page), shown) ||
			!strings.Contains(page, `id="cures"`) {
			t.Errorf("%s does not show %q and what would cure it", link, said)
		}
	}
	if len(conflicts) == 0 {
		t.Error("no conflict on the game plan: the test wants one")
	}
	first := items[0].(map[string]any)
	change := url.Values{"change": {first["words"].(string)}, "name": {"mended"}}
	for _, bad := range []struct {
		values url.Values
		word   string
	}{
		{url.Values{"change": {first["words"].(string)}, "name": {" "}}, "name"},
		{url.Values{"change": {first["words"].(string)}, "name": {"cover 1"}}, "name"}, // there is one
		{url.Values{"change": {"The passer falls down."}, "name": {"mended"}}, "not among the answers"},
	} {
		status, _, page := own.submit(cell+query, bad.values)
		if _, alert, _ := strings.Cut(page, `role="alert">`); status != 422 || !strings.Contains(alert, bad.word) {
			t.Errorf("%v: %d %.200s", bad.values, status, alert)
		}
	}
	if calls := own.must(200, "GET", ours+"/calls?name=mended", "")["items"].([]any); len(calls) != 0 {
		t.Errorf("what was refused was stored: %v", calls)
	}
	if _, page := reader.do("GET", cell+query, ""); !strings.Contains(page, `id="cures">Fixes`) || strings.Contains(page,
		"<form method=\"post\"><input type=\"hidden\" name=\"change\"") {
		t.Error("a reader sees no cures, or a form")
	}
	if status, _, _ := reader.submit(cell+query, change); status != 403 {
		t.Errorf("a reader's form: %d; want 403", status)
	}
	status, to, _ := own.submit(cell+query, change)
	if status != 303 {
		t.Fatalf("storing: %d", status)
	}
	if _, page := own.do("GET", to, ""); !strings.Contains(page, `role="status">Saved as mended`) ||
		!strings.Contains(page, ">mended against smash") {
		t.Errorf("after storing: %.600s", page)
	}
	row, then := cellOf(own.must(200, "GET", ours+"/opponents/o1/stress", ""), "mended", map[string]any{"concept": "smash",
		"set_name": "2x2"})
	if row == nil || !alike(then["stress"], first["stress_after"]) {
		t.Errorf("on the board it gives up %v; the answer said %v", then["stress"], first["stress_after"])
	}
	stored := own.must(200, "GET", ours+"/calls?name=mended",
		"")["items"].([]any)[0].(map[string]any)["body"].(map[string]any)
	if stored["name"] != "mended" || stored["title"] != "quarters match, changed: "+first["words"].(string) {
		t.Errorf("stored as %v, %v", stored["name"], stored["title"])
	}
}
