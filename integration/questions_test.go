package integration

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestThreeQuestions counts the clicks from the program's first page to the answer of what a
// coordinator asks in a week; under five each. Typing into the box of the bar is no click;
// opening the box is one.
func TestThreeQuestions(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	clicks := 0
	do := func(steps ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, steps...); err != nil {
			t.Fatal(err)
		}
	}
	click := func(what, then string) {
		t.Helper()
		clicks++
		do(chromedp.Click(what), chromedp.WaitVisible(then))
	}
	home := func() {
		t.Helper()
		clicks = 0
		do(chromedp.EmulateViewport(1366, 900), chromedp.Navigate(p.url+"/programs/demo"), chromedp.WaitVisible("main h1"))
	}
	under := func(question string) {
		t.Helper()
		t.Logf("%q: %d clicks", question, clicks)
		if clicks >= 5 {
			t.Errorf("%q takes %d clicks", question, clicks)
		}
	}
	find := func(words, entry, then string) {
		t.Helper()
		click(".find input", ".find input")
		do(chromedp.SendKeys(".find input", words))
		click(entry, then)
	}
	// The browser of a staff remembers whom they prepare for.
	do(chromedp.Navigate(p.url+"/programs/demo/opponents/alder"), chromedp.WaitVisible("main h1"))

	home()
	click(`.steps a[href$="/board"]`, ".board")
	click(`.board a[href*="set_name=3x1"][href*="call=cover+1"]`, "#onfield[data-ready]")
	f := &fieldPage{t, ctx, ask}
	before := f.text("gives") + f.text("say")
	yard, _ := f.at("man-strong overhang")
	corner, _ := f.at("man-strong corner")
	clicks++
	f.drag("man-strong overhang", 2*(corner-yard)/5, 0, 20)
	if f.text("moved") == "" || f.text("gives")+f.text("say") == before {
		t.Errorf("two yards wider: %q, %q", f.text("moved"), f.text("say"))
	}
	under("What if my overhang is two yards wider against trips?")

	home()
	find("3rd and 6 red zone", `#found a[href*="/board?"]`, "form.ask")
	if at := ask(`location.search`); !strings.Contains(at, "down=3") || !strings.Contains(at, "field_zone=RED") ||
		!strings.Contains(at, "distance_band=") {
		t.Errorf("3rd and 6 in the red zone is asked as %s", at)
	}
	// The invented season has no such play with routes: the page offers the wider question.
	click(`a.widen[href*="distance_band"][href*="down"]`, ".picks")
	if said := ask(`document.querySelector(".picks li").textContent`); !strings.Contains(said, "Gives up") {
		t.Errorf("what to call, and why: %q", said)
	}
	keep(t, ctx, "question-board-1366-light")
	under("What do I call on 3rd and 6 in the red zone and why?")

	home()
	find("3rd and 6 red zone", `#found a[href*="/snaps?"]`, "main table.stack, main p.none")
	if at := ask(`location.pathname + location.search`); !strings.Contains(at, "/snaps?") ||
		!strings.Contains(at, "field_zone=RED") || !strings.Contains(at, "down=3") {
		t.Errorf("every snap of it: at %s", at)
	}
	keep(t, ctx, "question-snaps-1366-light")
	under("Show me every snap of it.")
}
