package httpapi_test

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// bin lists the deletions, the latest first.
func (c *client) bin(query string) (out []map[string]any) {
	c.t.Helper()
	for _, x := range c.must(200, "GET", ours+"/deletions"+query, "")["items"].([]any) {
		out = append(out, x.(map[string]any))
	}
	return out
}

// TestDeletions: who may restore and who may purge.
func TestDeletions(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	by := map[staff.Role]*client{}
	for _, r := range staff.Roles {
		by[r] = c.person(s, "ours", string(r), r)
	}
	owner, ana := by[staff.Owner], by[staff.Analyst]
	game := owner.season()
	play := ana.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":7,`+smash+`}`)["location"].(string)
	film := ana.must(201, "POST", ours+"/films", `{"game_id":"`+game+`","location":"a.mp4"}`)["id"].(string)
	clip := ana.must(201, "POST", ours+"/clips", `{"film_id":"`+film+`","play_id":"`+play[strings.LastIndex(play, "/")+1:]+
		`","start_s":1,"end_s":2}`)["id"].(string)
	shown := func() string {
		now := ana.must(200, "GET", ours+"/clips/"+clip, "")
		return fmt.Sprint(now["play_id"] != nil, " ", now["number"])
	}
	ana.must(204, "DELETE", play, "", "If-Match", `"1"`)
	if now := shown(); now != "false 7" {
		t.Errorf("the clip of a deleted play: %s; want its number alone", now)
	}
	d := by[staff.Reader].bin("")[0]
	if d["who"] != "analyst" || d["kind"] != "plays" || d["what"] != "play 7, week 1" ||
		fmt.Sprint(d["rows"]) != "map[plays:1]" {
		t.Errorf("a reader's list: %v", d)
	}
	at := ours + "/deletions/" + d["id"].(string)
	by[staff.Reader].must(403, "POST", at+"/restore", "")
	for _, r := range staff.Roles[:3] {
		by[r].must(403, "DELETE", at, "")
		by[r].must(403, "DELETE", ours+"/deletions?older_than_days=0", "")
	}
	ana.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":7,"status":"kneel"}`)
	if taken := ana.must(409, "POST", at+"/restore", ""); !strings.Contains(fmt.Sprint(taken),
		"play 7, week 1 cannot come back") || !strings.Contains(fmt.Sprint(taken["errors"]), "number") {
		t.Errorf("something stands in its place: %v", taken)
	}
	ana.deleteAt(ours + "/plays/" + ana.must(200, "GET", ours+"/plays",
		"")["items"].([]any)[0].(map[string]any)["id"].(string))
	if back := ana.must(200, "POST", at+"/restore", ""); back["what"] != "play 7, week 1" {
		t.Errorf("restored: %v", back)
	}
	if now := ana.must(200, "GET", play, ""); now["etag"] != `"2"` || now["concept"] != "smash" {
		t.Errorf("the restored play: %v", now)
	}
	if now := shown(); now != "true <nil>" {
		t.Errorf("the clip of the restored play: %s; want it as it was", now)
	}
	if h := ana.must(200, "GET", play+"/history", "")["items"].([]any); len(h) != 3 ||
		h[0].(map[string]any)["how"] != "restore" {
		t.Errorf("its history: %v", h)
	}
	ana.must(404, "POST", at+"/restore", "")

	// What a coordinator deletes a coordinator restores.
	by[staff.Coordinator].deleteAt(ours + "/games/" + game)
	d = ana.bin("")[0]
	at = ours + "/deletions/" + d["id"].(string)
	if fmt.Sprint(d["rows"]) != "map[clips:1 films:1 games:1 plays:1]" {
		t.Errorf("what hung on the game: %v", d)
	}
	ana.must(403, "POST", at+"/restore", "")
	ana.must(409, "POST", ours+"/changes/"+d["id"].(string)+"/undo", "") // no way round
	by[staff.Coordinator].must(200, "POST", at+"/restore", "")
	if now := shown(); now != "true <nil>" {
		t.Errorf("the clip of a play of the restored game: %s", now)
	}

	// What was tagged blind an analyst restores who deleted it himself.
	blind := ana.must(201, "POST", ours+"/blind-tags", `{"clip_id":"`+clip+
		`","analyst":"analyst","tags":{"status":"counted"}}`)["location"].(string)
	by[staff.Coordinator].deleteAt(blind)
	at = ours + "/deletions/" + ana.bin("")[0]["id"].(string)
	ana.must(403, "POST", at+"/restore", "")
	by[staff.Coordinator].must(200, "POST", at+"/restore", "")
	ana.must(204, "DELETE", blind, "", "If-Match", `"2"`)
	ana.must(200, "POST", ours+"/deletions/"+ana.bin("")[0]["id"].(string)+"/restore", "")

	// Pages, and purging.
	for i := range 3 {
		ana.deleteAt(ana.must(201, "POST", ours+"/films", fmt.Sprintf(`{"game_id":"%s","location":"%d.mp4"}`, game,
			i))["location"].(string))
	}
	page := ana.must(200, "GET", ours+"/deletions?limit=2", "")
	rest := ana.bin("?limit=2&cursor=" + page["next_cursor"].(string))
	if first := page["items"].([]any)[0].(map[string]any); first["what"] != "2.mp4" || rest[0]["what"] != "0.mp4" {
		t.Errorf("pages: %v, then %v", page, rest)
	}
	ana.must(400, "GET", ours+"/deletions?cursor=x", "")
	for _, query := range []string{"", "?older_than_days=-1", "?older_than_days=x"} {
		owner.must(400, "DELETE", ours+"/deletions"+query, "")
	}
	if n := owner.must(200, "DELETE", ours+"/deletions?older_than_days=1", "")["purged"]; n != 0.0 {
		t.Errorf("%v of a minute's age are older than a day", n)
	}
	at = ours + "/deletions/" + rest[0]["id"].(string)
	if n := owner.must(200, "DELETE", at, "")["purged"]; n != 1.0 {
		t.Errorf("purged %v; want 1", n)
	}
	owner.must(404, "DELETE", at, "")
	owner.must(404, "POST", at+"/restore", "")
	owner.must(404, "DELETE", ours+"/deletions/seven", "")
	owner.must(200, "DELETE", ours+"/deletions?older_than_days=0", "")
	if left := owner.bin(""); len(left) != 0 {
		t.Errorf("after purging everything: %v", left)
	}
}

