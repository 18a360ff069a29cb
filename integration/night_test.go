package integration

import (
	"fmt"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestGameNight taps a half of a game: some snaps, then the connection is cut, more snaps,
// the browser is killed, another one opens on the same tablet: every snap is stored once,
// in its order, and the count stands beside the plan.
func TestGameNight(t *testing.T) {
	p := start(t, database(t), "-demo")
	plan := listed(t, p.url+"/v1/programs/demo/plans")[0]
	night := fmt.Sprintf("%s/programs/demo/opponents/%s/plans/%s/night", p.url, plan["opponent_id"], plan["id"])
	tapped := func() (out []string) {
		for _, x := range listed(t, p.url+"/v1/programs/demo/plays?limit=500&game_id="+plan["game_id"].(string)) {
			if n := int(x["number"].(float64)); n > 58 {
				out = append(out, fmt.Sprint(n, " ", x["coverage"], " ", x["called"], " ", x["gain_yd"]))
			}
		}
		slices.Sort(out)
		return out
	}
	tablet := chromedp.UserDataDir(folder(t))
	ctx, ask := browser(t, tablet)
	snap := func(call, concept string, gain int) {
		t.Helper()
		js := fmt.Sprintf(`(() => { const tap = (id, text) => [...document.querySelectorAll("#" + id + " button")]
			.find(b => b.textContent.startsWith(text)).click(); tap("calls", %q); tap("concepts", %q);
			const g = document.getElementById("gain"); g.value = "%d"; g.dispatchEvent(new Event("input"));
			document.getElementById("store").click(); return "tapped"; })()`, call, concept, gain)
		done, err := chromedp.Run(ctx, chromedp.Evaluate[string](js))
		if err != nil || done != "tapped" {
			t.Fatal(done, err)
		}
	}
	open := func() {
		t.Helper()
		if err := chromedp.Do(ctx, chromedp.EmulateViewport(1024, 1366), chromedp.Navigate(night),
			chromedp.WaitVisible("#night[data-ready]"), chromedp.WaitVisible(`#night[data-waiting="0"]`)); err != nil {
			t.Fatal(err)
		}
	}
	open()
	snap("quarters match", "run", 4)
	snap("palms", "mesh", 9)
	snap("cover 3 match", "other pass", -3)
	if err := chromedp.Do(ctx, chromedp.WaitVisible(`#night[data-waiting="0"]`)); err != nil {
		t.Fatal(err)
	}
	keep(t, ctx, "night-1024-light")
	// A server that hears and does not answer: what it was sent may be stored all the same.
	if err := p.cmd.Process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	snap("quarters match", "run", 2)
	snap("cover 1", "drive", 14)
	snap("fire zone", "run", 0)
	ask(`[...document.querySelectorAll("#calls button")].find(b => b.textContent.startsWith("palms")).click(); ` +
		`"half of one"`)
	killed(t, ctx)
	if err := p.cmd.Process.Signal(syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	ctx, ask = browser(t, tablet)
	open()
	call := ask(`document.querySelector("#calls [aria-pressed=true]")?.textContent ?? ""`)
	if !strings.HasPrefix(call, "palms") {
		t.Errorf("the call that was tapped and not saved: %q", call)
	}
	want := []string{"59 quarters match run 4", "60 palms pass 9", "61 cover 3 match pass -3",
		"62 quarters match run 2", "63 cover 1 pass 14", "64 fire zone run 0"}
	if got := tapped(); !slices.Equal(got, want) {
		t.Errorf("stored:\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
