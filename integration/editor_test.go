package integration

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// An editorPage is the call editor in a browser, used with a keyboard and a mouse.
type editorPage struct {
	t    *testing.T
	ctx  context.Context
	ask  func(js string) string
	keys int // pressed so far
}

func (e *editorPage) do(steps ...chromedp.Action[chromedp.Void]) {
	e.t.Helper()
	if err := chromedp.Do(e.ctx, steps...); err != nil {
		e.t.Fatal(err)
	}
}

// settle waits until the call was played again.
func (e *editorPage) settle() {
	e.t.Helper()
	e.ask(`new Promise(done => { let seen = "", same = 0; const page = document.querySelector(".editor"), look = () => {
		const now = page.dataset.drawn + page.dataset.redrawMs.length; same = now === seen ? same + 1 : 0; seen = now;
		same > 4 ? done("still") : setTimeout(look, 50); }; look(); })`)
}

// types puts text into a field key by key, instead of what stands there.
func (e *editorPage) types(selector, text string) {
	e.t.Helper()
	if got := e.ask(`(() => { const f = document.querySelector('` + selector +
		`'); if (!f) return "none"; f.focus(); f.select(); return "there"; })()`); got != "there" {
		e.t.Fatalf("no field %s", selector)
	}
	e.do(chromedp.KeyEvent(kb.Delete))
	e.do(chromedp.KeyEvent(text), chromedp.KeyEvent(kb.Escape))
	e.keys += len(text) + 2
	e.settle()
}

// taps is types at a fast typist's pace, 14 keys a second: each key is answered by itself, with
// the field drawn again or with what is wrong beside the line.
func (e *editorPage) taps(selector, text string) {
	e.t.Helper()
	e.ask(`(() => { const f = document.querySelector('` + selector + `'); f.focus(); f.select(); return "there"; })()`)
	for _, key := range text {
		e.do(chromedp.KeyEvent(string(key)))
		time.Sleep(70 * time.Millisecond)
	}
	e.do(chromedp.KeyEvent(kb.Escape))
	e.keys += len(text) + 1
	e.settle()
}

func (e *editorPage) click(id string) {
	e.t.Helper()
	e.ask(`document.getElementById("` + id + `").click(); "clicked"`)
	e.keys++
	e.settle()
}

// chooses picks the entry of a list that begins with some words.
func (e *editorPage) chooses(id, begins string) {
	e.t.Helper()
	got := e.ask(fmt.Sprintf(`(() => { const s = document.getElementById(%q), o = [...s.options].find(o => `+
		`o.text.startsWith(%q)); if (!o) return [...s.options].map(o => o.text).join("|"); s.value = o.value; `+
		`s.dispatchEvent(new Event("change")); return ""; })()`, id, begins))
	if got != "" {
		e.t.Fatalf("%s has no %q, it has %s", id, begins, got)
	}
	e.keys++
	e.settle()
}

// faults are what the page says is wrong: beside lines, and over the form.
func (e *editorPage) faults() (beside, over string) {
	e.t.Helper()
	return e.ask(`[...document.querySelectorAll(".line-wrong")].map(x => x.textContent).join("|")`),
		e.ask(`document.querySelector("#wrong:not([hidden])")?.textContent ?? ""`)
}

// rule is the field of a rule or an alignment, by the place it has in the call.
func rule(place string) string { return `#form input[data-place="` + place + `"]` }

// rules writes the rules of the man who is chosen, and nothing else.
func (e *editorPage) rules(lines ...[2]string) {
	e.t.Helper()
	for range 20 {
		if e.ask(`String(document.querySelectorAll("#rules > li").length)`) == fmt.Sprint(len(lines)) {
			break
		}
		e.ask(`[...document.querySelectorAll('#rules button[aria-label^="Remove"]')][0].click(); "clicked"`)
		e.keys++
		e.settle()
	}
	for i, l := range lines {
		e.types(rule(fmt.Sprintf("/rules/%d/when", i)), l[0])
		e.types(rule(fmt.Sprintf("/rules/%d/then", i)), l[1])
	}
}

