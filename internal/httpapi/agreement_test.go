package httpapi_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// clips makes a film with n clips and returns the clips' ids.
func (c *client) clips(game string, n int) (out []string) {
	film := c.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"/films/a.mp4"}`)["id"].(string)
	for i := range n {
		out = append(out, c.must(201, "POST", ours+"/clips", fmt.Sprintf(`{"film_id":"%s","start_s":%d,"end_s":%d}`, film,
			10*i, 10*i+8))["id"].(string))
	}
	return out
}

func (c *client) blind(clip, analyst, what string) map[string]any {
	return c.must(201, "POST", ours+"/blind-tags", fmt.Sprintf(`{"clip_id":"%s","analyst":"%s","tags":{%s}}`, clip,
		analyst, what))
}

func (c *client) field(name string) map[string]any {
	c.t.Helper()
	_, fields := c.items("fields", ours+"/agreement")
	for _, f := range fields {
		if f["field"] == name {
			return f
		}
	}
	c.t.Fatalf("no field %s in %v", name, fields)
	return nil
}

// TestAgreement: two analysts, fifty clips. Both say run on 20, pass on 15; one
// says run where the other says pass on 5, and the reverse on 10: kappa .4, the
// observed .7, the expected .5 (the worked example of Cohen's kappa with these
// counts: en.wikipedia.org/wiki/Cohen's_kappa, MEM + CALC).
func TestAgreement(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	clips := c.clips(c.season(), 50)
	for i, clip := range clips {
		a, b := "run", "run"
		switch {
		case i >= 35:
			b = "pass"
			if i >= 40 {
				a, b = "pass", "run"
			}
		case i >= 20:
			a, b = "pass", "pass"
		}
		c.blind(clip, "one", `"called":"`+a+`"`)
		c.blind(clip, "two", `"called":"`+b+`"`)
	}
	f := c.field("called")
	p := f["pairs"].([]any)[0].(map[string]any)
	if f["units"] != 50.0 || !near(p["same"], .7, 1e-12) || !near(p["kappa"], .4, 1e-12) {
		t.Errorf("called: %v; want 50 clips, .7 the same, kappa .4", f)
	}
	if n := len(c.must(200, "GET", ours+"/agreement", "")["differences"].([]any)); n != 15 {
		t.Errorf("%d differences; want 15", n)
	}
	for _, format := range []string{"csv", "xlsx"} {
		c.do("GET", ours+"/agreement?format="+format, "")
	}
}

// TestAlpha: Krippendorff's reliability data of four observers and twelve units
// with gaps, alpha .743 nominal and .849 interval (Krippendorff 2011, section C
// and the table of metrics: MEM + CALC). The values are tagged as rushers.
func TestAlpha(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	observers := []string{"1 2 3 3 2 1 4 1 2 . . .", "1 2 3 3 2 2 4 1 2 5 . 3", ". 3 3 3 2 3 4 2 2 5 1 .",
		"1 2 3 3 2 4 4 1 2 5 1 ."}
	clips := c.clips(c.season(), 12)
	for o, line := range observers {
		for i, v := range strings.Fields(line) {
			if v != "." {
				c.blind(clips[i], fmt.Sprint("observer ", o+1), `"rushers":`+v)
			}
		}
	}
	f := c.field("rushers")
	if !near(f["alpha"], .743, 5e-4) || !near(f["alpha_interval"], .849, 5e-4) || f["values"] != 40.0 ||
		f["units"] != 11.0 {
		t.Errorf("rushers: %v; want alpha .743, interval .849, 40 values of 11 units", f)
	}
}

// TestSettle: what both know and agree on is taken, the rest is chosen, and only
// then is there a play to count.
func TestSettle(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	clip := c.clips(c.season(), 1)[0]
	at := ours + "/clips/" + clip + "/settle"
	hitch := `"routes":[{"side":"left","number":2,"eligible":"receiver","route":"corner"},{"side":"left","number":1,"eligible":"receiver","route":"hitch"}]`
	turned := `"routes":[{"side":"left","number":1,"eligible":"receiver","route":"hitch"},{"side":"left","number":2,"eligible":"receiver","route":"corner"}]`
	c.blind(clip, "one", `"down":3,"distance_yd":6,"called":"pass","concept":"smash","gain_yd":8,`+hitch)
	if resp, raw := c.do("POST", at, `{"number":4}`); resp.StatusCode != 409 ||
		!strings.Contains(raw, "takes two analysts") {
		t.Errorf("one analyst: %d %s; want 409", resp.StatusCode, raw)
	}
	two := c.blind(clip, "two", `"down":3,"distance_yd":7,"called":"pass","hash":"left",`+turned)
	if resp, raw := c.do("POST", ours+"/blind-tags", `{"clip_id":"`+clip+
		`","analyst":"two","tags":{"down":3}}`); resp.StatusCode != 409 || !strings.Contains(raw, "analyst") {
		t.Errorf("tagged twice by one: %d %s; want 409", resp.StatusCode, raw)
	}
	if got := c.must(200, "GET", ours+"/blind-tags?analyst=two", "")["items"].([]any); len(got) != 1 ||
		got[0].(map[string]any)["id"] != two["id"] {
		t.Errorf("two's own tags: %v", got)
	}
	c.must(400, "GET", ours+"/blind-tags", "") // blind: everybody sees his own
	for body, word := range map[string]string{
		`{"number":4}`: `is open: one 6, two 7`,
		`{"number":4,"choices":{"distance_yd":"three"}}`:             "three did not tag the clip",
		`{"number":4,"choices":{"distance_yd":"one","shell":"one"}}`: "nobody tagged it",
		`{"choices":{"distance_yd":"one"}}`:                          "number",
	} {
		if resp, raw := c.do("POST", at, body); resp.StatusCode != 422 || !strings.Contains(raw, word) {
			t.Errorf("%s: %d %s; want 422 saying %q", body, resp.StatusCode, raw, word)
		}
	}
	if n := len(c.must(200, "GET", ours+"/plays", "")["items"].([]any)); n != 0 {
		t.Errorf("%d plays before the clip is settled", n)
	}
	p := c.must(200, "POST", at, `{"number":4,"choices":{"distance_yd":"two"}}`)
	if p["number"] != 4.0 || p["distance_yd"] != 7.0 || p["concept"] != "smash" || p["hash"] != "left" ||
		len(p["routes"].([]any)) != 2 {
		t.Errorf("settled: %v", p)
	}
	if k := c.must(200, "GET", ours+"/clips/"+clip, ""); k["play_id"] != p["id"] {
		t.Errorf("the clip shows %v, the play is %v", k["play_id"], p["id"])
	}
	c.must(428, "POST", at, `{"choices":{"distance_yd":"one"}}`)
	c.must(412, "POST", at, `{"choices":{"distance_yd":"one"}}`, "If-Match", `"99"`)
	again := c.must(200, "POST", at, `{"choices":{"distance_yd":"(unknown)"}}`, "If-Match", p["etag"].(string))
	if _, known := again["distance_yd"]; known || again["number"] != 4.0 || again["id"] != p["id"] {
		t.Errorf("settled again: %v", again)
	}
	var b tags.BlindTag
	if raw, _ := json.Marshal(b); strings.Contains(string(raw), "game_id") {
		t.Errorf("a sighting names a game: %s", raw)
	}
}

