package integration

import (
	"context"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// A clicker goes through forms as a person does: by click and by typing.
type clicker struct {
	t   *testing.T
	ctx context.Context
	ask func(js string) string
	url string
}

func (c *clicker) do(steps ...chromedp.Action[chromedp.Void]) {
	c.t.Helper()
	if err := chromedp.Do(c.ctx, steps...); err != nil {
		c.t.Fatalf("%v at %s: %s", err, c.ask(`location.pathname`), c.ask(`document.querySelector("main").innerText`))
	}
}

// open goes to a page and waits until its scripts are there.
func (c *clicker) open(path string) {
	c.t.Helper()
	c.do(chromedp.Navigate(c.url+path), chromedp.WaitReady("main"))
	c.loaded()
}

func (c *clicker) loaded() {
	c.t.Helper()
	if _, err := chromedp.Run(c.ctx, chromedp.Poll[bool](`document.readyState === "complete"`)); err != nil {
		c.t.Fatal(err)
	}
}

// types writes into a field instead of what stands there.
func (c *clicker) types(field, text string) {
	c.t.Helper()
	c.ask(`(() => { const f = document.querySelector('` + field + `'); f.value = ""; f.focus(); return ""; })()`)
	c.do(chromedp.SendKeys(field, text))
}

// picks takes an entry of a list.
func (c *clicker) picks(field, value string) {
	c.t.Helper()
	got := c.ask(fmt.Sprintf(`(s => { s.value = %q; s.dispatchEvent(new Event("change", { bubbles: true })); `+
		`return s.value; })(document.querySelector('%s'))`, value, field))
	if got != value {
		c.t.Fatalf("%s has no %q", field, value)
	}
}

// click clicks and waits for what comes then.
func (c *clicker) click(what, then string) {
	c.t.Helper()
	c.do(chromedp.Click(what), chromedp.WaitVisible(then))
}

// goes clicks what leads to another page, and waits for it.
func (c *clicker) goes(what, path string) {
	c.t.Helper()
	c.do(chromedp.Click(what))
	c.until(`location.pathname + location.search === "` + path + `"`)
}

// sends clicks a button whose form comes back at the same address.
func (c *clicker) sends(button string) {
	c.t.Helper()
	c.ask(`window.before = "it was sent"`)
	c.do(chromedp.Click(button))
	c.until(`!window.before`)
}

// until waits for something on a page that is there.
func (c *clicker) until(js string) {
	c.t.Helper()
	there := `document.readyState === "complete" && !!(` + js + `)`
	for end := time.Now().Add(15 * time.Second); c.ask(`String(`+there+`)`) != "true"; time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			c.t.Fatalf("%s never came at %s: %s", js, c.ask(`location.href`), c.ask(`document.querySelector("main").innerText`))
		}
	}
}

// says holds that the page has some words.
func (c *clicker) says(words string) {
	c.t.Helper()
	if said := c.ask(`document.querySelector("main").innerText`); !strings.Contains(said, words) {
		c.t.Errorf("%s does not say %q but %s", c.ask(`location.pathname`), words, said)
	}
}

// TestForms makes, mistakes, mends, edits and deletes what a staff has in pages alone: an
// opponent, a game of theirs and of ours, words, settings and the versions of a call.
func TestForms(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	c := &clicker{t, ctx, ask, p.url}
	c.do(chromedp.EmulateViewport(1366, 900))
	c.opponents()
	c.games()
	c.words()
	c.settings()
	c.broughtBack()
}

func (c *clicker) opponents() {
	c.open("/programs/demo/opponents")
	c.click(`main a[href$="/opponents/new"]`, "[name=code]")
	c.types("[name=name]", "Hickory")
	if got := c.ask(`document.querySelector("[name=code]").value`); got != "hickory" {
		c.t.Errorf("the short name follows the name to %q", got)
	}
	c.types("[name=code]", "alder")
	c.click("form button.main", ".field-wrong, [role=alert]:not([hidden])")
	keep(c.t, c.ctx, "form-opponent-wrong")
	if c.ask(`document.querySelector("label:has([name=code]) + .field-wrong")?.textContent ?? ""`) == "" {
		c.t.Errorf("a short name that is taken: nothing stands beside it, over the form: %s",
			c.ask(`document.querySelector("[role=alert]").textContent`))
	}
	if typed := c.ask(`document.querySelector("[name=name]").value`); typed != "Hickory" {
		c.t.Errorf("after the mistake the name is %q", typed)
	}
	c.types("[name=code]", "hickory")
	c.goes("form button.main", "/programs/demo/opponents/hickory")
	keep(c.t, c.ctx, "form-opponent-empty-week")
	c.open("/programs/demo/opponents")
	c.click(`a[aria-label="Edit Hickory"]`, "[name=note]")
	c.types("[name=note]", "They go for two after every score.")
	c.goes(`form[data-send=PUT] button.main`, "/programs/demo/opponents/hickory")
	c.says("They go for two")
	c.open("/programs/demo/opponents/hickory/edit")
	c.do(chromedp.Click("form[data-send=DELETE] input"))
	c.goes("form[data-send=DELETE] button", "/programs/demo/opponents")
	c.open("/programs/demo/deleted")
	c.click("button[aria-label='Restore Hickory']", "[role=status]")
	c.says("Hickory is back.")
}

