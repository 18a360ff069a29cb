package integration

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A fieldPage is the field of a cell in a browser.
type fieldPage struct {
	t   *testing.T
	ctx context.Context
	ask func(js string) string
}

func (f *fieldPage) do(steps ...chromedp.Action[chromedp.Void]) {
	f.t.Helper()
	if err := chromedp.Do(f.ctx, steps...); err != nil {
		f.t.Fatal(err)
	}
}

// at is where a mark stands in the window.
func (f *fieldPage) at(key string) (x, y float64) {
	f.t.Helper()
	raw := f.ask(`(() => { const r = document.querySelector('[data-key="` + key + `"]').getBoundingClientRect();
		return JSON.stringify([r.x + r.width / 2, r.y + r.height / 2]); })()`)
	var p [2]float64
	if err := json.Unmarshal([]byte(raw), &p); err != nil {
		f.t.Fatal(err)
	}
	return p[0], p[1]
}

// drag moves what is held from a mark by so many pixels, as a hand does: a step a frame.
func (f *fieldPage) drag(key string, dx, dy float64, steps int) {
	f.t.Helper()
	x, y := f.at(key)
	f.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, x, y, chromedp.ButtonLeft))
	for i := 1; i <= steps; i++ {
		part := float64(i) / float64(steps)
		f.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x+dx*part, y+dy*part, chromedp.ButtonLeft))
		time.Sleep(16 * time.Millisecond)
	}
	f.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, x+dx, y+dy, chromedp.ButtonLeft))
	f.settle()
}

// settle waits until the last question was answered.
func (f *fieldPage) settle() {
	f.t.Helper()
	f.ask(`new Promise(done => { let seen = "", same = 0; const look = () => {
		const now = document.getElementById("onfield").dataset.dragMs + document.getElementById("onfield").dataset.stripMs;
		same = now === seen ? same + 1 : 0; seen = now; same > 8 ? done("still") : setTimeout(look, 60); }; look(); })`)
}

func (f *fieldPage) text(id string) string {
	f.t.Helper()
	return f.ask(`document.getElementById("` + id + `").textContent`)
}

// times are what a page noted, in ms.
func (f *fieldPage) times(name string) (out []float64) {
	f.t.Helper()
	if err := json.Unmarshal([]byte(f.ask(`document.getElementById("onfield").dataset.`+name)), &out); err != nil {
		f.t.Fatal(err)
	}
	slices.Sort(out)
	return out
}

// apart: no defender's symbol hides another's, though hole and linebacker stand half a yard apart.
func (f *fieldPage) apart(least float64) {
	f.t.Helper()
	var at [][2]float64
	if err := json.Unmarshal([]byte(f.ask(`JSON.stringify([...document.querySelectorAll(".playing .man:not(.rusher)")]
		.map(e => { const r = e.querySelector("path").getBoundingClientRect(); return [r.x + r.width / 2, r.y]; }))`)),
		&at); err != nil || len(at) < 6 {
		f.t.Fatal(at, err)
	}
	for j := range at {
		for i := range j {
			if d := math.Hypot(at[i][0]-at[j][0], at[i][1]-at[j][1]); d < least {
				f.t.Errorf("two defenders' symbols are %.1f pixels apart, want %.1f", d, least)
			}
		}
	}
}

