package integration

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestPlanByClick: a coordinator makes a plan in a browser, chooses a call, sees what it
// costs, and locks it; the pages have no script.
func TestPlanByClick(t *testing.T) {
	p, ctx, ask, do := demoPages(t)
	shoot := func(name string) {
		if dir := os.Getenv("OVERHANG_SCREENSHOTS"); dir != "" {
			png, _ := chromedp.Run(ctx, chromedp.FullScreenshot(100))
			os.WriteFile(dir+"/"+name+".png", png, 0o644)
		}
		if over := ask(`String(document.documentElement.scrollWidth - document.documentElement.clientWidth)`); over != "0" {
			t.Errorf("%s is %s px wider than the window", name, over)
		}
	}
	const plans = "/programs/demo/opponents/birch/plans"
	do(chromedp.Navigate(p.url+"/programs/demo/opponents/birch"), chromedp.Click("a[href='"+plans+"']"),
		chromedp.WaitVisible("input[name=label]"))
	if said := ask(`document.body.innerText`); !strings.Contains(said, "No plan yet") {
		t.Errorf("the first page of plans: %s", said)
	}
	do(chromedp.SendKeys("input[name=label]", "week 6"), chromedp.Click("form.door button"),
		chromedp.WaitVisible("table.plan"))
	ask(`document.querySelector("select[name='call.2.0']").value = "palms"`)
	do(chromedp.SendKeys("input[name='share.2.0']", "140"), chromedp.Click("form.plan button[value=save]"),
		chromedp.WaitVisible("p.wrong"))
	if said := ask(`document.querySelector("td p.wrong").textContent`); said != "A share is a number from 0 to 100." {
		t.Errorf("140 percent: %q", said)
	}
	shoot("plan-wrong")
	ask(`document.querySelector("input[name='share.2.0']").value = "80"`)
	do(chromedp.Click("form.plan button[value=save]"), chromedp.WaitVisible("p[role=status]"))
	if said := ask(`document.querySelector("p[role=status]").textContent + document.querySelectorAll("table.plan ` +
		`tbody")[2].innerText`); !strings.Contains(said, "Saved.") || !strings.Contains(said, "the mix") {
		t.Errorf("saved: %q", said)
	}
	shoot("plan")
	do(chromedp.Click("form.plan button[value=lock]"), chromedp.WaitVisible("p[role=alert]"))
	if said := ask(`document.querySelector("p[role=alert]").textContent`); !strings.Contains(said, "confirm") {
		t.Errorf("locking without a tick: %q", said)
	}
	do(chromedp.Click("form.plan input[name=sure]"), chromedp.Click("form.plan button[value=lock]"),
		chromedp.WaitVisible("p[role=status]"))
	if n := ask(`String(document.querySelectorAll("select").length) + document.querySelector(".head .tape").textContent`); !strings.HasPrefix(n, "0Locked") {
		t.Errorf("a locked plan: %s", n)
	}
	shoot("plan-locked")
	_, _, raw := p.get(t, "/v1/programs/demo/plans")
	var list struct {
		Items []struct {
			Label    string
			LockedAt *string `json:"locked_at"`
		}
	}
	if err := json.Unmarshal([]byte(raw), &list); err != nil {
		t.Fatal(err)
	}
	if last := list.Items[len(list.Items)-1]; last.Label != "week 6" || last.LockedAt == nil {
		t.Errorf("the API has %+v", list.Items)
	}
}