// TestCallEditor writes a call as a coordinator does, with keyboard and mouse and never a
// line of code: a pattern-match call gets a check against trips and one against a closed
// side, is broken in ten ways and more, each said where it is wrong, mended and stored.
// It prints how long that took and how long the field took to follow a key.
func TestCallEditor(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	e := &editorPage{t: t, ctx: ctx, ask: ask}
	begun := time.Now()
	e.do(chromedp.EmulateViewport(1366, 900), chromedp.Navigate(p.url+"/programs/demo/calls/new"),
		chromedp.WaitVisible("#field svg .man"))
	if n := ask(`String(document.querySelectorAll("textarea").length)`); n != "0" {
		t.Errorf("%s text areas in the editor", n)
	}
	e.chooses("from", "quarters match, no trips check")
	e.types("#name", "quarters ours")
	e.trips()
	e.closed()
	written := time.Since(begun)
	keep(t, ctx, "editor-1366-written")
	e.breaks()
	e.completes()
	e.uncovers()
	e.drags()
	ask(`document.getElementById("save").click(); "clicked"`)
	head := func() string { return ask(`(document.querySelector("h1") || {}).textContent ?? ""`) }
	for end := time.Now().Add(15 * time.Second); head() != "quarters ours"; {
		if time.Now().After(end) {
			beside, over := e.faults()
			t.Fatalf("not stored: %s %s", beside, over)
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Logf("written in %.0f s with %d keys and clicks, broken and mended in %.0f s", written.Seconds(), e.keys,
		time.Since(begun).Seconds())
	if written > 10*time.Minute {
		t.Errorf("a call took %s to write", written)
	}
	_, _, raw := p.get(t, "/v1/programs/demo/calls?limit=200")
	for _, want := range []string{"quarters ours", `"closed"`, `"man far #3; help #1"`} {
		if !strings.Contains(raw, want) {
			t.Errorf("the stored calls lack %s", want)
		}
	}
}

// trips writes the check against trips: the safety away from them takes #3.
func (e *editorPage) trips() {
	e.t.Helper()
	e.chooses("look", "3x1")
	e.click("add-check")
	e.types("#check-name", "solo")
	e.types("#check-when", "trips and not twins away")
	e.chooses("man", "weak safety")
	e.types("#keys input", "far #3, #1")
	e.rules([2]string{"far #3 vertical", "man far #3; help #1"}, [2]string{"else", "read far #3; help #1"})
	e.chooses("man", "weak corner")
	e.rules([2]string{"#1 vertical", "man #1 outside"}, [2]string{"else", "man #1"})
}

// closed writes the check against a closed side: its corner has the tight end alone.
func (e *editorPage) closed() {
	e.t.Helper()
	e.click("add-check")
	e.types("#check-name", "closed")
	e.types("#check-when", "single away and tight end away")
	e.chooses("man", "weak corner")
	e.rules([2]string{"else", "man #1"})
}

// breaks breaks the call in every way a tired person does, and mends it.
func (e *editorPage) breaks() {
	e.t.Helper()
	e.chooses("layer", "the call itself")
	e.chooses("man", "safety")
	e.ask(`document.querySelector("#form details").open = true; "open"`)
	for _, x := range []struct{ field, bad, good, says string }{
		{rule("/rules/0/when"), "#1 jumps", "#2 vertical", "jumps"},
		{rule("/rules/1/when"), "number two out", "#2 out/up", "number"},
		{rule("/rules/1/then"), "cover the man", "help #1; help zone inside quarter", "cover"},
		{rule("/rules/2/then"), "zone moon", "help #1; help zone inside quarter", "moon"},
		{rule("/rules/5/when"), "#1 out", "else", "else"},
		{rule("/align/0/when"), "#1 hungry", "single and #1 attached", "hungry"},
		{rule("/align/3/on"), "the moon", "#2", "moon"},
		{"#aligns .line:nth-child(4) .stepper input", "60", "-1.5", "off the field"},
		{"#keys input", "the tall one", "#2, #1", "tall"},
		{"#name", "", "quarters ours", "name"},
		{"#vertical", "90", "7", "90"},
	} {
		e.types(x.field, x.bad)
		beside, _ := e.faults()
		if !strings.Contains(strings.ToLower(beside), x.says) {
			_, over := e.faults()
			e.t.Errorf("%s = %q: beside the line it says %q, over the form %q", x.field, x.bad, beside, over)
		}
		e.types(x.field, x.good)
		if beside, over := e.faults(); beside+over != "" {
			e.t.Errorf("%s = %q mended: it still says %q %q", x.field, x.good, beside, over)
		}
	}
	e.chooses("layer", "check: closed")
	e.types("#check-when", "trips and not twins away")
	if beside, _ := e.faults(); !strings.Contains(beside, "never comes") {
		e.t.Errorf("two checks with one condition: it says %q", beside)
	}
	e.types("#check-when", "single away and tight end away")
	// What only shows when all is read together is said when the call is to be saved.
	e.chooses("layer", "the call itself")
	e.chooses("man", "safety")
	e.types(rule("/rules/1/when"), "#2 vertical")
	e.click("save")
	e.waits(`document.querySelectorAll(".line-wrong, #wrong:not([hidden])").length > 0`)
	keep(e.t, e.ctx, "editor-1366-broken")
	if beside, _ := e.faults(); beside == "" {
		_, over := e.faults()
		e.t.Errorf("a rule that never comes is not said beside it; over the form: %q", over)
	}
	e.types(rule("/rules/1/when"), "#2 out/up")
}

func (e *editorPage) waits(js string) {
	e.t.Helper()
	e.ask(`new Promise((done, no) => { const end = performance.now() + 15000, look = () => ` + js +
		` ? done("there") : performance.now() > end ? no(new Error("waited in vain")) : setTimeout(look, 50); look(); })`)
}

// completes takes a condition from the list under its line by keyboard.
func (e *editorPage) completes() {
	e.t.Helper()
	e.ask(`(() => { const f = document.querySelector('` + rule("/rules/0/when") +
		`'); f.focus(); f.select(); return "there"; })()`)
	e.do(chromedp.KeyEvent("trips and #3 v"))
	said := e.ask(`[...document.querySelectorAll(".fitting:not([hidden]) small")].map(x => x.textContent).join("|")`)
	if !strings.Contains(said, "#3 goes vertical past 7 yards") {
		e.t.Errorf("under the line it says %q", said)
	}
	keep(e.t, e.ctx, "editor-1366-completing")
	e.do(chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.Enter))
	e.settle()
	if got := e.ask(`document.querySelector('` + rule("/rules/0/when") + `').value`); got != "trips and #3 vertical" {
		e.t.Errorf("completed to %q", got)
	}
	e.types(rule("/rules/0/when"), "#2 vertical")
}

// uncovers takes a receiver's man away: he gets a ring, and loses it again.
func (e *editorPage) uncovers() {
	e.t.Helper()
	const rings = `String(document.querySelectorAll("#field .lit").length)`
	e.chooses("look", "2x2")
	e.chooses("man", "corner")
	before := e.ask(`[...document.querySelectorAll("#rules input")].map(x => x.value).join("|")`)
	e.types(rule("/rules/0/then"), "hold")
	e.types(rule("/rules/7/then"), "hold")
	if e.ask(rings) == "0" || !strings.Contains(e.ask(`document.getElementById("says").textContent`), "#1") {
		e.t.Errorf("both corners hold: %s rings, %s", e.ask(rings), e.ask(`document.getElementById("says").textContent`))
	}
	keep(e.t, e.ctx, "editor-1366-uncovered")
	e.types(rule("/rules/0/then"), "man #1 outside")
	e.types(rule("/rules/7/then"), "read #1")
	if n := e.ask(rings); n != "0" {
		e.t.Errorf("mended: %s rings", n)
	}
	if after := e.ask(`[...document.querySelectorAll("#rules input")].map(x => x.value).join("|")`); after != before {
		e.t.Errorf("the corner's rules were %q, are %q", before, after)
	}
}

// drags takes a safety by the hand; the steppers follow, and so does the field.
func (e *editorPage) drags() {
	e.t.Helper()
	raw := e.ask(`(() => { const r = document.querySelector('[data-key="man-strong safety"]').getBoundingClientRect();
		return JSON.stringify([r.x + r.width / 2, r.y + r.height / 2]); })()`)
	var spot [2]float64
	if err := json.Unmarshal([]byte(raw), &spot); err != nil {
		e.t.Fatal(err)
	}
	e.ask(`document.querySelector(".editor").dataset.redrawMs = "[]"; "cleared"`)
	e.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, spot[0], spot[1], chromedp.ButtonLeft))
	for i := 1; i <= 40; i++ {
		e.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, spot[0], spot[1]-float64(i), chromedp.ButtonLeft))
		time.Sleep(16 * time.Millisecond)
	}
	e.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, spot[0], spot[1]-40, chromedp.ButtonLeft))
	e.settle()
	deep := e.ask(`document.querySelector("#aligns .line:nth-child(4) label:nth-child(4) input").value`)
	if e.ask(`document.getElementById("man").selectedOptions[0].text`) != "safety, both sides" || deep == "9.5" {
		e.t.Errorf("dragged deeper: %s stands %s deep", e.ask(`document.getElementById("man").selectedOptions[0].text`), deep)
	}
	drag := e.times()
	e.ask(`document.querySelector(".editor").dataset.redrawMs = "[]"; "cleared"`)
	for _, text := range []string{"trips and #3 vertical", "#2 vertical and #1 short", "#2 vertical"} {
		e.taps(rule("/rules/0/when"), text)
	}
	for range 20 {
		e.ask(`document.querySelector("#aligns .line:nth-child(4) label:nth-child(4) input").focus(); "there"`)
		e.do(chromedp.KeyEvent(kb.ArrowUp))
		e.settle()
	}
	for name, ms := range map[string][]float64{"a drag's step": drag, "a key": e.times()} {
		e.t.Logf("from %s to the field drawn again, or what is wrong said: "+
			"n %d, median %.0f ms, p95 %.0f ms, worst %.0f ms", name, len(ms),
			at(ms, .5), at(ms, .95), at(ms, 1))
	}
	e.types("#aligns .line:nth-child(4) label:nth-child(4) input", "9.5")
}

// times are the page's notes of how long it took to play the call again, in ms.
func (e *editorPage) times() (out []float64) {
	e.t.Helper()
	if err := json.Unmarshal([]byte(e.ask(`document.querySelector(".editor").dataset.redrawMs`)), &out); err != nil {
		e.t.Fatal(err)
	}
	slices.Sort(out)
	return out
}
