package httpapi_test

import (
	"encoding/json"
	"fmt"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// TestReview: a plan is reviewed on what was tagged in our own game after it was made, while
// it is being tagged too; what is missing is said with a next step.
func TestReview(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, game := c.drives(3)
	p := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"week 5","game_id":"`+game+`"}`)
	path := p["location"].(string) + "/review"
	call := callNames(situation(p, 0))[0]
	says := func(query, want string) {
		t.Helper()
		for _, format := range []string{"html", "pdf", "csv", "xlsx"} {
			resp, page := c.do("GET", path+"?format="+format+query, "")
			if resp.StatusCode != 200 || format == "html" && !strings.Contains(page, want) {
				t.Errorf("%s%s: %d, lacks %q: %.2000s", format, query, resp.StatusCode, want, page)
			}
		}
	}
	says("", "Mark the game as ours")
	version := c.must(200, "GET", ours+"/games/"+game, "")["etag"].(string)
	c.must(200, "PUT", ours+"/games/"+game, `{"opponent_id":"`+opponent+`","label":"week 1","week":1,"ours":true}`,
		"If-Match", version)
	says("", "all 12 plays of our games were tagged before the plan was made")
	if r := c.must(200, "GET", path+"?earlier=true", ""); r["plays"] != 12.0 || r["earlier"] != 12.0 {
		t.Errorf("with what was tagged earlier: %v plays, %v of them earlier", r["plays"], r["earlier"])
	}
	c.must(201, "POST", ours+"/words", fmt.Sprintf(`{"field":"coverage","word":%q}`, call))
	for i, quarter := range []int{1, 2, 3} {
		c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,"quarter":%d,"coverage":%q,%s}`, game,
			50+i, quarter, call, smash))
	}
	says("", "12 plays tagged before the plan was made are left out")
	says("&half=first", "held in")
	_, snaps := c.do("GET", "/programs/ours/games/"+game, "")
	for _, link := range regexp.MustCompile(`/v1/[^"]*/review[^"]*`).FindAllString(snaps, -1) {
		if r := c.must(200, "GET", strings.ReplaceAll(strings.Replace(link, "format=html", "format=json", 1), "&amp;", "&"),
			""); r["plays"] != map[bool]float64{true: 2, false: 3}[strings.Contains(link, "half=first")] &&
			!strings.Contains(link, "half=second") {
			t.Errorf("the game's page leads to %s: %v plays", link, r["plays"])
		}
	}
	if strings.Count(snaps, "/review?") != 3 {
		t.Errorf("the page of the game does not lead to its review: %s", snaps)
	}
	for query, plays := range map[string]float64{"": 3, "?half=first": 2, "?game=week+1&quarter=3": 1, "?down=1": 0} {
		if r := c.must(200, "GET", path+query, ""); r["plays"] != plays {
			t.Errorf("%q: %v plays, want %v", query, r["plays"], plays)
		}
	}
	// The staff calls the concept otherwise since: it is the same one.
	c.must(201, "POST", ours+"/words", `{"field":"concept","word":"hitch-corner"}`)
	c.must(201, "POST", ours+"/merges", `{"field":"concept","word":"smash","into":"hitch-corner"}`)
	x := c.must(200, "GET", path, "")["situations"].([]any)[0].(map[string]any)
	if k := x["concepts"].([]any); len(k) != 1 || k[0].(map[string]any)["concept"] != "hitch-corner" ||
		k[0].(map[string]any)["predicted"].(map[string]any)["x"] != 12.0 ||
		k[0].(map[string]any)["ran"].(map[string]any)["x"] != 3.0 {
		t.Errorf("after the merge: %v", k)
	}
	if made := x["calls"].([]any)[0].(map[string]any); made["call"] != call || made["made"].(map[string]any)["x"] != 3.0 ||
		x["situation"] != "3rd and 4-6" {
		t.Errorf("%v; want three of %s", x, call)
	}
	// And so is the call, by another name: what was tagged by either counts for it.
	c.renames(call, "rain")
	c.must(201, "POST", ours+"/words", `{"field":"coverage","word":"rain"}`)
	c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":53,"quarter":3,"coverage":"rain",%s}`, game,
		smash))
	x = c.must(200, "GET", path, "")["situations"].([]any)[0].(map[string]any)
	if made := x["calls"].([]any)[0].(map[string]any); made["call"] != "rain" ||
		made["made"].(map[string]any)["x"] != 4.0 {
		t.Errorf("after the call was renamed: %v", made)
	}
	for query, field := range map[string]string{"opponent=o1": "opponent", "ours=yes": "ours",
		"earlier=perhaps": "earlier", "dwon=3": "dwon", "game=nowhere&down=9": "down"} {
		if resp, raw := c.do("GET", path+"?"+query, ""); resp.StatusCode != 400 && resp.StatusCode != 422 ||
			!strings.Contains(raw, `"field":"`+field+`"`) {
			t.Errorf("%s: %d %s", query, resp.StatusCode, raw)
		}
	}
	c.must(404, "GET", ours+"/plans/018f2c3d-0000-7000-8000-000000000000/review", "")
	c.must(404, "GET", ours+"/plans/x/review", "")
	// The staff cuts its bands anew: the plan's situations are no more, and it says so.
	settings := c.must(200, "GET", ours, "")
	c.must(200, "PUT", ours, strings.ReplaceAll(strings.ReplaceAll(programBody(settings), `"4-6"`, `"middle"`), `"7-10"`,
		`"long"`), "If-Match", settings["etag"].(string))
	says("", "do not define these situations anymore: 3rd and 4-6")
}

// programBody is a program as it is sent back.
func programBody(p map[string]any) string {
	return mustJSON(map[string]any{"name": p["name"], "level": p["level"], "settings": p["settings"]})
}

// renames gives a stored call another name.
func (c *client) renames(name, to string) {
	c.t.Helper()
	v := c.must(200, "GET", ours+"/calls?name="+url.QueryEscape(name), "")["items"].([]any)[0].(map[string]any)
	body := v["body"].(map[string]any)
	body["name"] = to
	raw, err := json.Marshal(map[string]any{"name": to, "active": true, "body": body})
	if err != nil {
		c.t.Fatal(err)
	}
	c.must(200, "PUT", ours+"/calls/"+v["id"].(string), string(raw), "If-Match", fmt.Sprintf("\"%v\"", v["version"]))
}
