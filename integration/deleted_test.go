package integration

import (
	"encoding/json"
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestRestoreByClick: an opponent is deleted with all his film, and a click in a
// browser brings him back, printed numbers and all.
func TestRestoreByClick(t *testing.T) {
	p := start(t, database(t), "-demo")
	const plan = "/v1/programs/demo/opponents/alder/report?format=csv"
	_, _, before := p.get(t, plan)
	_, _, raw := p.get(t, "/v1/programs/demo/opponents?code=alder")
	var list struct{ Items []struct{ ID string } }
	if err := json.Unmarshal([]byte(raw), &list); err != nil {
		t.Fatal(err)
	}
	req, err := http.NewRequest("DELETE", p.url+"/v1/programs/demo/opponents/"+list.Items[0].ID, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("If-Match", `"1"`)
	req.Header.Set("Analyst", "invented head")
	resp, err := http.DefaultClient.Do(req)
	if err != nil || resp.StatusCode != 204 {
		t.Fatalf("deleting: %v, %v", resp, err)
	}
	resp.Body.Close()
	if code, _, _ := p.get(t, plan); code != 404 {
		t.Errorf("the game plan of a deleted opponent: %d; want 404", code)
	}
	ctx, ask := browser(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(p.url+"/programs/demo"), chromedp.Click(".me summary"),
		chromedp.Click("a[href='/programs/demo/deleted']"), chromedp.WaitVisible("td button")); err != nil {
		t.Fatal(err)
	}
	if row := ask(`document.querySelector("tbody tr").innerText`); !strings.HasPrefix(row,
		"Alder (invented)\topponents\t628\t") || !strings.Contains(row, "invented head") {
		t.Errorf("the row of the deleted opponent: %q", row)
	}
	if dir := os.Getenv("OVERHANG_SCREENSHOTS"); dir != "" {
		png, _ := chromedp.Run(ctx, chromedp.FullScreenshot(100))
		os.WriteFile(dir+"/deleted.png", png, 0o644)
	}
	// Without a tick the browser sends no purge.
	if err := chromedp.Do(ctx, chromedp.Click("button[aria-label^=Purge]")); err != nil {
		t.Fatal(err)
	}
	if n := ask(`String(document.querySelectorAll("tbody tr").length) + ` +
		`String(document.querySelectorAll("[role=alert], [role=status]").length)`); n != "10" {
		t.Errorf("after a click on Purge without a tick: %s; want the row, and nothing said", n)
	}
	if err := chromedp.Do(ctx, chromedp.Click("button[aria-label='Restore Alder (invented)']"),
		chromedp.WaitVisible("[role=status]")); err != nil {
		t.Fatal(err)
	}
	if said := ask(`document.querySelector("[role=status]").textContent`); said != "Alder (invented) is back." {
		t.Errorf("after restoring: %q", said)
	}
	if _, _, after := p.get(t, plan); after != before {
		t.Error("the game plan of the restored opponent has other numbers")
	}
}
