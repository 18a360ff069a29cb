package httpapi_test

import (
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