// TestField takes a coordinator from the board to a saved call: a cell is opened, the
// overhang dragged two yards wider by mouse and by thumb, a break moved by keys, the
// slider run, a fix tried, saved as a new call and as a new version; what the page says is
// what the API says. It prints how long the number took to follow.
func TestField(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	f := &fieldPage{t, ctx, ask}
	f.do(chromedp.EmulateViewport(1366, 900), chromedp.Navigate(p.url+"/programs/demo/opponents/alder/board"),
		chromedp.Click(`a[href*="call=cover+1&concept=snag"]`), chromedp.WaitVisible("#onfield[data-ready]"))
	before, said := f.text("gives"), f.text("say")
	yard, _ := f.at("man-strong overhang")
	corner, _ := f.at("man-strong corner")
	yard = (corner - yard) / 5 // they stand five yards apart
	f.apart(1.6 * math.Abs(yard))
	f.drag("man-strong overhang", 4*yard, 0, 40)
	if f.text("say") == said {
		t.Errorf("dragged four yards: still %s, %s", f.text("gives"), f.text("say"))
	}
	if moved := f.text("moved"); !strings.Contains(moved, "3 yd outside #2, 6 deep") {
		t.Errorf("it says %q", moved)
	}
	want := tried(t, p, func(body map[string]any) {
		man := body["defenders"].([]any)[1].(map[string]any)["align"].([]any)[3].(map[string]any)
		man["offset_yd"] = 3.0
	}, "")
	if got := f.text("gives"); got != points(want) {
		t.Errorf("the page says %s, the API %s", got, points(want))
	}
	f.drag("man-strong overhang", -4*yard, 0, 40)
	if got := f.text("gives"); got != before {
		t.Errorf("dragged back: %s, before %s", got, before)
	}
	f.drag("man-free safety", -5*yard, 3*yard, 40)
	f.drag("break-P2", 0, 6*yard, 40)
	f.ask(`document.querySelector('[data-key="break-P2"]').focus(); "there"`)
	for range 3 {
		f.do(chromedp.KeyEvent(kb.ArrowDown))
		f.settle()
	}
	f.touch("man-strong corner", -3*yard, 0)
	if moved := f.text("moved"); !strings.Contains(moved, "strong corner: ") || !strings.Contains(moved, "both sides") {
		t.Errorf("a corner by thumb: %q", moved)
	}
	drags, strips := f.times("dragMs"), f.times("stripMs")
	for name, ms := range map[string][]float64{"drag to number": drags, "strip of all concepts": strips} {
		t.Logf("%s: n %d, median %.0f ms, p95 %.0f ms, worst %.0f ms", name, len(ms), at(ms, .5), at(ms, .95), at(ms, 1))
	}
	keep(t, ctx, "field-dragged")
	f.ask(`document.getElementById("reset").click(); "back"`)
	f.settle()
	if got := f.text("gives"); got != before {
		t.Errorf("put back: %s, before %s", got, before)
	}

	// The slider runs everybody; the throw's window is shaded.
	f.ask(`(() => { const e = document.getElementById("at"); e.value = 2.4;
		e.dispatchEvent(new Event("input")); return "moved"; })()`)
	if f.text("time") != "2.4 s" || f.ask(`String(document.getElementById("window").hidden)`) != "false" {
		t.Error("the slider does not run the play, or shades no window")
	}
	f.ask(`document.getElementById("slow").click(); document.getElementById("play").click(); "playing"`)
	f.ask(`new Promise(done => setTimeout(() => done("later"), 400))`)
	if f.text("time") == "2.4 s" || f.text("play") != "Pause" {
		t.Error("nobody moves while it plays")
	}
	f.ask(`document.getElementById("play").click(); "paused"`)

	f.meeting()

	// A fix is tried on the field and saved.
	f.ask(`document.querySelector(".fixes .try").click(); "tried"`)
	f.do(chromedp.WaitVisible("#keep"))
	f.settle()
	if n := f.ask(`String(document.querySelectorAll(".playing .ghost").length)`); n == "0" && f.text("gives") == before {
		t.Error("a fix that was tried changes nothing on the field")
	}
	keep(t, ctx, "field-fix")
	f.ask(`document.getElementById("name").value = "cover 1 ours"; document.getElementById("fresh").click(); "saving"`)
	f.do(chromedp.WaitVisible(`#onfield[data-call="cover 1 ours"][data-ready]`))
	f.drag("man-strong overhang", 1*yard, 0, 5)
	f.ask(`document.getElementById("version").click(); "saving"`)
	f.do(chromedp.WaitVisible("#saved"))
	if got := f.text("saved"); got != "Saved: version 2 of cover 1 ours." {
		t.Errorf("saving a version: %q", got)
	}
	_, _, raw := p.get(t, "/v1/programs/demo/calls?name=cover+1+ours")
	var calls struct{ Items []struct{ Version int } }
	if err := json.Unmarshal([]byte(raw), &calls); err != nil || len(calls.Items) != 1 || calls.Items[0].Version != 2 {
		t.Errorf("stored: %.200s (%v)", raw, err)
	}
	f.do(chromedp.Navigate(p.url+"/programs/demo/opponents/alder/board"),
		chromedp.WaitVisible(`a[href*="call=cover+1+ours"]`))
}

