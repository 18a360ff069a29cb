package httpapi_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
)

// listed is the settings' own list of names, which the scripts of a page read.
var listed = regexp.MustCompile(`data-names="[^"]*"`)

// TestPositionNames: a staff's words are set once and said wherever a defender is named;
// questions understand both words.
func TestPositionNames(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	c.smashes()
	says := func(words string, paths ...string) {
		t.Helper()
		for _, p := range paths {
			_, raw := c.do("GET", ours+"/opponents/o1"+p, "")
			raw = listed.ReplaceAllString(raw, "")
			for _, w := range strings.Split(words, ",") {
				if not, bare := strings.CutPrefix(w, "!"); bare == strings.Contains(raw, not) {
					t.Errorf("%s: %q, and it says %.300s", p, w, raw[max(0, strings.Index(raw, not)-150):])
				}
			}
		}
	}
	where := []string{"/stress", "/sheets/position?call=cover+2+spot", "/sheets/quiz?call=cover+2+spot",
		"/sheets/position?call=cover+2+spot&format=html"}
	says("strong corner,!Rocket", where[0], where[3])
	was := c.must(200, "GET", ours, "")
	body := strings.Replace(programBody(was), `"settings":{`, `"settings":{"position_names":[`+
		`{"position":"strong corner","name":"Rocket"},{"position":"Weak Corner","name":"Comet"}],`+
		`"time_zone":"America/Chicago",`, 1)
	c.must(200, "PUT", ours, body, "If-Match", was["etag"].(string))
	says("Rocket,!strong corner", where...)
	for _, who := range []string{"corner", "Rocket", "strong+corner", "Rocket+%2F+Comet"} {
		got := c.must(200, "GET", ours+"/opponents/o1/sheets/position?call=cover+2+spot&defender="+who, "")
		if ps := got["positions"].([]any); len(ps) != 1 || ps[0].(map[string]any)["defender"] != "Rocket / Comet" {
			t.Errorf("%s: %v", who, ps)
		}
	}
	says("Rocket,!strong corner", "/answers?call=cover+2+spot&concept=smash")
	now := c.must(200, "GET", ours, "")
	for _, bad := range [][2]string{{`{"position":"strong corner","name":"x"},{"position":"Strong corner","name":"y"}`,
		"position_names[1].position"}, {`{"position":" hole","name":"x"}`, "position_names[0].name"}} {
		twice := strings.Replace(programBody(was), `"settings":{`, `"settings":{"position_names":[`+bad[0]+`],`, 1)
		if _, raw := c.do("PUT", ours, twice, "If-Match", now["etag"].(string)); !strings.Contains(raw, bad[1]) {
			t.Errorf("%s: %s", bad[0], raw)
		}
	}
	nowhere := strings.Replace(programBody(was), `"settings":{`, `"settings":{"time_zone":"Mars/Olympus",`, 1)
	if _, raw := c.do("PUT", ours, nowhere, "If-Match", now["etag"].(string)); !strings.Contains(raw, "time_zone") {
		t.Errorf("no such zone: %s", raw)
	}
}

// TestOwnNames: a call, its check and a concept are named by the staff once, and the board, the
// sheets, the packet and the quiz say them; the names of the book are said no more.
func TestOwnNames(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	c.smashes()
	for _, x := range c.must(200, "GET", ours+"/calls?limit=100", "")["items"].([]any) {
		call := x.(map[string]any)
		if call["name"] != "palms" {
			continue
		}
		body := call["body"].(map[string]any)
		body["name"] = "clamp"
		body["checks"].([]any)[0].(map[string]any)["name"] = "lonesome"
		c.must(200, "PUT", ours+"/calls/"+call["id"].(string), `{"name":"clamp","active":true,"body":`+mustJSON(body)+`}`,
			"If-Match", fmt.Sprintf("%q", fmt.Sprint(call["version"])))
	}
	c.must(201, "POST", ours+"/words", `{"field":"concept","word":"sunday"}`)
	c.must(201, "POST", ours+"/merges", `{"field":"concept","word":"smash","into":"sunday"}`)
	for path, words := range map[string][]string{"/stress": {"clamp", "sunday"}, "/sheets/call?format=csv": {"sunday"},
		"/sheets/position?call=clamp": {"clamp", "sunday", "lonesome"}, "/sheets/quiz?call=clamp": {"clamp", "sunday"},
		"/sheets/scout": {"sunday"}, "/sheets/practice": {"sunday"}, "/reports/stress?format=html": {"clamp", "sunday"}} {
		_, raw := c.do("GET", ours+"/opponents/o1"+path, "")
		for _, w := range words {
			if !strings.Contains(raw, w) {
				t.Errorf("%s does not say %q: %.300s", path, w, raw)
			}
		}
		for _, w := range []string{"palms", `"smash"`, "smash,"} {
			if strings.Contains(raw, w) {
				t.Errorf("%s still says %q", path, w)
			}
		}
	}
}

