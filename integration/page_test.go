package integration

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestPages opens the pages in a headless browser, as a coordinator would:
// programs, an opponent's game plan, the print of it.
func TestPages(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(p.url+"/")); err != nil {
		t.Fatal(err)
	}
	if links := ask(`String(document.querySelectorAll(".card h3 a[href^='/programs/demo/opponents/']").length)`); links != "4" {
		t.Fatalf("the front page links to %s opponents, want the four of the demo", links)
	}
	if err := chromedp.Do(ctx, chromedp.Click("a[href='/programs/demo/opponents/alder']"),
		chromedp.WaitVisible(".steps a"), chromedp.Click(".steps a[href$='/board']"),
		chromedp.WaitVisible("ol.conflicts")); err != nil {
		t.Fatal(err)
	}
	// The text may be there before its stylesheet.
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool](`document.readyState === "complete"`)); err != nil {
		t.Fatal(err)
	}
	if h := ask(`document.querySelector("h1").textContent`); h != "Board" {
		t.Errorf("heading %q", h)
	}
	// The style is ours and was let through by the content security policy.
	if w := ask(`getComputedStyle(document.querySelector("nav.steps")).borderBottomWidth`); w != "2px" {
		t.Errorf("the header's rule is %s: the stylesheet was not applied", w)
	}
	if n := ask(`String(document.querySelectorAll(".board tbody tr:not(.apart)").length)`); n != "10" {
		t.Errorf("%s calls on the board, want the ten active ones", n)
	}
	if s := ask(`document.querySelector("ol.conflicts li").textContent`); !strings.Contains(s, "The ") ||
		!strings.Contains(s, "yards") {
		t.Errorf("the first conflict reads %q", s)
	}
	// Nothing is wider than the page; the board scrolls by itself.
	if over := ask(`String(document.documentElement.scrollWidth - document.documentElement.clientWidth)`); over != "0" {
		t.Errorf("the page is %s px wider than the window", over)
	}
	shades := 0
	// those that the season has; WCAG 2.1, 1.4.3: 4.5 to 1 for text
	for _, shade := range []string{"s0", "s1", "s2", "s3", "s4"} {
		js := `(() => { const c = document.querySelector("td.` + shade +
			`"); if (!c) return "none"; const l = s => { const v = s.match(/\d+/g).slice(0,3).map(x => { x /= 255; return x ` +
			`<= 0.03928 ? x/12.92 : Math.pow((x+0.055)/1.055, 2.4); }); return 0.2126*v[0]+0.7152*v[1]+0.0722*v[2]; };
			const s = getComputedStyle(c), a = l(s.color), b = l(s.backgroundColor); return String((Math.max(a,b)+0.05)/(Math.min(a,b)+0.05)); })()`
		r := ask(js)
		if r == "none" {
			continue
		}
		shades++
		if ratio, err := strconv.ParseFloat(r, 64); err != nil || ratio < 4.5 {
			t.Errorf("contrast of the heat map's %s is %s to 1, want 4.5 (WCAG 2.1, 1.4.3)", shade, r)
		}
	}
	if shades < 3 {
		t.Errorf("the board has %d shades: it shows no difference", shades)
	}
	png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err != nil || len(png) < 20000 {
		t.Errorf("screenshot: %d bytes, %v", len(png), err)
	}
	if dir := os.Getenv("OVERHANG_SCREENSHOTS"); dir != "" {
		os.WriteFile(dir+"/gameplan.png", png, 0o644)
	}
	// A cell of the board opens its drawing, which has a text alternative.
	if err := chromedp.Do(ctx, chromedp.Click(".board tbody tr td a"), chromedp.WaitVisible("figure svg")); err != nil {
		t.Fatal(err)
	}
	if d := ask(`document.querySelector("figure svg desc").textContent`); !strings.Contains(d, " yards") {
		t.Errorf("the drawing's text alternative is %q", d)
	}
	if s := ask(`getComputedStyle(document.querySelector("p.say")).fontWeight`); s != "600" {
		t.Errorf("the sentence has weight %s: the stylesheet was not applied", s)
	}
	if over := ask(`String(document.documentElement.scrollWidth - document.documentElement.clientWidth)`); over != "0" {
		t.Errorf("the cell's page is %s px wider than the window", over)
	}
}
