package integration

import (
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestReviewPages goes the way a staff goes after its game, in a headless browser: our game in
// the film room, what was planned held against it, and what our own calls say about us.
func TestReviewPages(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
		if _, err := chromedp.Run(ctx, chromedp.Poll[bool](`document.readyState === "complete"`)); err != nil {
			t.Fatal(err)
		}
	}
	fits := func(page string) {
		t.Helper()
		if over := ask(`String(document.documentElement.scrollWidth - document.documentElement.clientWidth)`); over != "0" {
			t.Errorf("%s is %s px wider than the window", page, over)
		}
		if dir := os.Getenv("OVERHANG_SCREENSHOTS"); dir != "" {
			png, _ := chromedp.Run(ctx, chromedp.FullScreenshot(100))
			os.WriteFile(dir+"/"+page+".png", png, 0o644)
		}
	}
	do(chromedp.Navigate(p.url+"/programs/demo/games"), chromedp.WaitVisible("table"))
	ours := ask(`[...document.querySelectorAll("tr")].find(r => r.textContent.includes("our ` +
		`game")).querySelector("a").getAttribute("href")`)
	do(chromedp.Click("a[href='"+ours+"']"), chromedp.WaitVisible("button[name=ours][value=no]"))
	if n := ask(`String([...document.querySelector("table").querySelectorAll("th")].filter(h => ` +
		`h.textContent === "Our call").length)`); n != "1" {
		t.Errorf("%s columns of our calls, want one", n)
	}
	fits("our-game")
	do(chromedp.Click("button[name=ours][value=no]"), chromedp.WaitVisible("button[name=ours][value=yes]"))
	if n := ask(`String(document.querySelectorAll("a[href*='/review?']").length)`); n != "0" {
		t.Errorf("a game that is not ours leads to %s reviews", n)
	}
	do(chromedp.Click("button[name=ours][value=yes]"), chromedp.WaitVisible("a[href*='half=first']"))
	do(chromedp.Click("a[href*='half=first']"), chromedp.WaitVisible("h2"))
	if h := ask(`document.querySelector("h1").textContent`); h != "Review: Dogwood (invented), plan for week 6" {
		t.Errorf("heading %q", h)
	}
	text := ask(`document.body.textContent`)
	for _, want := range []string{"half first", "devices only where the rules of your association allow them",
		"Was the forecast right?", "Which conflicts they found", "Did we call the plan?", "Invented data"} {
		if !strings.Contains(text, want) {
			t.Errorf("the review does not say %q", want)
		}
	}
	if w := ask(`getComputedStyle(document.querySelector("nav.steps")).borderBottomWidth`); w != "2px" {
		t.Errorf("the header's rule is %s: the stylesheet was not applied", w)
	}
	fits("review")
	do(chromedp.Navigate(p.url+"/programs/demo"),
		chromedp.Click("main a[href='/programs/demo/self-scout']"), chromedp.WaitVisible("h2"))
	if h := ask(`document.querySelector("h1").textContent`); h != "Self-scout" {
		t.Errorf("heading %q", h)
	}
	fits("self-scout")
}
