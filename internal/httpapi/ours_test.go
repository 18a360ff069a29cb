package httpapi_test

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"overhang/internal/tags"
)

// form posts a page's form and returns the status.
func (c *client) form(path string, values url.Values) (int, string) {
	c.t.Helper()
	resp, body := c.do("POST", path, values.Encode(), "Content-Type", "application/x-www-form-urlencoded")
	return resp.StatusCode, body
}

// TestOurGames: a game is ours when somebody says so, through the API or on its page;
// its plays stay plays of that opponent.
func TestOurGames(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	call := func(word string, p tags.Play) tags.Play {
		p.Coverage = &word
		return p
	}
	load(t, s, "theirs", 1, call("cover 3", snap(1, 1, 10, 4, "run", "rush")))
	// Success by the usual percentages: 4 of 10 on first down is one, 3 is none; on third down 5 of 5 is one.
	load(t, s, "ours", 2, call("cover 1", snap(1, 1, 10, 4, "run", "rush")),
		call("cover 1", snap(1, 1, 10, 3, "run", "rush")), call("our own word", snap(2, 3, 5, 5, "pass", "complete")),
		snap(2, 3, 5, 0, "pass", "incomplete"), call("cover 1", tags.Play{Down: ptr(1), DistanceYd: ptr(10)}),
		call("cover 1", tags.Play{Status: "kneel"}))
	all := c.values("game", "")
	game := c.must(200, "GET", ours+"/games", "")["items"].([]any)[1].(map[string]any)
	if game["ours"] != false {
		t.Fatalf("a new game is ours: %v", game)
	}
	at, page := ours+"/games/"+game["id"].(string), "/programs/ours/games/"+game["id"].(string)
	if n := c.must(200, "GET", ours+"/reports/self-scout", "")["plays"]; n != 0.0 {
		t.Errorf("a self-scout of no game of ours has %v plays", n)
	}
	version := fmt.Sprint(game["version"])
	if status, body := c.form(page, url.Values{"ours": {"perhaps"}, "version": {version}}); status != 422 ||
		!strings.Contains(body, `"ours"`) {
		t.Errorf("a form that says perhaps: %d %s", status, body)
	}
	if status, body := c.form(page, url.Values{"ours": {"yes"}, "version": {version}}); status != 200 ||
		!strings.Contains(body, "Our game: the coverage") {
		t.Errorf("the form: %d %.300s", status, body)
	}
	if status, _ := c.form(page, url.Values{"ours": {"no"}, "version": {version}}); status != 412 {
		t.Errorf("a form that saw an older version: %d", status)
	}
	if got := c.must(200, "GET", at, ""); got["ours"] != true || got["label"] != "ours" || got["week"] != 2.0 {
		t.Errorf("after the form: %v", got)
	}
	if _, list := c.do("GET", "/programs/ours/games", ""); strings.Count(list, "our game<") != 1 {
		t.Error("the list of games does not say which is ours")
	}
	if _, tag := c.do("GET", page+"/tag", ""); !strings.Contains(tag, "the coverage is the call we made") {
		t.Error("the tagging page does not say what a coverage means there")
	}
	// One of the five counted plays lacks our call, and the calls the vocabulary lacks are named.
	if _, snaps := c.do("GET", page+"?missing=coverage", ""); strings.Count(snaps, "/tag#") != 1 ||
		!strings.Contains(snaps, "/tag#4") || !strings.Contains(snaps, "Our call") || strings.Contains(snaps,
		"coverage list yet") {
		t.Errorf("the snaps of our game: %s", snaps)
	}
	book := c.must(200, "GET", "/v1/book", "")["items"].([]any)[0].(map[string]any)
	c.must(201, "POST", ours+"/calls", fmt.Sprintf(`{"name":"our <best>","active":true,"body":%s}`, mustJSON(book)))
	if _, snaps := c.do("GET", page, ""); !strings.Contains(snaps, "our &lt;best&gt;. <button") {
		t.Errorf("a call without a word is not named: %s", snaps)
	}
	if status, snaps := c.form(page, url.Values{"words": {"add"}}); status != 200 || strings.Contains(snaps,
		"coverage list yet") {
		t.Errorf("after adding the words: %d %s", status, snaps)
	}
	c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":%q,"number":90,"status":"kneel","coverage":"our <best>"}`,
		game["id"]))
	if got := c.values("game", ""); fmt.Sprint(got) != fmt.Sprint(all) {
		t.Errorf("plays by game %v, before it was ours %v", got, all)
	}
	if got := c.values("game", "&ours=yes"); fmt.Sprint(got) != "map[ours:5]" {
		t.Errorf("plays of our games: %v; want the 5 counted ones", got)
	}
	// Counted by hand: five plays, one without a call, one whose word is no call.
	r := c.must(200, "GET", ours+"/reports/self-scout", "")
	first := r["calls"].([]any)[0].(map[string]any)
	got := fmt.Sprint(r["plays"], r["not_tagged"], r["no_call"], " ", first["call"], first["book"], first["plays"],
		first["of_plays"], first["share"], " ", first["successes"], first["success_known"], first["mean_gain_yd"],
		first["gain_known"], first["thin"])
	if want := fmt.Sprint(5.0, 1.0, 1.0, " ", "cover 1", "cover 1", 3.0, 4.0, 0.75, " ", 1.0, 2.0, 3.5, 2.0,
		true); got != want {
		t.Errorf("self-scout %s; counted by hand %s", got, want)
	}
	body := `{"opponent_id":"` + game["opponent_id"].(string) + `","label":"ours"`
	c.must(422, "PUT", at, body+`,"ours":"yes"}`, "If-Match", `"2"`)
	if g := c.must(200, "PUT", at, body+`}`, "If-Match", `"2"`); g["ours"] != false {
		t.Errorf("replaced without saying so: %v", g)
	}
	if g := c.must(201, "POST", ours+"/games", strings.Replace(body, "ours", "another", 1)+
		`,"ours":true}`); g["ours"] != true {
		t.Errorf("made as ours: %v", g)
	}
}