// meeting steps through the meeting view by keys, and draws over it.
func (f *fieldPage) meeting() {
	f.t.Helper()
	f.ask(`document.getElementById("meet").click(); "in"`)
	f.do(chromedp.WaitVisible("#stepped"))
	for _, want := range []struct {
		step   string
		routes bool
	}{{"Alignment", false}, {"Reads", false}, {"Breaks", true}, {"Throw", true}} {
		if got := f.text("stepped"); got != want.step {
			f.t.Errorf("the meeting view is at %q, want %q", got, want.step)
		}
		if has := f.ask(`String(document.querySelectorAll(".playing .route").length > 0)`); has != fmt.Sprint(want.routes) {
			f.t.Errorf("%s: routes drawn: %s", want.step, has)
		}
		keep(f.t, f.ctx, "meeting-"+want.step)
		f.do(chromedp.KeyEvent(kb.ArrowRight))
	}
	f.do(chromedp.KeyEvent("d"))
	f.drag("man-free safety", 60, 40, 10)
	if n := f.ask(`String(document.querySelectorAll(".strokes polyline").length)`); n != "1" {
		f.t.Errorf("%s strokes over the field, want 1", n)
	}
	f.do(chromedp.KeyEvent(kb.Escape))
	if f.ask(`String(document.getElementById("onfield").classList.contains("meeting"))`) != "false" {
		f.t.Error("Escape does not leave the meeting view")
	}
}

// touch drags with a thumb.
func (f *fieldPage) touch(key string, dx, dy float64) {
	f.t.Helper()
	x, y := f.at(key)
	send := func(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
		f.t.Helper()
		if points == nil {
			points = []*input.TouchPoint{}
		}
		event := input.DispatchTouchEventParams{Type: kind, TouchPoints: points}
		if _, err := chromedp.Call(f.ctx, input.DispatchTouchEvent, event); err != nil {
			f.t.Fatal(err)
		}
	}
	send(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
	for i := 1; i <= 20; i++ {
		part := float64(i) / 20
		send(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: x + dx*part, Y: y + dy*part})
		time.Sleep(16 * time.Millisecond)
	}
	send(input.DispatchTouchEventTypeTouchEnd)
	f.settle()
}

// at is the value below which a part of sorted times lies.
func at(sorted []float64, part float64) float64 {
	if len(sorted) == 0 {
		return 0
	}
	return sorted[min(len(sorted)-1, int(part*float64(len(sorted))))]
}

// tried is what the API says cover 1 gives up on the field's cell when it is changed.
func tried(t *testing.T, p *process, change func(body map[string]any), picture string) float64 {
	t.Helper()
	_, _, raw := p.get(t, "/v1/programs/demo/calls?name=cover+1")
	var calls struct {
		Items []struct {
			Body map[string]any `json:"body"`
		}
	}
	if err := json.Unmarshal([]byte(raw), &calls); err != nil {
		t.Fatal(err)
	}
	change(calls.Items[0].Body)
	q := map[string]any{"call": calls.Items[0].Body, "concept": "snag", "set_name": "3x1", "family": "dropback"}
	if picture != "" {
		q["picture"] = picture
	}
	body, _ := json.Marshal(q)
	answer := send(t, 200, p.url+"/v1/programs/demo/opponents/alder/try", "application/json", string(body))
	return answer["play"].(map[string]any)["gives_up_points"].(float64)
}

// points are points a snap as pages write them.
func points(x float64) string {
	if math.Abs(x) < 0.005 {
		return "0.00"
	}
	s := fmt.Sprintf("%+.2f", x)
	return strings.Replace(s, "-", "\u2212", 1)
}