func (c *client) deleteAt(path string) { c.must(204, "DELETE", path, "", "If-Match", `"1"`) }

// TestDeletedPage does by clicks what the API does, with the same limits.
func TestDeletedPage(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	owner := c.person(s, "ours", "head", staff.Owner)
	c.person(s, "ours", "ana", staff.Analyst)
	c.person(s, "ours", "rea", staff.Reader)
	game := owner.season()
	const at = "/programs/ours/deleted"
	sign := func(login string) *browser {
		b := browse(t, c.url)
		b.post(200, "/sign-in", url.Values{"login": {login}, "password": {password}})
		return b
	}
	head, ana, rea := sign("head"), sign("ana"), sign("rea")
	if page := ana.get(at); !strings.Contains(page, "Nothing here") {
		t.Errorf("an empty page without a next step: %s", page)
	}
	for _, from := range []string{"/programs/ours/games", "/programs/ours/games/" + game, "/programs/ours/staff"} {
		if !strings.Contains(ana.get(from), `href="`+at+`"`) {
			t.Errorf("%s does not lead to what was deleted", from)
		}
	}
	play := owner.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":7,`+smash+`}`)["location"].(string)
	owner.deleteAt(play)
	id := regexp.MustCompile(`name="id" value="([^"]+)"`)
	form := func(page, do string) url.Values {
		return url.Values{"do": {do}, "id": {id.FindStringSubmatch(page)[1]}, "sure": {"yes"}}
	}
	page := ana.get(at)
	if !strings.Contains(page, "play 7, week 1") || !strings.Contains(page, "head") || strings.Contains(page, "Purge") {
		t.Errorf("an analyst's page: %s", page)
	}
	if !strings.Contains(rea.get(at), "analyst only") {
		t.Errorf("a reader's page: %s", rea.get(at))
	}
	rea.post(403, at, form(page, "restore"))
	ana.post(403, at, form(page, "purge"))
	ana.post(403, at, url.Values{"do": {"purge older"}, "days": {"0"}})
	if done := ana.post(200, at, form(page, "restore")); !strings.Contains(done, "play 7, week 1 is back.") ||
		!strings.Contains(done, "Nothing here") {
		t.Errorf("after restoring: %s", done)
	}
	if now := owner.must(200, "GET", play, ""); now["etag"] != `"2"` || now["concept"] != "smash" {
		t.Errorf("the restored play: %v", now)
	}
	ana.post(422, at, form(page, "restore")) // it is back already
	owner.must(204, "DELETE", ours+"/games/"+game, "", "If-Match", `"1"`)
	if page = ana.get(at); !strings.Contains(page, "coordinator only") || strings.Contains(page, "aria-label=\"Restore") {
		t.Errorf("a game on an analyst's page: %s", page)
	}
	ana.post(403, at, form(head.get(at), "restore"))
	if page = head.get(at); !strings.Contains(page, `aria-label="Purge week 1, Invented opponent for good"`) {
		t.Errorf("an owner's page: %s", page)
	}
	for _, wrong := range []url.Values{{"do": {"purge older"}, "days": {"-1"}, "sure": {"yes"}}, {"do": {"purge older"},
		"days": {"0"}}, {"do": {"purge"}, "id": form(page, "")["id"]}, {"do": {"dance"}, "sure": {"yes"}}} {
		head.post(422, at, wrong)
	}
	if done := head.post(200, at, form(page, "purge")); !strings.Contains(done, "1 purged.") {
		t.Errorf("after purging: %s", done)
	}
	owner.must(404, "GET", play+"/history", "")
	// A name is text, never markup.
	o := owner.must(201, "POST", ours+"/opponents", `{"code":"x","name":"<script>x</script>"}`)["location"].(string)
	owner.deleteAt(o)
	if page := head.get(at); strings.Contains(page, "<script>x") {
		t.Error("a name became markup")
	}
	if done := head.post(200, at, url.Values{"do": {"purge older"}, "days": {"0"},
		"sure": {"yes"}}); !strings.Contains(done, "1 purged.") {
		t.Errorf("after purging all: %s", done)
	}
	head.do(func() *http.Request { r, _ := http.NewRequest("GET", c.url+"/programs/theirs/deleted", nil); return r }(),
		404)
}
