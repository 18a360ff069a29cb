package integration

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// widths are a phone, a laptop and a big screen.
var widths = []int64{390, 1366, 2560}

// lookedAt are the pages every visitor meets, by the name of their picture.
var lookedAt = [][2]string{
	{"look", "/guide/look"}, {"programs", "/"}, {"home", "/programs/demo"}, {"week", "/programs/demo/opponents/alder"},
	{"film", "/programs/demo/opponents/alder/film"}, {"tags", "/programs/demo/opponents/alder/tags"},
	{"tendencies", "/programs/demo/opponents/alder/tendencies?by=concept"},
	{"behind", "/programs/demo/opponents/alder/snaps?concept=flood&down=3"},
	{"print", "/programs/demo/opponents/alder/print"},
	{"opponents", "/programs/demo/opponents"}, {"opponent", "/programs/demo/opponents/alder/edit"},
	{"game", "/programs/demo/games/new"}, {"settings", "/programs/demo/settings"}, {"words", "/programs/demo/words"},
	{"calls", "/programs/demo/calls"}, {"new-call", "/programs/demo/calls/new"},
	{"compare", "/programs/demo/calls/compare"}, {"studies", "/programs/demo/opponents/alder/studies?of=concept"},
	{"targets", "/programs/demo/opponents/alder/tendencies?called=pass&by=target_area"},
	{"stress-report", "/v1/programs/demo/opponents/alder/reports/stress?format=html&down=3"},
	{"opponent-report", "/v1/programs/demo/opponents/alder/reports/opponent?format=html"},
	{"scout-cards", "/v1/programs/demo/opponents/alder/sheets/scout?format=html"},
	{"guide", "/guide"}, {"key", "/guide/key"}, {"import", "/programs/demo/import"},
	{"board", "/programs/demo/opponents/alder/board"},
	{"cell", "/programs/demo/opponents/alder/cell?call=cover+1&concept=flood&set_name=3x1&family=dropback,(unknown)"},
	{"plans", "/programs/demo/opponents/alder/plans"}, {"games", "/programs/demo/games"},
	{"staff", "/programs/demo/staff"}, {"trash", "/programs/demo/deleted"}, {"nothing", "/programs/demo/nothing"},
}

// wide asks how far the page is wider than its window.
const wide = `String(document.documentElement.scrollWidth - document.documentElement.clientWidth)`

// small lists what a thumb would miss: WCAG 2.2, 2.5.8 asks for 24 px, the look for 44;
// links within a line of text are excepted, as there.
const small = `[...document.querySelectorAll("button, .button, ` +
	`input:not([type=hidden]):not([type=checkbox]):not([type=radio]), select, .steps a, .bar a")]
	.filter(e => e.offsetParent && !e.closest("dialog:not([open])")).filter(e => { const r = e.getBoundingClientRect(); return r.height < 43.5 && r.width > 0; })
	.map(e => e.tagName + " " + (e.textContent || e.name).trim().slice(0, 30) + " " + Math.round(e.getBoundingClientRect().height)).join("; ")`

// serious lists what axe-core (Deque, MPL-2.0, kept for tests alone) finds that keeps
// somebody from using the page.
const serious = `axe.run(document, {resultTypes: ["violations"]}).then(r => r.violations.filter(v => v.impact === ` +
	`"serious" || v.impact === "critical")
	.map(v => v.id + ": " + v.nodes.slice(0, 3).map(n => n.target.join(" ") + " " + (n.any[0] ? n.any[0].message : "")).join(" | ")).join("\n"))`