// TestOwnEyes: where people sign in, an analyst sees and writes only their own
// sightings, and only a coordinator compares and settles.
func TestOwnEyes(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	chief := c.person(s, "ours", "chief", staff.Coordinator)
	one, two := c.person(s, "ours", "one", staff.Analyst), c.person(s, "ours", "two", staff.Analyst)
	clip := chief.clips(chief.season(), 1)[0]
	mine := one.blind(clip, "one", `"down":3,"called":"pass"`)["id"].(string)
	two.must(403, "POST", ours+"/blind-tags", `{"clip_id":"`+clip+`","analyst":"one","tags":{"down":1}}`)
	two.must(403, "GET", ours+"/blind-tags?analyst=one", "")
	two.must(404, "GET", ours+"/blind-tags/"+mine, "")
	two.must(404, "DELETE", ours+"/blind-tags/"+mine, "", "If-Match", `"1"`)
	one.must(200, "GET", ours+"/blind-tags/"+mine, "")
	two.blind(clip, "two", `"down":3,"called":"run"`)
	two.must(403, "GET", ours+"/agreement", "")
	two.must(403, "POST", ours+"/clips/"+clip+"/settle", `{"number":1}`)
	if n := len(chief.must(200, "GET", ours+"/agreement", "")["differences"].([]any)); n != 1 {
		t.Errorf("%d differences; want the one call", n)
	}
	if p := chief.must(200, "POST", ours+"/clips/"+clip+"/settle",
		`{"number":1,"choices":{"called":"one"}}`); p["called"] != "pass" {
		t.Errorf("settled: %v", p)
	}
}
