package integration

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// send posts to the API and returns the answer's members.
func send(t *testing.T, status int, url, kind, body string) map[string]any {
	t.Helper()
	resp, err := http.Post(url, kind, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	raw, _ := io.ReadAll(resp.Body)
	if resp.StatusCode != status {
		t.Fatalf("POST %s: %d, want %d: %s", url, resp.StatusCode, status, raw)
	}
	out := map[string]any{}
	json.Unmarshal(raw, &out)
	return out
}

// listed returns the first page of a list.
func listed(t *testing.T, url string) []map[string]any {
	t.Helper()
	resp, err := http.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	var page struct{ Items []map[string]any }
	if err := json.NewDecoder(resp.Body).Decode(&page); err != nil {
		t.Fatalf("GET %s: %v", url, err)
	}
	return page.Items
}

// recording puts the invented test film (twenty seconds of a test pattern, VP8)
// into a folder, and returns the folder and the film's length in seconds.
func recording(t *testing.T) (dir string, length float64) {
	t.Helper()
	dir = folder(t)
	film, err := os.ReadFile("testdata/invented.webm")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "invented.webm"), film, 0o644); err != nil {
		t.Fatal(err)
	}
	return dir, 20
}

const cuesOf = `(async url => {
	const v = document.createElement("video"), t = document.createElement("track");
	t.kind = "metadata"; t.src = url; v.append(t); document.body.append(v); t.track.mode = "hidden";
	await new Promise((done, fail) => { t.onload = done; t.onerror = () => fail("the track was not loaded"); });
	return JSON.stringify([...t.track.cues].map(c => ({id: c.id, from: c.startTime, to: c.endTime, text: c.text})));
})`

// TestTrack loads the metadata track into a browser's <track>, which is the
// standard's reader by another hand, and compares its cues with the API's clips.
func TestTrack(t *testing.T) {
	p := start(t, database(t), "-demo")
	ctx, ask := browser(t)
	if err := chromedp.Do(ctx, chromedp.Navigate(p.url+"/")); err != nil {
		t.Fatal(err)
	}
	api := p.url + "/v1/programs/demo"
	film := listed(t, api+"/films")[0]["id"].(string)
	send(t, 200, api+"/films/"+film+"/clips", "text/csv",
		"start_s,end_s,number,angle\n3599.999,3600.25,998,\n1,1.0004,999,a --> b & <c>\n1,2,999,high\n")
	clips := listed(t, api+"/clips?limit=500&film_id="+film)
	plays := map[string]map[string]any{}
	for _, x := range listed(t, api+"/plays?limit=500&game_id="+listed(t, api+"/films")[0]["game_id"].(string)) {
		plays[x["id"].(string)] = x
	}
	var cues []struct {
		ID, Text string
		From, To float64
	}
	if err := json.Unmarshal([]byte(ask(cuesOf+`("/v1/programs/demo/films/`+film+`/clips")`)), &cues); err != nil {
		t.Fatal(err)
	}
	if len(cues) != len(clips) || len(cues) < 50 {
		t.Fatalf("the browser read %d cues of %d clips", len(cues), len(clips))
	}
	byID := map[string]map[string]any{}
	for _, c := range clips {
		byID[c["id"].(string)] = c
	}
	tagged := 0
	for i, q := range cues {
		c := byID[q.ID]
		if c == nil {
			t.Fatalf("cue %d has the identifier %q, which is no clip", i, q.ID)
		}
		from, to := c["start_s"].(float64), c["end_s"].(float64)
		if q.From != from || q.To != to && to-from > .001 || i > 0 && q.From < cues[i-1].From {
			t.Errorf("cue %d runs from %v to %v, the clip from %v to %v", i, q.From, q.To, from, to)
		}
		var text struct {
			Number int
			Angle  string
			Play   map[string]any
		}
		if err := json.Unmarshal([]byte(q.Text), &text); err != nil {
			t.Fatalf("cue %d is no JSON: %v\n%s", i, err, q.Text)
		}
		if a, _ := c["angle"].(string); a != text.Angle {
			t.Errorf("cue %d: angle %q, the clip's is %q", i, text.Angle, a)
		}
		if id, ok := c["play_id"].(string); ok {
			tagged++
			if a, b := fmt.Sprint(plays[id]), fmt.Sprint(text.Play); a != b {
				t.Errorf("cue %d: the play differs from the API's:\n%s\n%s", i, b, a)
			}
		}
	}
	if tagged < 50 {
		t.Errorf("%d cues with a play", tagged)
	}
	// What our reader takes, the browser reads the same; the files are those of the unit tests of the grammar.
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil { // our own pages let no data: address in
		t.Fatal(err)
	}
	for file, want := range map[string]string{
		"WEBVTT\n\n7\n00:01.000 -->\t00:02.500 align:start\ntext\n":                              "7 1 2.5",
		"\ufeffWEBVTT - plays\r\n\r\nNOTE\r\nby hand\r\n\r\n100:00:00.000 --> 100:00:01.000\r\n": " 360000 360001",
		"WEBVTT\r\r01:02.003 --> 01:01:02.003\r":                                                 " 62.003 3662.003",
	} {
		data, _ := json.Marshal(file)
		got := ask(`(async () => { const c = JSON.parse(await ` + cuesOf + `("data:text/vtt," + encodeURIComponent(` +
			string(data) + `)))[0]; return c.id + " " + c.from + " " + c.to; })()`)
		if got != want {
			t.Errorf("the browser reads %q as %q, want %q (W3C WebVTT, 4.1)", file, got, want)
		}
	}
}
