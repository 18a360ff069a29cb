package integration

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestManyClips scrolls a game of some 5,000 synthetic clips from end to end, once as the page lays
// them out, in blocks, and once with every row laid out, and prints both side by side: frames,
// the longest of them, long tasks (over 50 ms; W3C Long Tasks). What must hold is that every
// clip is there and can be found; the figures are for a person to read.
func TestManyClips(t *testing.T) {
	const n, angles = 999, 5 // a game has 999 snaps at most: five films of it are 4,995 clips
	p := start(t, database(t), "-demo")
	game := listed(t, p.url+"/v1/programs/demo/games")[0]["id"].(string)
	var list strings.Builder
	list.WriteString("start_s,end_s,number\n")
	for i := range n {
		fmt.Fprintf(&list, "%d,%d,%d\n", 10*i, 10*i+8, i+1)
	}
	for i := range angles {
		film := sent(t, p.url+"/v1/programs/demo/films", "application/json",
			fmt.Sprintf(`{"game_id":"%s","location":"synthetic-%d.mp4","angle":"synthetic %d"}`, game, i, i))
		sent(t, p.url+"/v1/programs/demo/films/"+film+"/clips", "text/csv", list.String())
	}
	ctx, ask := browser(t)
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(1366, 900),
		chromedp.Navigate(p.url+"/programs/demo/games/"+game), chromedp.WaitReady(".snaps .block")); err != nil {
		t.Fatal(err)
	}
	if rows := ask(`String(document.querySelectorAll(".snaps tbody tr").length)`); rows != fmt.Sprint(n) {
		t.Errorf("%s rows of %d clips", rows, n)
	}
	if last := ask(`document.querySelector(".snaps .block:last-of-type tr:last-child a").textContent`); last !=
		fmt.Sprint(n) {
		t.Errorf("the last clip is %s", last)
	}
	for _, way := range []struct{ name, visible string }{{"in blocks", "auto"}, {"every row", "visible"}} {
		t.Logf("%s: %s", way.name, ask(fmt.Sprintf(scrolled, way.visible)))
	}
}

// scrolled scrolls through the page in 300 steps of a frame each and tells how it went.
const scrolled = `(async () => {
	const began = performance.now(), frame = () => new Promise(requestAnimationFrame);
	for (const b of document.querySelectorAll(".snaps .block")) b.style.contentVisibility = "%s";
	await frame(); await frame();
	const laid = performance.now() - began, tasks = [], frames = [];
	const watch = new PerformanceObserver(l => tasks.push(...l.getEntries().map(e => e.duration)));
	watch.observe({ type: "longtask" });
	let at = performance.now();
	for (let i = 1; i <= 300; i++) {
		scrollTo(0, document.documentElement.scrollHeight * i / 300);
		await frame(); const now = performance.now(); frames.push(now - at); at = now;
	}
	frames.sort((a, b) => a - b);
	const q = p => frames[Math.min(299, Math.floor(300 * p))].toFixed(0);
	return "laid out in " + laid.toFixed(0) + " ms; frames: median " + q(.5) + ", p95 " + q(.95) + ", longest " + q(1) +
		" ms; long tasks " + tasks.length + ", longest " + Math.max(0, ...tasks).toFixed(0) + " ms"; })()`

// sent posts a body and returns the id of what it made, if any.
func sent(t *testing.T, url, kind, body string) string {
	t.Helper()
	resp, err := http.Post(url, kind, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if resp.StatusCode >= 300 {
		t.Fatalf("POST %s: %s", url, resp.Status)
	}
	at := strings.Split(resp.Header.Get("Location"), "/")
	return at[len(at)-1]
}
