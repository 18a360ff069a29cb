package integration

import (
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestBrowserKilled tags while the server stands still and then is gone, and kills the
// browser in between, twice, with the profile that a laptop has after its battery died:
// nothing is lost, nothing is stored twice.
func TestBrowserKilled(t *testing.T) {
	dir := twoAngles(t)
	d := &desk{t: t, env: database(t), dir: dir}
	films := "demo=" + dir
	d.p = start(t, d.env, "-demo", "-films", films)
	d.api = d.p.url + "/v1/programs/demo"
	profile := chromedp.UserDataDir(folder(t))
	d.ctx, d.ask = browser(t, profile)
	again := func(path string) {
		t.Helper()
		d.ctx, d.ask = browser(t, profile)
		d.open(path)
	}
	d.sit("killed")
	page := "/programs/demo/games/" + d.game + "/tag"
	d.press("1", kb.PageDown)
	d.where("Snap 2")
	d.settled()

	// The server hears the second snap and does not answer; the browser is killed meanwhile.
	if err := d.p.cmd.Process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	d.press("2", kb.PageDown)
	killed(t, d.ctx)
	if err := d.p.cmd.Process.Signal(syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	again(page + "#2")
	d.settled()
	if p := d.play(2); p == nil || p["down"] != 2.0 || p["version"] != 1.0 {
		t.Errorf("snap 2 is stored as %v", p)
	}

	// The server is gone; one snap waits for it, one is half typed.
	d.open(page + "#3")
	d.where("Snap 3")
	d.p.cmd.Process.Kill()
	d.p.cmd.Wait()
	d.press("3", kb.PageDown)
	d.where("Snap 4")
	d.press("4")
	killed(t, d.ctx)
	d.p = start(t, d.env, "-no-login", "-listen", strings.TrimPrefix(d.p.url, "http://"), "-films", films)
	again(page + "#4")
	d.where("Snap 4: typed, not saved yet")
	d.until(`document.getElementById("down").value`, "4")
	d.press(kb.PageDown)
	d.where("Snap 5")
	d.settled()
	for n := 1; n <= 4; n++ {
		if p := d.play(n); p == nil || p["down"] != float64(n) || p["version"] != 1.0 {
			t.Errorf("snap %d is stored as %v", n, p)
		}
	}
}
