package integration

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// twoAngles is a folder with a recording from two angles.
func twoAngles(t *testing.T) string {
	t.Helper()
	dir, _ := recording(t)
	if err := os.Link(filepath.Join(dir, "invented.webm"), filepath.Join(dir, "high.webm")); err != nil {
		t.Fatal(err)
	}
	return dir
}

// TestFilmRoom is an evening of an analyst: one server, one browser, a game a part.
func TestFilmRoom(t *testing.T) {
	dir := twoAngles(t)
	d := &desk{t: t, env: database(t), dir: dir}
	d.p = start(t, d.env, "-demo", "-films", "demo="+dir)
	d.api = d.p.url + "/v1/programs/demo"
	d.ctx, d.ask = browser(t)
	if err := chromedp.Do(d.ctx, chromedp.EmulateViewport(1366, 768)); err != nil { // a laptop's window
		t.Fatal(err)
	}
	for _, part := range []struct {
		name string
		test func(*testing.T, *desk)
	}{{"keyboard", tagging}, {"proposed", taggingOn}, {"offered", taggingOffered},
		{"counted", taggingCounted}, {"new word", taggingNewWord},
		{"refused", taggingRefused}, {"fast", taggingFast}, {"stale", taggingStale}, {"busy", taggingBusy},
		{"readable", taggingReadable}, {"away", taggingAway}} {
		t.Run(part.name, func(t *testing.T) {
			own := *d
			own.t = t
			own.sit(part.name)
			part.test(t, &own)
		})
	}
}

// A desk is an analyst's place: the tagging page of a game with two angles of
// three snaps, open in a browser, and the API beside it.
type desk struct {
	t         *testing.T
	p         *process
	ctx       context.Context
	ask       func(string) string
	env, dir  string
	api, game string
}

func (d *desk) sit(label string) {
	t := d.t
	t.Helper()
	o := listed(t, d.api+"/opponents")[0]["id"].(string)
	d.game = send(t, 201, d.api+"/games", "application/json", `{"opponent_id":"`+o+`","label":"`+label+`"}`)["id"].(string)
	for i, file := range []string{"invented.webm", filepath.Join(d.dir, "high.webm")} {
		angle := []string{"wide", "end zone"}[i]
		f := send(t, 201, d.api+"/films", "application/json", `{"game_id":"`+d.game+`","location":"`+file+`","angle":"`+angle+
			`"}`)["id"].(string)
		send(t, 200, d.api+"/films/"+f+"/clips", "text/csv", fmt.Sprintf("start_s,end_s,number\n%d,3,1\n6,8,2\n12,14,3\n", i))
	}
	d.open("/programs/demo/games/" + d.game + "/tag")
}

func (d *desk) open(path string) {
	d.t.Helper()
	if err := chromedp.Do(d.ctx, chromedp.Navigate(d.p.url+path)); err != nil {
		d.t.Fatal(err)
	}
	if strings.Contains(path, "/tag") {
		d.until(`document.body.dataset.ready || ""`, "yes")
	}
}

// press sends keys as a keyboard does; a text in between is typed.
func (d *desk) press(keys ...string) {
	d.t.Helper()
	for _, k := range keys {
		if err := chromedp.Do(d.ctx, chromedp.KeyEvent(k)); err != nil {
			d.t.Fatal(err)
		}
	}
}

// until waits for a script to give what is wanted.
func (d *desk) until(js, want string) {
	d.t.Helper()
	got := ""
	for range 150 {
		if got = d.ask("String(" + js + ")"); got == want {
			return
		}
		time.Sleep(40 * time.Millisecond)
	}
	d.shot("failed")
	d.t.Fatalf("%s is %q, want %q; the page complains: %s", js, got, want,
		d.ask(`[...document.querySelectorAll(".wrong")].map(e => e.id + " " + e.textContent).filter(s => !s.endsWith(" `+
			`")).join("; ")`))
}

func (d *desk) where(says string) {
	d.t.Helper()
	d.until(`document.getElementById("where").textContent.startsWith("`+says+
		`") ? "yes" : document.getElementById("where").textContent`, "yes")
}

// settled waits until nothing waits to be stored.
func (d *desk) settled() {
	d.t.Helper()
	d.until(`document.getElementById("waiting").textContent`, "Everything is saved.")
}

