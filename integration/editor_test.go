package integration

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// TestCallEditor writes a call as a coordinator does: a call is broken on purpose in
// ways a tired person breaks it, each is said beside its line or over the page, fixed,
// a check for trips is added, and the call is stored, never a line of code seen.
func TestCallEditor(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	_, _, raw := p.get(t, "/v1/programs/demo/calls?limit=200")
	var list struct{ Items []struct{ ID, Name string } }
	if err := json.Unmarshal([]byte(raw), &list); err != nil {
		t.Fatal(err)
	}
	id := ""
	for _, c := range list.Items {
		if c.Name == "cover 3 match" {
			id = c.ID
		}
	}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(1366, 900), chromedp.Navigate(p.url+"/programs/demo/calls/"+id),
		chromedp.WaitVisible("#field svg")); err != nil {
		t.Fatal(err)
	}
	if n := ask(`String(document.querySelectorAll("textarea").length)`); n != "0" {
		t.Errorf("%s text areas in the editor", n)
	}
	// set writes into a field and waits until the call was drawn again, or could not be.
	set := func(selector, value string) string {
		t.Helper()
		js, _ := json.Marshal(value)
		return ask(`new Promise(done => { const page = document.querySelector(".editor"), seen = page.dataset.drawn, e = ` +
			`document.querySelector('` + selector + `');
			e.value = ` + string(js) + `; e.dispatchEvent(new Event("input"));
			const end = performance.now() + 15000, look = () => page.dataset.drawn !== seen || performance.now() > end ? done([...document.querySelectorAll(".line-wrong, #wrong:not([hidden])")].map(x => x.textContent).join("|")) : setTimeout(look, 5); look(); })`)
	}
	for _, broken := range []struct{ field, value, good, says string }{
		{`#rules li:nth-child(1) input[data-part=when]`, "#1 jumps", "#1 crosses #2", "jumps"},
		{`#rules li:nth-child(2) input[data-part=when]`, "number one vertical", "#1 vertical", ""},
		{`#rules li:nth-child(2) input[data-part=then]`, "cover the man", "man #1 outside", ""},
		{`#rules li:nth-child(6) input[data-part=then]`, "zone moon", "zone third", "moon"},
		{`#rules li:nth-child(7) input[data-part=when]`, "#1 out", "else", "else"},
		{`#aligns .line:nth-child(1) input[data-part=when]`, "#1 hungry", "#1 attached", "hungry"},
	} {
		said := set(broken.field, broken.value)
		if said == "" || !strings.Contains(said, broken.says) {
			t.Errorf("%s = %q: says %q", broken.field, broken.value, said)
		}
		if said = set(broken.field, broken.good); said != "" {
			t.Errorf("%s mended: still says %q", broken.field, said)
		}
	}
	var slow []string
	for _, depth := range []string{"6", "6.5", "7", "7.5", "8", "7"} {
		set(`#aligns .line:nth-child(2) .stepper:last-of-type input`, depth)
		slow = append(slow, ask(`document.querySelector(".editor").dataset.redrawMs`))
	}
	t.Logf("drawn again after a keystroke, both questions answered, in ms: %s", strings.Join(slow, " "))
	ask(`document.getElementById("add-check").click(); "clicked"`)
	if said := set("#check-name", "trips check"); said != "" {
		t.Errorf("a check for trips: %q", said)
	}
	set("#name", "cover 3 ours")
	keep(t, ctx, "editor-1366-light")
	ask(`document.getElementById("save-new").click(); "clicked"`)
	for end := time.Now().Add(15 * time.Second); !strings.Contains(ask(`(document.querySelector("h1") || {textContent: `+
		`""}).textContent`), "cover 3 ours"); time.Sleep(100 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("not stored: %s",
				ask(`document.getElementById("wrong").textContent + [...document.querySelectorAll(".line-wrong")].map(x => `+
					`x.textContent)`))
		}
	}
	if _, _, raw = p.get(t, "/v1/programs/demo/calls?limit=200"); !strings.Contains(raw, "cover 3 ours") ||
		!strings.Contains(raw, "trips check") {
		t.Error("the stored call is not in the API, or lacks its check")
	}
}
