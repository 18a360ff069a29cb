package integration

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"overhang/internal/database/localdb"

	"github.com/chromedp/chromedp"
)

// TestErrorsArePages goes where nothing is, asks what cannot be asked and does what is not
// allowed, in a browser: each time a page says what happened, what is safe and what to do,
// and its button leads on. Never JSON, never an empty window.
func TestErrorsArePages(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	c := &clicker{t, ctx, ask, p.url}
	c.do(chromedp.EmulateViewport(1366, 900))
	game := listed(t, p.url+"/v1/programs/demo/games")[0]["id"].(string)
	for i, x := range []struct {
		path   string
		status int
		says   string
	}{
		{"/nowhere", 404, "Nothing here"},
		{"/programs/nobody", 404, "Nothing here"},
		{"/programs/demo/opponents/nobody/board", 404, "Nothing here"},
		{"/programs/demo/games/" + strings.Replace(game, game[:8], "00000000", 1), 404, "Nothing here"},
		{"/programs/demo/calls/no-call", 404, "Nothing here"},
		{"/programs/demo/opponents/alder/cell?call=none&concept=flood&set_name=3x1&family=dropback", 404, "Nothing here"},
		{"/programs/demo/opponents/alder/board?down=9", 400, "That didn't work"},
		{"/programs/demo/opponents/alder/tendencies?by=moon&down=x", 400, "That didn't work"},
		{"/programs/demo/opponents/alder/board?last_games=many", 400, "That didn't work"},
		{"/v1/programs/demo/plays?limit=many", 400, "That didn't work"},
		{"/v1/programs/demo/opponents/alder/sheets/wristband?format=html", 404, "Nothing here"},
		{"/v1/programs/demo/opponents/alder/reports/stress?format=moon", 400, "That didn't work"},
		{"/assets/nothing.css", 404, "Nothing here"},
		{"/packet?key=none", 404, "Nothing here"},
	} {
		status := visited(t, p.url+x.path)
		c.open(x.path)
		keep(t, ctx, fmt.Sprintf("error-%02d", i))
		kind, said := ask(`document.contentType`), ask(`document.body.innerText`)
		if kind != "text/html" || status != x.status || !strings.Contains(said, x.says) {
			t.Errorf("%s: status %d, %s, says %s", x.path, status, kind, said)
		}
		if strings.ContainsAny(said, "{}") || strings.Contains(said, "/v1/") {
			t.Errorf("%s speaks to a program: %s", x.path, said)
		}
		if way := ask(`document.querySelector("main a.button")?.getAttribute("href") ?? ""`); way == "" {
			t.Errorf("%s leads nowhere", x.path)
		} else if status := visited(t, p.url+way); status != 200 {
			t.Errorf("%s leads to %s, which answers %d", x.path, way, status)
		}
	}
}

// TestDatabaseGone takes the database away under an open page: what is asked for then, and
// what is to be saved, is answered by pages and by words beside the form, and nothing that
// was typed is lost.
func TestDatabaseGone(t *testing.T) {
	db, err := localdb.Start(t.Context(), localdb.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Stop() })
	p := start(t, "OVERHANG_DATABASE_URL="+db.URL("postgres"), "-demo")
	ctx, ask := browser(t)
	c := &clicker{t, ctx, ask, p.url}
	c.do(chromedp.EmulateViewport(1366, 900))
	c.open("/programs/demo/opponents/new")
	c.types("[name=name]", "Larch")
	if err := db.Stop(); err != nil {
		t.Fatal(err)
	}
	c.click("form button.main", "[role=alert]:not([hidden])")
	keep(t, ctx, "error-form-database-gone")
	if typed := ask(`document.querySelector("[name=name]").value`); typed != "Larch" {
		t.Errorf("what was typed is %q", typed)
	}
	c.says("Not saved.")
	c.open("/programs/demo/opponents/alder/board")
	keep(t, ctx, "error-database-gone")
	said := ask(`document.body.innerText`)
	if kind := ask(`document.contentType`); kind != "text/html" ||
		!strings.Contains(said, "Everything you saved is safe.") {
		t.Errorf("without a database the board is %s and says %s", kind, said)
	}
}

// visited is the status that somebody who goes to an address with a browser gets.
func visited(t *testing.T, url string) int {
	t.Helper()
	req, err := http.NewRequest("GET", url, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Accept", "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8") // as Chromium says it
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	resp.Body.Close()
	return resp.StatusCode
}
