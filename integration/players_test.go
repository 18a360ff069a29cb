package integration

import (
	"encoding/json"
	"os"
	"syscall"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestPlayersOnPhone makes a link on the staff's page and opens it in a phone's window: the
// packet is read, the quiz is answered by thumb in the drawing and by button, with the
// connection cut and the browser killed in between; it goes on where it was, and the staff
// sees what was missed, each answer once.
func TestPlayersOnPhone(t *testing.T) {
	axe, err := os.ReadFile("testdata/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	p, ctx, ask, do := demoPages(t)
	phone := chromedp.UserDataDir(folder(t))
	room := p.url + "/programs/demo/opponents/alder/players"
	seen(t, ctx, 1366, "light", room)
	ask(`document.querySelector("select[name=group]").value = "corner"; "chosen"`)
	do(chromedp.Click(`form:has([value=make]) button`), chromedp.WaitVisible("#made"))
	keep(t, ctx, "players-1366-light")
	link := ask(`document.getElementById("made").textContent`)
	ctx, ask = browser(t, phone)
	do = doing(t, ctx)
	for _, scheme := range []string{"dark", "light"} {
		seen(t, ctx, 390, scheme, link)
		do(chromedp.WaitReady("#quiz[data-ready]"))
		keep(t, ctx, "packet-390-"+scheme)
		if over := ask(wide); over != "0" {
			t.Errorf("%s px wider than a phone: %s", over, ask(widest))
		}
		if s := ask(small); s != "" {
			t.Errorf("too small for a thumb: %s", s)
		}
	}
	ask(string(axe) + `;"there"`)
	if s := ask(serious); s != "" {
		t.Errorf("axe-core says\n%s", s)
	}
	do(chromedp.SendKeys(`[name=jersey]`, "24"), chromedp.Click("#who button"),
		chromedp.WaitVisible("article.asked:not([hidden])"))
	keep(t, ctx, "quiz-390-light")
	// The server hears and does not answer while half of the questions are answered.
	n := 0
	const place = `document.querySelector("article.asked:not([hidden]) .quiet").textContent`
	for ; ask(`String(Boolean(document.querySelector("article.asked:not([hidden])")))`) == "true"; n++ {
		if n == 2 {
			if err := p.cmd.Process.Signal(syscall.SIGSTOP); err != nil {
				t.Fatal(err)
			}
		}
		if n == 4 { // the phone dies with answers on its shelf
			at := ask(place)
			killed(t, ctx)
			if err := p.cmd.Process.Signal(syscall.SIGCONT); err != nil {
				t.Fatal(err)
			}
			ctx, ask = browser(t, phone)
			do = doing(t, ctx)
			seen(t, ctx, 390, "light", link)
			do(chromedp.WaitReady(`#quiz[data-waiting="0"]`), chromedp.Click("#who button"),
				chromedp.WaitVisible("article.asked:not([hidden])"))
			if got := ask(place); got != at {
				t.Errorf("the quiz goes on at %s, it was at %s", got, at)
			}
		}
		if said := ask(tapAnswer); said == "" {
			t.Fatalf("question %d says nothing of an answer", n+1)
		}
		if n == 0 {
			keep(t, ctx, "quiz-answered-390-light")
		}
		do(chromedp.Click("article.asked:not([hidden]) .next"))
	}
	if err := p.cmd.Process.Signal(syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	do(chromedp.WaitReady(`#quiz[data-waiting="0"]`))
	var missed []struct {
		Answered, Missed int
		Jerseys          []string
	}
	raw, _ := json.Marshal(listed(t, p.url+"/v1/programs/demo/opponents/alder/missed-rules"))
	if err := json.Unmarshal(raw, &missed); err != nil {
		t.Fatal(err)
	}
	answered := 0
	for _, m := range missed {
		answered += m.Answered
	}
	if answered != n || n < 4 {
		t.Errorf("%d answers are stored of %d given", answered, n)
	}
	seen(t, ctx, 1366, "light", room)
	keep(t, ctx, "players-missed-1366-light")
}

// tapAnswer taps the man whose the question's is, where he stands in the drawing, as a thumb
// would; where nobody is his, the button. It tells what the page says then.
const tapAnswer = `(() => { const a = document.querySelector("article.asked:not([hidden])"),
	own = JSON.parse(a.dataset.own), because = a.querySelector(".because"), taps = a.querySelector(".taps");
	if (own.length) {
		const m = a.querySelector(".front svg").getScreenCTM(), [x, y] = JSON.parse(a.dataset.runs)[own[0]].at(-1);
		const p = new DOMPoint(x, y).matrixTransform(m);
		const tap = new MouseEvent("click", { clientX: p.x, clientY: p.y, bubbles: true });
		a.querySelector(".front svg").dispatchEvent(tap);
		if (because.hidden) taps.querySelector("[value='" + own[0] + "']").click();
	} else taps.querySelector("[value='-1']").click();
	return because.querySelector(".say").textContent; })()`