func (d *desk) focus(name string) {
	d.t.Helper()
	d.ask(`(document.getElementsByName("` + name +
		`")[0].focus(), document.activeElement.select && document.activeElement.select(), "")`)
}

// play returns the stored play of a snap; there must be exactly one, or none.
func (d *desk) play(number int) map[string]any {
	d.t.Helper()
	var found []map[string]any
	for _, p := range listed(d.t, d.api+"/plays?limit=500&game_id="+d.game) {
		if p["number"] == float64(number) {
			found = append(found, p)
		}
	}
	if len(found) > 1 {
		d.t.Fatalf("snap %d is stored %d times", number, len(found))
	}
	if len(found) == 0 {
		return nil
	}
	return found[0]
}

func (d *desk) shot(name string) {
	d.t.Helper()
	png, err := chromedp.Run(d.ctx, chromedp.FullScreenshot(100))
	if err != nil || len(png) < 10000 {
		d.t.Errorf("screenshot %s: %d bytes, %v", name, len(png), err)
	}
	if dir := os.Getenv("OVERHANG_SCREENSHOTS"); dir != "" {
		os.WriteFile(dir+"/"+name+".png", png, 0o644)
	}
}

// tagging tags a play as an analyst does, by keyboard alone.
func tagging(t *testing.T, d *desk) {
	d.where("Snap 1: not tagged")
	d.until(`document.activeElement.name`, "down")
	// An Enter behind a tag that went on by itself means that tag.
	d.press("3", kb.Enter, "7", kb.Enter, "-35", kb.Enter, "l", kb.Enter, "11", kb.Enter, "2x2", kb.Enter)
	d.until(`document.activeElement.name`, "family")
	d.focus("strength")
	d.press("r")
	d.focus("motion")
	d.press("no", kb.Tab)
	d.until(`document.getElementById("motion").value`, "none") // the only word that begins so
	d.focus("family")
	d.press("d", "smas", kb.Enter, "l")
	// the usual routes of the concept, proposed
	d.until(`document.activeElement.name + " " + document.activeElement.value`, "route0 hitch")
	d.press(" ")
	d.until(`document.activeElement.name + document.activeElement.value`, "route0")
	d.press("hitch", kb.Enter, "6")               // L1 hitch at 6
	d.press("corner", kb.Enter, "12.5", kb.Enter) // L2 corner at 12.5
	d.press(" ")                                  // R1 not seen
	d.focus("who3")
	d.press("R2t", kb.Enter, "dig", kb.Enter, kb.Enter, kb.Enter) // a tight end, depth not seen; an empty route ends them
	d.until(`document.activeElement.name`, "target0")
	d.press("2") // thrown to the second
	d.focus("direction1")
	d.press("o")
	d.shot("tagging")
	d.focus("result")
	d.press("c", kb.Enter, "-2", kb.Enter)
	d.focus("shell")
	d.press("t")
	d.press(kb.PageDown)
	d.where("Snap 2: not tagged")
	d.settled()
	p := d.play(1)
	for field, want := range map[string]any{"down": 3.0, "distance_yd": 7.0, "yards_to_goal": 65.0, "hash": "left",
		"personnel": "11", "set_name": "2x2", "strength": "right", "motion": "none",
		"family": "dropback", "called": "pass", "concept": "smash", "play_side": "left", "result": "complete",
		"gain_yd": -2.0, "shell": "two_high", "status": "counted", "touchdown": false, "quarter": nil, "coverage": nil} {
		if p[field] != want {
			t.Errorf("%s is stored as %v, typed was %v", field, p[field], want)
		}
	}
	routes, _ := json.Marshal(p["routes"])
	if want := `[{"break_depth_yd":6,"eligible":"receiver","number":1,"route":"hitch","side":"left","targeted":false},{"break_depth_yd":12.5,"break_direction":"out","eligible":"receiver","number":2,"route":"corner","side":"left","targeted":true},{"eligible":"tight_end","number":2,"route":"dig","side":"right","targeted":false}]`; string(routes) != want {
		t.Errorf("routes are stored as\n%s\ntyped was\n%s", routes, want)
	}
	// The film went with it: the second snap's clip, from 6 to 8 seconds, which stops at its end.
	d.until(`document.getElementById("video").currentTime >= 6 && document.getElementById("video").currentTime < 9 ? `+
		`"at the clip" : document.getElementById("video").currentTime`, "at the clip")
	d.until(`document.getElementById("video").paused`, "true")
	if at := d.ask(`String(document.getElementById("video").currentTime)`); at < "7.9" || at > "8.6" {
		t.Errorf("the clip stopped at %s s, want its end at 8", at)
	}
	d.press(kb.F4)
	d.until(`document.getElementById("angle").textContent`, "Angle 2 of 2: end zone")
	d.until(`document.getElementById("video").src.includes("/films/") && document.getElementById("video").currentTime `+
		`>= 6 ? "yes" : ""`, "yes")
	// Back on the first snap everything stands as it was stored, and nothing is sent again.
	d.press(kb.PageUp)
	d.where("Snap 1: saved")
	d.until(`["down","yards_to_goal","concept","who1","depth1","direction1"].map(n => `+
		`document.getElementsByName(n)[0].value).join(" ")`, "3 -35 smash L2 12.5 out")
	d.press(kb.PageDown)
	d.where("Snap 2: not tagged")
	if v := d.play(1)["version"]; v != 1.0 {
		t.Errorf("looking at a snap made version %v of it", v)
	}
	d.press(kb.F9, "77", kb.Enter)
	d.where("Snap 77: not tagged")
	cutting(t, d)
}