func (c *clicker) games() {
	c.open("/programs/demo/games")
	c.click(`main a[href$="/games/new"]`, "[name=label]")
	c.ask(`(s => { s.value = [...s.options].find(o => o.text === "Hickory").value; return ""; })` +
		`(document.querySelector("[name=opponent_id]"))`)
	c.types("[name=label]", "Week 8, at home")
	c.types("[name=week]", "eight")
	c.click("form button.main", ".field-wrong")
	keep(c.t, c.ctx, "form-game-wrong")
	c.says("Type a number.")
	c.types("[name=week]", "8")
	c.click("form button.main", "h1 + .quiet, .head")
	c.until(`document.querySelector("h1").textContent.includes("Week 8")`)
	at := c.ask(`location.pathname`)
	keep(c.t, c.ctx, "form-game-empty")
	c.click(`button[name=ours][value=yes]`, `button[name=ours][value=no]`)
	c.open(at + "/edit")
	if c.ask(`String(document.querySelector("[name=ours]").checked)`) != "true" {
		c.t.Error("a game that was marked as ours on its page is not ours on its form")
	}
	c.types("[name=versus]", "Invented visitors")
	c.goes("form[data-send=PUT] button.main", at)
	c.open("/programs/demo/games")
	c.says("Invented visitors")
	c.open(at + "/edit")
	c.do(chromedp.Click("form[data-send=DELETE] input"))
	c.goes("form[data-send=DELETE] button", "/programs/demo/games")
}

func (c *clicker) words() {
	c.open("/programs/demo/words?field=concept")
	c.types(`form[data-path="/words"] [name=word]`, "Tango")
	c.picks(`form[data-path="/words"] [name=alias_of]`, "flood")
	c.do(chromedp.Click(`form[data-path="/words"] button`))
	c.alias("flood", "Tango")
	c.types(`form[data-path="/words"] [name=word]`, "Tango")
	c.click(`form[data-path="/words"] button`, `form[data-path="/words"] .field-wrong, `+
		`form[data-path="/words"] [role=alert]:not([hidden])`)
	keep(c.t, c.ctx, "form-words-wrong")
	// A staff's own name for a concept: their word is the word, ours an alias of it.
	c.open("/programs/demo/words?field=concept")
	c.types(`form[data-path="/words"] [name=word]`, "Waterfall")
	c.do(chromedp.Click(`form[data-path="/words"] button`))
	c.until(`[...document.querySelectorAll("th")].some(r => r.textContent === "Waterfall")`)
	c.picks(`form[data-path="/merges"] [name=word]`, "flood")
	c.picks(`form[data-path="/merges"] [name=into]`, "Waterfall")
	c.do(chromedp.Click(`form[data-path="/merges"] button`))
	c.alias("Waterfall", "flood")
	keep(c.t, c.ctx, "form-words")
	for _, page := range []string{"tendencies?by=concept", "board", "sheets"} {
		path := "/programs/demo/opponents/alder/" + page
		if page == "sheets" {
			path = "/v1/programs/demo/opponents/alder/sheets/call?format=html"
		}
		c.open(path)
		said := strings.ReplaceAll(strings.ToLower(c.ask(`document.querySelector("main").innerText`)), "boot flood", "")
		if !strings.Contains(said, "waterfall") || strings.Contains(said, "flood") {
			c.t.Errorf("%s says flood: %t, Waterfall: %t", page, strings.Contains(said, "flood"),
				strings.Contains(said, "waterfall"))
		}
	}
	c.open("/programs/demo/words?field=motion")
	c.types(`form[data-path="/words"] [name=word]`, "Zip")
	c.do(chromedp.Click(`form[data-path="/words"] button`))
	c.until(`document.querySelector('[aria-label="Delete Zip"]')`)
	c.do(chromedp.Click(`[aria-label="Delete Zip"]`))
	c.until(`!document.querySelector('[aria-label="Delete Zip"]')`)
}

// alias waits until a word of the page has another one beside it.
func (c *clicker) alias(word, other string) {
	c.t.Helper()
	c.until(fmt.Sprintf(`[...document.querySelectorAll("tr")].some(r => r.cells[0]?.textContent === %q && `+
		`r.textContent.includes(%q))`, word, other))
}

func (c *clicker) settings() {
	c.open("/programs/demo/settings")
	first := `[name="settings.success_percent.0"]`
	was := c.ask(`document.querySelector('` + first + `').value`)
	c.types(first, "400")
	c.click("form[data-shape=settings] button.main", ".field-wrong")
	keep(c.t, c.ctx, "form-settings-wrong")
	c.types(first, was)
	word := `[aria-label="What you call the free safety"]`
	c.types(word, "Eagle")
	c.sends("form[data-shape=settings] button.main")
	c.until(`document.querySelector('` + word + `').value === "Eagle"`)
	const sheets = "/v1/programs/demo/opponents/alder/sheets/"
	for _, path := range []string{sheets + "position?format=html", sheets + "call?format=html",
		"/programs/demo/opponents/alder/cell?call=cover+1&concept=snag&set_name=3x1&family=dropback,(unknown)"} {
		c.open(path)
		if strings.Contains(path, "/cell?") {
			c.until(`document.getElementById("jobs") && !document.getElementById("jobs").hidden`)
		}
		said := c.ask(`document.querySelector("main").innerText`)
		if strings.Contains(strings.ToLower(said), "free safety") ||
			!strings.Contains(path, "sheets/call") && !strings.Contains(strings.ToLower(said), "eagle") {
			c.t.Errorf("%s does not go by the staff's word for the free safety", path)
		}
	}
}

