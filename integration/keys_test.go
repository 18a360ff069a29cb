package integration

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// keys presses what a snap takes and counts it; a number that goes on by itself, a
// letter and an Enter are one key each.
func (d *desk) keys(pressed ...string) int {
	d.t.Helper()
	d.press(pressed...)
	return utf8.RuneCountInString(strings.Join(pressed, ""))
}

// What an analyst may be asked for: keys for a pass with three routes, and for a run.
const mostForPass, mostForRun = 25, 12

// taggingCounted tags ten plays beside the clip, every tag of a whole snap among
// them, and counts the keys of each.
func taggingCounted(t *testing.T, d *desk) {
	d.ask(`(document.getElementById("quarter").value = "1", document.getElementById("quarter").dispatchEvent(new ` +
		`Event("input", {bubbles: true})), "")`)
	d.until(`document.activeElement.name`, "down")
	// The first snap says where the game begins; after it the situation is proposed.
	d.press("1", "10", kb.Enter, "-25", kb.Enter, "m", "11", "3x1", kb.Enter, "d", "flood", kb.Enter, "r")
	d.until(`document.activeElement.name`, "route0")
	d.press(kb.Enter, " ", "12", "3", "t", "2", "c", "5", kb.Enter, "t", "cover 3", kb.Enter, kb.PageDown)
	d.where("Snap 2")
	d.settled()
	pass := func(n int, concept, gain string) int {
		d.until(`document.activeElement.name + document.getElementById("down").classList.contains("proposed")`, "hashtrue")
		k := d.keys("l", "11", "3", kb.Enter, "d", concept, kb.Enter, "l")
		d.until(`document.activeElement.name + document.activeElement.classList.contains("proposed")`, "route0true")
		return k + d.keys(kb.Enter, " ", "12", "3", "t", "2", "c", gain, kb.Enter, "t", "c", kb.Enter, kb.PageDown)
	}
	for n := 2; n <= 5; n++ {
		k := pass(n, "fl", "5")
		d.where("Snap " + string(rune('1'+n)))
		d.settled()
		t.Logf("snap %d, a pass with three routes, two depths, target and coverage seen: %d keys", n, k)
		if k > mostForPass {
			t.Errorf("snap %d took %d keys, at most %d", n, k, mostForPass)
		}
		p := d.play(n)
		for field, want := range map[string]any{"hash": "left", "personnel": "11", "set_name": "3x1", "family": "dropback",
			"called": "pass", "concept": "flood", "play_side": "left", "result": "complete", "gain_yd": 5.0, "shell": "two_high",
			"coverage": "cover 3"} {
			if p[field] != want {
				t.Errorf("snap %d: %s is stored as %v, typed was %v", n, field, p[field], want)
			}
		}
		if rs := p["routes"].([]any); len(rs) < 3 || rs[1].(map[string]any)["break_depth_yd"] != 12.0 ||
			rs[2].(map[string]any)["break_depth_yd"] != 3.0 || rs[0].(map[string]any)["side"] != "left" ||
			rs[1].(map[string]any)["targeted"] != true {
			t.Errorf("snap %d: routes %v", n, rs)
		}
	}
	d.shot("tagging-counted")
	for n := 6; n <= 10; n++ {
		d.until(`document.activeElement.name`, "hash")
		k := d.keys("r", "11", "3", kb.Enter, "r")
		// nothing asks for routes
		d.until(`document.activeElement.name + " " + document.querySelector(".routes").hidden`, "concept true")
		word := "in"
		if n == 6 {
			word = "inside zone" // the first of this game: its letters have to tell it from every other word
		}
		k += d.keys(word, kb.Enter, "l", "4", kb.PageDown)
		d.where("Snap ")
		d.settled()
		t.Logf("snap %d, a run: %d keys", n, k)
		if k > mostForRun && n > 6 {
			t.Errorf("snap %d took %d keys, at most %d", n, k, mostForRun)
		}
		if p := d.play(n); p["called"] != "run" || p["result"] != "rush" || p["gain_yd"] != 4.0 || p["concept"] == nil ||
			p["play_side"] != "left" || len(p["routes"].([]any)) != 0 {
			t.Errorf("snap %d, a run, is stored as %v", n, p)
		}
	}
	d.until(`document.activeElement.name`, "hash")
	d.press("r", "11", "3", kb.Enter, "r", "p", "o")
	d.until(`["family", "called", "concept"].map(n => document.getElementById(n).value).join()`, "rpo,,")
	d.press("w") // a run after all: power
	d.until(`["family", "called", "concept"].map(n => document.getElementById(n).value).join()`, "run,run,pow")
	d.press("er", kb.Enter, "l", "4", kb.PageDown)
	d.where("Snap ")
	d.settled()
	filmKeys(t, d)
}

// filmKeys: loop, half speed and single frames of the clip.
func filmKeys(t *testing.T, d *desk) {
	d.press(kb.F9, "1", kb.Enter)
	d.where("Snap 1")
	d.press(kb.F6)
	d.until(`document.getElementById("video").playbackRate`, "0.5")
	shifted := func(key string) {
		if err := chromedp.Do(d.ctx, chromedp.KeyEvent(key, chromedp.KeyModifiers(chromedp.ModifierShift))); err != nil {
			t.Fatal(err)
		}
	}
	shifted(kb.F8)
	d.until(`document.getElementById("video").paused`, "true")
	at := d.ask(`String(document.getElementById("video").currentTime)`)
	shifted(kb.F8)
	d.until(`(v => v.currentTime > `+at+` && v.currentTime < `+at+` + 0.1)(document.getElementById("video"))`, "true")
	d.press(kb.F6)
	shifted(kb.F3)
	d.until(`(v => !v.paused && v.currentTime > 2)(document.getElementById("video"))`, "true")
	d.until(`(v => !v.paused && v.currentTime < 1.5)(document.getElementById("video"))`, "true") // around again
	shifted(kb.F3)
	d.until(`document.getElementById("pace").textContent.endsWith(" plays an hour")`, "true")
}

// taggingNewWord: a word nobody knows is said to be unknown where it is typed, and
// one key adds it.
func taggingNewWord(t *testing.T, d *desk) {
	d.press("1", "10", kb.Enter)
	d.focus("concept")
	d.press("zebra", kb.Enter)
	d.until(`document.activeElement.name + " " + document.getElementById("hint").textContent.includes("not one of your `+
		`words")`, "concept true")
	if err := chromedp.Do(d.ctx, chromedp.KeyEvent(kb.Enter, chromedp.KeyModifiers(chromedp.ModifierCtrl))); err != nil {
		t.Fatal(err)
	}
	d.until(`document.activeElement.name`, "play_side")
	d.press(kb.PageDown)
	d.where("Snap 2")
	d.settled()
	if p := d.play(1); p["concept"] != "zebra" {
		t.Errorf("stored %v", p)
	}
}