// cutting makes a clip of the film that runs, by two keys, and adds a third film
// with its clip list.
func cutting(t *testing.T, d *desk) {
	d.press(kb.F9, "4", kb.Enter)
	// the angle that was looked at last
	d.until(`document.getElementById("angle").textContent`, "Angle 2 of 2: end zone, not cut yet")
	d.until(`document.getElementById("video").currentTime > 14 ? "behind snap 3" : ""`, "behind snap 3")
	alt := func(key string) {
		if err := chromedp.Do(d.ctx, chromedp.KeyEvent(key, chromedp.KeyModifiers(chromedp.ModifierAlt))); err != nil {
			t.Fatal(err)
		}
	}
	alt(".") // without a beginning it does nothing
	alt(",")
	begun := d.ask(`String(document.getElementById("video").currentTime)`)
	d.until(`document.getElementById("video").currentTime > `+begun+` + 0.5 ? "a while" : ""`, "a while")
	alt(".")
	d.until(`document.getElementById("angle").textContent`, "Angle 1 of 2: end zone")
	var cut []map[string]any
	for _, f := range listed(t, d.api+"/films?game_id="+d.game) {
		for _, c := range listed(t, d.api+"/clips?film_id="+f["id"].(string)) {
			if c["number"] == 4.0 {
				cut = append(cut, c)
			}
		}
	}
	if len(cut) != 1 || cut[0]["start_s"].(float64) < 14 || cut[0]["end_s"].(float64) < cut[0]["start_s"].(float64)+.4 {
		t.Errorf("cut by hand: %v; want one clip of half a second or more behind 14 s", cut)
	}
	add := func(file, name, list string) {
		d.ask(`(() => { const f = document.getElementById("add"), dt = new DataTransfer(); ` +
			`document.querySelector("details").open = true; f.elements.location.value = "` + file +
			`"; f.elements.angle.value = "tight";
			dt.items.add(new File([` + "`" + list + "`" + `], "` + name + `")); f.elements.list.files = dt.files; f.requestSubmit(); return ""; })()`)
	}
	add("https://film.example.invalid/third.mp4", "list.csv", "start_s,end_s,number\n1,2,4\n5,4,5\n")
	d.until(`document.getElementById("added").textContent.replace(/[(].*[)] /, "")`,
		"The film is added, but none of the clips. line 3, end_s: 4 is not after start_s and within a day")
	add("https://film.example.invalid/third.mp4", "list.vtt",
		"WEBVTT\n\n4\n00:01.000 --> 00:02.000\n\n5\n00:03.000 --> 00:04.000\n")
	d.until(`document.getElementById("added").textContent`,
		"The film is added. 2 clips are new, 0 changed, 0 were there. Reload the page to watch a film from a new address.")
	d.until(`document.getElementById("angle").textContent`, "Angle 1 of 3: end zone")
	d.shot("tagging-films")
}