// broughtBack changes a call, sees both versions, and brings the first one back.
func (c *clicker) broughtBack() {
	id := listed(c.t, c.url+"/v1/programs/demo/calls?name=cover+1")[0]["id"].(string)
	at := "/programs/demo/calls/" + id
	c.open(at)
	c.until(`document.querySelector("#field svg .man")`)
	c.types("#title", "ours, for this week")
	c.click("#save", "#saved:not([hidden])")
	c.says("Saved: version 2.")
	c.open(at + "/versions")
	c.do(chromedp.WaitVisible(`[aria-label="Bring version 1 back"]`))
	keep(c.t, c.ctx, "form-versions")
	c.click(`[aria-label="Bring version 1 back"]`, `[aria-label="Bring version 2 back"]`)
	c.says("Version 3, now")
	stored := listed(c.t, c.url+"/v1/programs/demo/calls?name=cover+1")[0]
	if title := stored["body"].(map[string]any)["title"]; title == "ours, for this week" || stored["version"] != 3.0 {
		c.t.Errorf("brought back: version %v, %q", stored["version"], title)
	}
}

// ownerLink is the link that the first owner of an empty server is given.
func ownerLink(t *testing.T, p *process) string {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		said, err := os.ReadFile(p.said.Name())
		if err != nil {
			t.Fatal(err)
		}
		if link := regexp.MustCompile(`/join\?invitation=\S+`).FindString(string(said)); link != "" {
			return link
		}
	}
	t.Fatal("an empty server gives its first owner no link")
	return ""
}

// TestStaffForms lets somebody in by clicks: an invitation, who opens it, another role, what
// that role may not do, a token, and out again.
func TestStaffForms(t *testing.T) {
	p := start(t, database(t))
	link := ownerLink(t, p)
	ctx, ask := browser(t)
	owner := &clicker{t, ctx, ask, p.url}
	owner.do(chromedp.EmulateViewport(1366, 900))
	owner.open(link)
	for field, text := range map[string]string{"program_name": "Our staff", "program_code": "ours", "login": "head",
		"name": "Invented head", "password": "a sentence nobody else says"} {
		owner.types("[name="+field+"]", text)
	}
	owner.click("button.main", `a[href="/programs/ours"]`)
	owner.open("/programs/ours/staff")
	owner.picks("form:has([value=invite]) [name=role]", "coordinator")
	owner.types("form:has([value=invite]) [name=login]", "guest")
	owner.click("form:has([value=invite]) button", ".said code")
	keep(t, ctx, "staff-invited")
	made := ask(`document.querySelector(".said code").textContent`)
	if !strings.HasPrefix(made, p.url+"/join") {
		t.Fatalf("the link to send is %q: nobody can open that", made)
	}
	other, askOther := browser(t)
	guest := &clicker{t, other, askOther, p.url}
	guest.open(strings.TrimPrefix(made, p.url))
	guest.types("[name=name]", "Invented guest")
	guest.types("[name=password]", "another sentence, never said")
	guest.do(chromedp.Click("button.main"))
	guest.until(`!location.pathname.startsWith("/join")`) // the page before has a link home too
	guest.open("/programs/ours/settings")
	guest.types(`[name="settings.explosive_run_yd"]`, "11")
	guest.sends("form[data-shape=settings] button.main")

	owner.open("/programs/ours/staff")
	owner.picks(`[aria-label="Role of Invented guest"]`, "reader")
	owner.sends(`form:has([aria-label="Role of Invented guest"]) button`)
	guest.open("/programs/ours/settings")
	guest.says("A coordinator or owner changes these.")
	guest.open("/programs/ours/opponents/new")
	guest.says("You can read this program; its analysts add opponents and games.")
	keep(t, other, "form-not-allowed")

	guest.open("/programs/ours/staff")
	guest.types("[name=label]", "my spreadsheet")
	guest.click("form:has([value=token]) button", ".said code")
	guest.sends(`[aria-label="End my spreadsheet"]`)
	guest.until(`!document.querySelector('[aria-label="End my spreadsheet"]')`)

	owner.open("/programs/ours/staff")
	owner.sends(`[aria-label="Remove Invented guest"]`)
	owner.until(`!document.querySelector("main").innerText.includes("Invented guest")`)
	guest.open("/programs/ours/staff")
	keep(t, other, "form-removed")
	if kind := askOther(`document.contentType`); kind != "text/html" {
		t.Errorf("who was removed sees %s", kind)
	}
}