// TestLook looks at every page at three widths, by day and by night: nothing is wider
// than the window, nothing is too small for a thumb, axe-core finds nothing serious,
// and nothing is asked of another machine.
func TestLook(t *testing.T) {
	axe, err := os.ReadFile("testdata/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	p := start(t, database(t), "-demo")
	pages := everyPage(t, p.url)
	only := strings.Split(os.Getenv("OVERHANG_ONLY"), ",")
	pages = slices.DeleteFunc(pages, func(page [2]string) bool {
		return !slices.ContainsFunc(only, func(o string) bool { return strings.Contains(page[0], o) })
	})
	for some := range slices.Chunk(pages, 4) { // a browser lives six minutes
		t.Run(some[0][0], func(t *testing.T) {
			t.Parallel()
			ctx, ask := browser(t)
			for _, page := range some {
				looked(t, ctx, ask, p.url, page, string(axe))
			}
		})
	}
}

// looked looks at one page, a pair of its name and its path, at every width: by day as it comes,
// then as the night falls on it.
func looked(t *testing.T, ctx context.Context, ask func(js string) string, url string, page [2]string, axe string) {
	t.Helper()
	for _, w := range widths {
		seen(t, ctx, w, "light", url+page[1])
		if js := begun[page[0]]; js != "" {
			ask(js)
		}
		ask(axe + `;"there"`)
		for _, scheme := range []string{"light", "dark"} {
			light(t, ctx, scheme)
			at := fmt.Sprintf("%s at %d px, %s", page[0], w, scheme)
			if over := ask(wide); over != "0" {
				t.Errorf("%s: %s px wider than the window: %s", at, over, ask(widest))
			}
			if w == widths[0] && scheme == "light" {
				if s := ask(small); s != "" {
					t.Errorf("%s: too small for a thumb: %s", at, s)
				}
			}
			if scheme == "light" || w == widths[1] { // the width changes no color
				if s := ask(serious); s != "" {
					t.Errorf("%s: axe-core says\n%s", at, s)
				}
			}
			keep(t, ctx, fmt.Sprintf("%s-%d-%s", page[0], w, scheme))
		}
		// a clip is where the staff keeps its film
		if far := ask(`performance.getEntriesByType("resource").filter(e => e.initiatorType != "video" && ` +
			`e.name != document.querySelector("video")?.currentSrc).map(e => e.name).filter(n => ` +
			`!n.startsWith(location.origin)).join(" ")`); far != "" {
			t.Errorf("%s at %d px: asks %s", page[0], w, far)
		}
	}
}

// begun is what is done on a page before it is looked at, by its name.
var begun = map[string]string{
	"quiz": `new Promise(done => {
		const look = () => document.querySelector("#quiz[data-ready]") ? done(start()) : setTimeout(look, 50),
		start = () => { const who = document.getElementById("who"); if (who.hidden) return "begun";
			who.jersey.value = "24"; who.querySelector("button").click(); return "begun"; }; look(); })`,
	"behind": waitFor("document.body.dataset.reel"),
	"board":  waitFor("document.body.dataset.fixed"),
	"cell":   waitFor(`document.querySelector("#onfield[data-ready]")`),
	"night":  waitFor(`document.querySelector("#night[data-ready]")`),
	"call":   waitFor(`document.querySelector("#field svg .man")`),
	"new-call": `(s => { s.value = [...s.options].find(o => o.text.startsWith("quarters match")).value;
		s.dispatchEvent(new Event("change")); return ""; })(document.getElementById("from")); ` +
		waitFor(`document.querySelector("#field svg .man")`),
}

// waitFor waits until something is there, and no longer than ten seconds.
func waitFor(js string) string {
	return `new Promise(done => { const end = performance.now() + 10000, look = () => ` + js +
		` || performance.now() > end ? done("there") : setTimeout(look, 50); look(); })`
}

// widest names what sticks out.
const widest = `[...document.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > ` +
	`document.documentElement.clientWidth + 1 && !e.closest(".wide, .board, svg")).slice(0, 4).map(e => e.tagName + ` +
	`"." + e.className + " " + e.textContent.trim().slice(0, 20)).join("; ")`

// seen opens a page in a window of a width, by day or by night.
func seen(t *testing.T, ctx context.Context, width int64, scheme, url string) {
	t.Helper()
	light(t, ctx, scheme)
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(url),
		chromedp.WaitReady("main")); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool](`document.readyState === "complete"`)); err != nil {
		t.Fatal(err)
	}
}

// light makes it day or night around the page.
func light(t *testing.T, ctx context.Context, scheme string) {
	t.Helper()
	media := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme",
		Value: scheme}}}
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, media); err != nil {
		t.Fatal(err)
	}
}

// keep stores a picture of the page where OVERHANG_SCREENSHOTS says.
func keep(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	dir := os.Getenv("OVERHANG_SCREENSHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(dir+"/"+name+".png", png, 0o644); err != nil {
		t.Fatal(err)
	}
}