// taggingOn: the next snap's situation is proposed from the last one's result; it
// is the analyst's only once something is tagged beside it.
func taggingOn(t *testing.T, d *desk) {
	d.ask(`(document.getElementById("analyst").value = "Ödön", document.getElementById("analyst").dispatchEvent(new ` +
		`Event("change")), "")`)
	d.press("3", kb.Enter, "6", kb.Enter, "30")
	d.focus("result")
	d.press("c", kb.Enter, "8", kb.PageDown)
	d.where("Snap 2: not tagged")
	// Third and 6 at the 30, a gain of 8: first and 10 at the 22 (the rules of the game, common to every rule book).
	situation := `["down","distance_yd","yards_to_goal"].map(n => document.getElementsByName(n)[0]).map(c => c.value + ` +
		`(c.classList.contains("proposed") ? "?" : "")).join(" ")`
	d.until(situation, "1? 10? 22?")
	d.shot("tagging-proposed")
	d.until(`document.activeElement.name`, "hash")
	d.press(kb.PageDown)
	d.where("Snap 3: not tagged")
	if p := d.play(2); p != nil {
		t.Errorf("a proposal nobody touched was stored: %v", p)
	}
	d.press(kb.PageUp)
	d.until(situation, "1? 10? 22?")
	d.focus("distance_yd")
	d.press("5")
	d.until(situation, "1? 5 22?")
	d.press(kb.PageDown)
	d.where("Snap 3")
	d.settled()
	if p := d.play(2); p["down"] != 1.0 || p["distance_yd"] != 5.0 || p["yards_to_goal"] != 22.0 {
		t.Errorf("stored %v; want the proposal with the distance that was typed", p)
	}
	resp, err := http.Get(d.api + "/plays/" + d.play(2)["id"].(string) + "/history")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if raw, _ := io.ReadAll(resp.Body); !strings.Contains(string(raw), "Ödön") {
		t.Errorf("the history does not say who tagged: %s", raw)
	}
}

// taggingOffered: the rows offer the five of the set, nobody twice, and a deep cross is drawn
// across the ball (common practice, no source).
func taggingOffered(t *testing.T, d *desk) {
	d.focus("set_name")
	d.press("2x2", kb.Enter)
	d.focus("concept")
	d.press("smash", kb.Enter, "r") // the usual routes of three of them
	men := `[0,1,2,3,4].map(i => document.getElementsByName("who" + i)[0].value).sort().join(" ")`
	d.until(men, "L1 L2 R1 R2 R3b")
	d.focus("route0")
	d.press(" ") // none of them
	d.focus("set_name")
	d.press("3x1", kb.Enter)
	d.until(men, "L1 R1 R2 R3 R4b")
	d.focus("route0")
	d.press("over", kb.Enter)
	crosses := `(r => r && r[0] * r[r.length - 1] < 0 ? "across" : "not across")(
		document.querySelector("#sketch .route")?.getAttribute("d").match(/(?<=[ML])-?[.0-9]+/g).map(Number))`
	d.until(crosses, "across")
}

// taggingRefused: what the API says stands at its field, and the snap stays.
func taggingRefused(t *testing.T, d *desk) {
	d.press("5", kb.Enter, "x", kb.Enter)
	d.focus("concept")
	d.press("smahs")
	d.focus("who1")
	d.press("Q9", kb.Enter, "hitch", kb.Enter, "x", kb.PageDown)
	d.where("Snap 1: not saved")
	d.until(`document.activeElement.name`, "down")
	for field, word := range map[string]string{"down": "4", "distance_yd": "integer", "who1": "one of",
		"depth1": "number"} {
		if said := d.ask(`document.getElementById("` + field + `-wrong").textContent`); !strings.Contains(said, word) {
			t.Errorf("at %s the page says %q, want %q in it", field, said, word)
		}
		if a := d.ask(`document.getElementsByName("` + field + `")[0].getAttribute("aria-invalid") || ""`); a != "true" {
			t.Errorf("%s is not marked as invalid", field)
		}
	}
	d.shot("tagging-refused")
	d.focus("down")
	d.press("2", kb.Enter, "8")
	d.focus("who1")
	d.press("L1", kb.Enter, kb.Enter, "6", kb.PageDown)
	d.where("Snap 1: not saved") // the word is checked by the store, behind the document
	d.until(`document.getElementById("concept-wrong").textContent.includes("smash") ? "yes" : `+
		`document.getElementById("concept-wrong").textContent`, "yes")
	d.until(`document.activeElement.name`, "concept")
	if d.play(1) != nil {
		t.Error("a refused snap is stored")
	}
	d.press("smash", kb.PageDown)
	d.where("Snap 2")
	d.settled()
	if p := d.play(1); p["concept"] != "smash" || p["down"] != 2.0 {
		t.Errorf("stored %v", p)
	}
}