// TestOurMen: who is slower is said once, by the staff's word, for the season or for one
// opponent; the board of that opponent says which numbers it changed, and what the page shows
// is what the board has.
func TestOurMen(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	c.smashes()
	changed := func() (n int) {
		for _, row := range c.must(200, "GET", ours+"/opponents/o1/stress", "")["calls"].([]any) {
			for _, x := range row.(map[string]any)["cells"].([]any) {
				cell := x.(map[string]any)
				if even, ok := cell["even_points"]; ok {
					n++
					if even == cell["gives_up_points"] {
						t.Errorf("%v: even men give up as much", cell["call"])
					}
				}
			}
		}
		return n
	}
	put := func(settings string) {
		t.Helper()
		was := c.must(200, "GET", ours, "")
		delete(was["settings"].(map[string]any), "our_men")
		delete(was["settings"].(map[string]any), "position_names")
		body := strings.Replace(programBody(was), `"settings":{`, `"settings":{`+settings, 1)
		c.must(200, "PUT", ours, body, "If-Match", was["etag"].(string))
	}
	if n := changed(); n != 0 {
		t.Errorf("%d cells changed by men who are even", n)
	}
	names := `"position_names":[{"position":"strong corner","name":"Rocket"}],`
	put(names + `"our_men":[{"name":"Rocket","pace":"slower"}],`)
	n := changed()
	if n == 0 {
		t.Error("a slower corner changes no cell of a smash")
	}
	_, page := c.do("GET", "/programs/ours/opponents/o1/board", "")
	if got := strings.Count(page, "with even men\">"); got != n {
		t.Errorf("the page marks %d cells, the board has %d", got, n)
	}
	_, page = c.do("GET", "/programs/ours/settings", "")
	if !strings.Contains(page, `name="settings.our_men.0.name" aria-label="Defender 1 who is not even" value="Rocket"`) {
		t.Error("the settings page does not show who is slower")
	}
	put(names + `"our_men":[{"name":"Rocket","pace":"slower"},{"name":"Rocket","pace":"quicker","opponent":"o1"}],`)
	if changed() == 0 {
		t.Error("what is said for one opponent is not heard")
	}
	was := c.must(200, "GET", ours, "")
	for _, bad := range []string{`{"name":"x","pace":"slower"},{"name":"X","pace":"quicker"}`,
		`{"name":"x","pace":"fast"}`,
		`{"name":"x","pace":"slower","opponent":"o1"},{"name":"x","pace":"slower","opponent":"o9"}`} {
		delete(was["settings"].(map[string]any), "our_men")
		body := strings.Replace(programBody(was), `"settings":{`, `"settings":{"our_men":[`+bad+`],`, 1)
		if r, raw := c.do("PUT", ours, body, "If-Match", was["etag"].(string)); r.StatusCode < 400 ||
			!strings.Contains(raw, "our_men") {
			t.Errorf("%s: %d %s", bad, r.StatusCode, raw)
		} else if strings.Contains(bad, "o9") && !strings.Contains(raw, "settings.our_men[1].opponent") &&
			!strings.Contains(raw, "settings.our_men.1.opponent") {
			t.Errorf("an unknown opponent is refused without its field: %s", raw)
		}
	}
}
