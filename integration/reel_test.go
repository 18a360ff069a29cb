package integration

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestFilmFromTendencies goes from a row of the tendencies to its snaps and plays their film
// there: all of them one after the other, one alone, at half speed, frame by frame, around
// again, from the next angle.
func TestFilmFromTendencies(t *testing.T) {
	dir := twoAngles(t)
	d := &desk{t: t, env: database(t), dir: dir}
	d.p = start(t, d.env, "-demo", "-films", "demo="+dir)
	d.api = d.p.url + "/v1/programs/demo"
	d.ctx, d.ask = browser(t)
	if err := chromedp.Do(d.ctx, chromedp.EmulateViewport(1366, 900)); err != nil {
		t.Fatal(err)
	}
	d.sit("cut up")
	for n := 1; n <= 3; n++ {
		send(t, 201, d.api+"/plays", "application/json", fmt.Sprintf(`{"game_id":"%s","number":%d,"status":"counted",`+
			`"quarter":1,"down":3,"distance_yd":6,"set_name":"3x1","called":"pass","family":"dropback","concept":"flood"}`,
			d.game, n))
	}
	against := listed(t, d.api+"/opponents")[0]["code"].(string)
	d.open("/programs/demo/opponents/" + against + "/tendencies?by=concept&game=cut+up")
	if err := chromedp.Do(d.ctx, chromedp.Click(`table.tall a[aria-label^="3 plays"]`),
		chromedp.WaitVisible("#all")); err != nil {
		t.Fatal(err)
	}
	d.until(`document.body.dataset.reel`, "3")
	if err := chromedp.Do(d.ctx, chromedp.Click("#all")); err != nil {
		t.Fatal(err)
	}
	const at, video = `document.getElementById("at").textContent`, `document.getElementById("video")`
	d.until(at, "1 of 3: cut up, snap 1, angle 1 of 2 (wide)")
	d.until(`!`+video+`.paused && `+video+`.currentTime < 3`, "true")
	keep(t, d.ctx, "reel-1366")
	d.until(at, "2 of 3: cut up, snap 2, angle 1 of 2 (wide)") // by itself, when the first is over
	d.until(video+`.currentTime >= 6 && `+video+`.currentTime < 8`, "true")
	click := func(id string) {
		t.Helper()
		if err := chromedp.Do(d.ctx, chromedp.Click("#"+id)); err != nil {
			t.Fatal(err)
		}
	}
	// Paused while the other angle still loads, which the browser calls paused anyway.
	d.ask(`(document.getElementById("angle").click(), document.getElementById("pause").click(), "")`)
	d.until(at, "2 of 3: cut up, snap 2, angle 2 of 2 (end zone)")
	click("slow")
	d.until(video+`.currentTime >= 6 && `+video+`.paused && document.getElementById("pause").textContent`, "Play")
	click("pause")
	d.until(`!`+video+`.paused && `+video+`.playbackRate`, "0.5")
	click("pause")
	d.until(video+`.paused`, "true")
	was := d.ask(`String(` + video + `.currentTime)`)
	click("on")
	d.until(`(v => v.currentTime > `+was+` && v.currentTime < `+was+` + 0.1)(`+video+`)`, "true")
	click("slow")
	click("loop")
	click("pause")
	d.until(video+`.currentTime > 7.3`, "true")
	d.until(`!`+video+`.paused && `+video+`.currentTime < 7`, "true") // around again
	click("loop")
	if err := chromedp.Do(d.ctx, chromedp.Click(`[aria-label="Watch cut up, snap 3"]`)); err != nil {
		t.Fatal(err)
	}
	d.until(at, "3 of 3: cut up, snap 3, angle 2 of 2 (end zone)")
	d.until(video+`.paused && `+video+`.currentTime >= 14`, "true") // one alone stops at its end
}