// taggingFast: keys pressed while the API still answers belong to the next snap,
// and a refusal that comes too late takes nobody away from what he types.
func taggingFast(t *testing.T, d *desk) {
	d.ask(`(window.real = window.fetch, window.fetch = async (...a) => { await new Promise(r => setTimeout(r, 400)); ` +
		`return real(...a); }, "")`)
	d.press("1", kb.PageDown, "2", kb.Enter, "9", kb.PageDown, "5", kb.PageDown, "4")
	d.where("Snap 4")
	d.until(`[...document.querySelectorAll("#waiting button")].map(b => b.textContent).join(", ")`,
		"Snap 3 not saved, Snap 4 typed, not saved yet")
	d.where("Snap 4")
	d.press(kb.F10)
	d.where("Snap 3: not saved")
	d.until(`document.activeElement.name + " " + document.activeElement.value`, "down 5")
	d.press("3", kb.PageDown)
	d.where("Snap 4")
	d.press(kb.PageDown)
	d.settled()
	for n := 1; n <= 4; n++ {
		if p := d.play(n); p["down"] != float64(n) || p["version"] != 1.0 || n == 2 && p["distance_yd"] != 9.0 {
			t.Errorf("snap %d is stored as %v", n, p)
		}
	}
}

// replace changes a stored play as another analyst would.
func (d *desk) replace(number int, change map[string]any) {
	d.t.Helper()
	p := d.play(number)
	tag := fmt.Sprintf(`"%v"`, p["version"])
	id := p["id"].(string)
	for _, m := range []string{"id", "version", "updated_at", "opponent_id"} {
		delete(p, m)
	}
	for k, v := range change {
		p[k] = v
	}
	body, _ := json.Marshal(p)
	req, _ := http.NewRequest("PUT", d.api+"/plays/"+id, strings.NewReader(string(body)))
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("If-Match", tag)
	resp, err := http.DefaultClient.Do(req)
	if err != nil || resp.StatusCode != 200 {
		d.t.Fatalf("the other analyst: %v %v", resp, err)
	}
	resp.Body.Close()
}

// taggingStale: another analyst was faster; both are shown, the choice is
// the analyst's, and what only one of them changed is kept from either.
func taggingStale(t *testing.T, d *desk) {
	send(t, 201, d.api+"/plays", "application/json", `{"game_id":"`+d.game+
		`","number":1,"status":"counted","down":1,"distance_yd":10,"throw_s":2.5}`)
	d.open("/programs/demo/games/" + d.game + "/tag?again#1")
	d.where("Snap 1: saved")
	d.focus("down")
	d.press("2", kb.Enter, "6")
	d.focus("gain_yd")
	d.press("4")
	d.replace(1, map[string]any{"down": 3, "hash": "right"})
	d.press(kb.PageDown)
	d.until(`document.getElementById("choose").open`, "true")
	d.shot("tagging-stale")
	got := d.ask(`[...document.querySelectorAll("#choose tbody tr")].map(r => [...r.children].map(c => ` +
		`c.textContent.trim() + (c.querySelector("input:checked") ? " *" : "")).join("/")).join("; ")`)
	for _, want := range []string{"Down/1/2/3", "Distance/10/6 */10", "Hash/not tagged/not tagged/right *",
		"Gain/not tagged/4 */not tagged"} {
		if !strings.Contains("; "+got+";", "; "+want+";") {
			t.Errorf("the choice shows %q, want %q", got, want)
		}
	}
	d.press(kb.Enter) // without a choice of the down: the browser asks for it
	d.until(`document.getElementById("choose").open`, "true")
	d.press(" ", kb.Enter) // mine
	d.where("Snap 1: saved")
	p := d.play(1)
	if p["down"] != 2.0 || p["distance_yd"] != 6.0 || p["hash"] != "right" || p["gain_yd"] != 4.0 || p["throw_s"] != 2.5 ||
		p["version"] != 3.0 {
		t.Errorf("stored %v; want my down, distance and gain, their hash, and what the form does not show", p)
	}
	// The same snap made first by another: no second one, and the choice again.
	d.press(kb.PageDown)
	d.where("Snap 2: not tagged")
	d.press("1")
	send(t, 201, d.api+"/plays", "application/json", `{"game_id":"`+d.game+`","number":2,"status":"counted","down":4}`)
	d.press(kb.PageDown)
	d.until(`document.getElementById("choose").open`, "true")
	d.press(kb.Escape)
	d.where("Snap 2: was changed by somebody else too")
	d.press(kb.PageDown)
	d.until(`document.getElementById("choose").open`, "true")
	d.ask(`(document.querySelector("[data-all=theirs]").click(), document.querySelector("#choose ` +
		`button[value=store]").click(), "")`)
	d.where("Snap 2: saved")
	if p := d.play(2); p["down"] != 4.0 || p["version"] != 1.0 {
		t.Errorf("theirs was chosen, stored is %v", p)
	}
}

// taggingAway: the server is killed; the analyst tags on, closes the page,
// and everything is stored exactly once when the server is back.
func taggingAway(t *testing.T, d *desk) {
	// A session that ended holds nothing up; what a reader may not do is said.
	answer := func(status string) {
		d.ask(`(window.real = window.real || window.fetch, window.fetch = async () => new Response('{"detail":"that is ` +
			`for an analyst"}', {status: ` + status + `}), "")`)
	}
	answer("403")
	d.press("1", kb.PageDown)
	d.where("Snap 1: not saved")
	d.until(`document.getElementById("general").textContent`, "snap 1: that is for an analyst")
	answer("401")
	d.press(kb.PageDown)
	d.where("Snap 2")
	d.until(`document.getElementById("session").textContent.includes("sign in again") ? "yes" : ""`, "yes")
	d.ask(`(window.fetch = window.real, "")`)
	d.until(`[...document.querySelectorAll("#waiting button")].length`, "0") // sent again by itself
	d.until(`document.getElementById("session").textContent`, "")
	d.p.cmd.Process.Kill()
	d.p.cmd.Wait()
	d.press("2", kb.PageDown)
	d.where("Snap 3")
	d.press("3", kb.PageDown)
	d.where("Snap 4")
	d.until(`[...document.querySelectorAll("#waiting button")].map(b => b.textContent).join(", ")`,
		"Snap 2 waiting to send, Snap 3 waiting to send")
	d.shot("tagging-away")
	d.press("4") // typed, and then the page is closed
	if err := chromedp.Do(d.ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	d.p = start(t, d.env, "-no-login", "-listen", strings.TrimPrefix(d.p.url, "http://"), "-films", "demo="+d.dir)
	d.open("/programs/demo/games/" + d.game + "/tag#4")
	d.where("Snap 4: typed, not saved yet")
	d.until(`document.getElementById("down").value`, "4")
	d.until(`[...document.querySelectorAll("#waiting button")].map(b => b.textContent).join(", ")`,
		"Snap 4 typed, not saved yet")
	d.press(kb.PageDown)
	d.where("Snap 5")
	d.settled()
	for n := 1; n <= 4; n++ {
		if p := d.play(n); p == nil || p["down"] != float64(n) || p["version"] != 1.0 {
			t.Errorf("snap %d is stored as %v", n, p)
		}
	}
	if left := d.ask(`String(Object.keys(localStorage).filter(k => k.includes("` + d.game + `")).length)`); left != "0" {
		t.Errorf("%s drafts are left in the browser", left)
	}
}

// taggingReadable: names for every control in the browser's accessibility
// tree, contrast (WCAG 2.1, 1.4.3), a visible focus (2.4.7), no script but ours
// under the policy, and a page that fits a laptop's window.
func taggingReadable(t *testing.T, d *desk) {
	tree, err := chromedp.Call(d.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		t.Fatal(err)
	}
	controls := 0
	for _, n := range tree.Nodes {
		role := ""
		if n.Role != nil {
			json.Unmarshal(n.Role.Value, &role)
		}
		if n.Ignored || !strings.Contains(" textbox combobox checkbox button radio ", " "+role+" ") {
			continue
		}
		controls++
		name := ""
		if n.Name != nil {
			json.Unmarshal(n.Name.Value, &name)
		}
		if strings.TrimSpace(name) == "" {
			t.Errorf("a %s without a name (WCAG 2.1, 4.1.2)", role)
		}
	}
	if controls < 60 {
		t.Errorf("%d controls in the accessibility tree", controls)
	}
	contrast(t, d)
	d.press(kb.Tab)
	if o := d.ask(`getComputedStyle(document.activeElement).outlineStyle + " " + ` +
		`getComputedStyle(document.activeElement).outlineWidth`); o != "solid 3px" {
		t.Errorf("the focus is shown by an outline %s", o)
	}
	if wide := d.ask(`String(document.documentElement.scrollWidth - document.documentElement.clientWidth) + " " + ` +
		`(document.getElementById("form").getBoundingClientRect().bottom <= innerHeight ? "fits" : ` +
		`document.getElementById("form").getBoundingClientRect().bottom)`); wide != "0 fits" {
		t.Errorf("1366 x 768: the page is wider by %s (the form's lower edge in px, when it does not fit)", wide)
	}
	d.open("/programs/demo/games/" + d.game)
	contrast(t, d)
	d.shot("snaps")
	d.open("/programs/demo/games/" + listed(t, d.api+"/games")[0]["id"].(string) + "?down=3")
	contrast(t, d)
	d.shot("snaps-demo")
	d.open("/programs/demo/games")
	contrast(t, d)
	d.open("/programs/demo/games/" + d.game + "/tag")
	d.ask(`(window.broken = [], document.addEventListener("securitypolicyviolation", e => ` +
		`broken.push(e.violatedDirective)), "")`)
	// The policy lets nothing else run.
	d.ask(`new Promise(r => { const s = document.createElement("script"); s.textContent = "window.ran = true"; ` +
		`document.body.append(s); const i = document.createElement("img"); i.src = "http://127.0.0.1:9/x.png"; ` +
		`document.body.append(i); setTimeout(() => r(""), 300); })`)
	if got := d.ask(`String(window.ran) + " " + broken.join(" ")`); got != "undefined script-src-elem img-src" {
		t.Errorf("an inline script and a foreign image: %s", got)
	}
}

func contrast(t *testing.T, d *desk) {
	t.Helper()
	low := d.ask(`(() => {
		const lum = s => { const v = s.match(/[\d.]+/g).slice(0, 3).map(x => { x /= 255; return x <= 0.03928 ? x / 12.92 : Math.pow((x + 0.055) / 1.055, 2.4); }); return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2]; };
		const back = e => { for (; e; e = e.parentElement) { const b = getComputedStyle(e).backgroundColor; if (!/, 0\)$/.test(b)) return b; } return "rgb(255, 255, 255)"; };
		const ratio = (a, b) => (Math.max(lum(a), lum(b)) + 0.05) / (Math.min(lum(a), lum(b)) + 0.05);
		const out = [];
		for (const e of document.querySelectorAll("h1, p, label, legend, th, input, select, button, kbd, a, li")) {
			const r = ratio(getComputedStyle(e).color, back(e));
			if (r < 7) out.push([e.tagName, e.id, e.className, e.textContent.slice(0, 20).trim(), r.toFixed(2)].join(" "));
			if (e.placeholder && ratio(getComputedStyle(e, "::placeholder").color, back(e)) < 4.5) out.push("placeholder of " + e.name);
			if (/INPUT|SELECT/.test(e.tagName) && ratio(getComputedStyle(e).borderTopColor, back(e.parentElement)) < 3) out.push("edge of " + e.name);
		}
		return out.join("; ");
	})()`)
	if low != "" {
		t.Errorf("contrast below 7 to 1 for text (WCAG 2.1, 1.4.6), 4.5 for hints (1.4.3) or 3 for edges (1.4.11): %s", low)
	}
}
