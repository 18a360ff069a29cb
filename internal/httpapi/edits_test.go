package httpapi_test

import (
	"fmt"
	"strings"
	"testing"
)

// TestHistoryOverTheAPI: who, when, before, after; undone, and undone again.
func TestHistoryOverTheAPI(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	at := c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":1,`+smash+`}`, "Analyst",
		"ana")["location"].(string)
	c.must(200, "PUT", at, `{"game_id":"`+game+`","number":1,"status":"counted","down":2}`, "If-Match", `"1"`, "Analyst",
		"ben")
	page := c.must(200, "GET", at+"/history?limit=1", "")
	last := page["items"].([]any)[0].(map[string]any)
	if last["who"] != "ben" || last["how"] != "edit" || last["before"].(map[string]any)["concept"] != "smash" ||
		!strings.Contains(fmt.Sprint(last["fields"]), "concept") {
		t.Errorf("the last change: %v", last)
	}
	first := c.must(200, "GET", at+"/history?limit=1&cursor="+page["next_cursor"].(string), "")
	if x := first["items"].([]any)[0].(map[string]any); x["who"] != "ana" || x["before"] != nil ||
		first["next_cursor"] != nil {
		t.Errorf("the first change: %v", first)
	}
	change := ours + "/changes/" + last["change_id"].(string)
	if n := len(c.must(200, "GET", change, "")["items"].([]any)); n != 1 {
		t.Errorf("the change has %d plays; want 1", n)
	}
	undone := c.must(200, "POST", change+"/undo", "", "Analyst", "ana")["items"].([]any)[0].(map[string]any)
	if now := c.must(200, "GET", at, ""); now["concept"] != "smash" || now["etag"] != `"3"` || undone["how"] != "undo" {
		t.Errorf("after undoing: %v", now)
	}
	c.must(409, "POST", change+"/undo", "") // it is undone already: the play is at another version
	c.must(200, "POST", ours+"/changes/"+undone["change_id"].(string)+"/undo", "")
	if now := c.must(200, "GET", at, ""); now["concept"] != nil {
		t.Errorf("after undoing the undo: %v", now)
	}
	for _, path := range []string{at[:len(at)-4] + "0000/history", ours + "/plays/seven/history", ours + "/changes/seven",
		ours + "/changes/018f2c3d-0000-7000-8000-000000000000"} {
		c.must(404, "GET", path, "")
	}
	c.must(400, "GET", at+"/history?cursor=x", "")
}

// TestIdempotentCreates: draft-ietf-httpapi-idempotency-key-header-07 (published.md, SEEN).
func TestIdempotentCreates(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	one := `{"game_id":"` + game + `","number":1,` + smash + `}`
	a, rawA := c.do("POST", ours+"/plays", one, "Idempotency-Key", `"8e03978e-40d5"`)
	b, rawB := c.do("POST", ours+"/plays", strings.ReplaceAll(one, `"down":3,`, "\n \"down\": 3, "), "Idempotency-Key",
		`"8e03978e-40d5"`)
	if a.StatusCode != 201 || b.StatusCode != 201 || rawA != rawB ||
		a.Header.Get("Location") != b.Header.Get("Location") || a.Header.Get("ETag") != b.Header.Get("ETag") {
		t.Errorf("the same key and body: %d %s\nthen %d %s", a.StatusCode, rawA, b.StatusCode, rawB)
	}
	if _, raw := c.do("POST", ours+"/plays", `{"game_id":"`+game+`","number":2,"status":"counted"}`, "Idempotency-Key",
		`"8e03978e-40d5"`); !strings.Contains(raw, `"status":422`) || !strings.Contains(raw, "already used") {
		t.Errorf("the same key with another body: %s; want 422", raw)
	}
	c.must(422, "POST", ours+"/plays", one, "Idempotency-Key", `""`)
	if n := len(c.must(200, "GET", ours+"/plays", "")["items"].([]any)); n != 1 {
		t.Errorf("%d plays; want 1", n)
	}
}

func TestBulkEditOverTheAPI(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	for i := range 3 {
		c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1, smash))
	}
	look := c.must(200, "POST", ours+"/play-edits", `{"where":{"game_id":"`+game+
		`"},"set":{"play_side":null,"motion":null,"down":2}}`)
	items := look["items"].([]any)
	if look["applied"] != false || len(items) != 3 ||
		fmt.Sprint(items[0].(map[string]any)["changes"]) != "map[down:map[after:2 before:3] play_side:map[after:<nil> "+
			"before:left]]" {
		t.Fatalf("looking: %v", look)
	}
	var seen []string
	for _, x := range items {
		seen = append(seen, fmt.Sprintf(`{"id":"%s","version":%v}`, x.(map[string]any)["id"], x.(map[string]any)["version"]))
	}
	apply := `{"plays":[` + strings.Join(seen, ",") + `],"set":{"play_side":null,"down":2},"apply":true}`
	done := c.must(200, "POST", ours+"/play-edits", apply, "Analyst", "ana")
	if done["applied"] != true || done["change_id"] == nil {
		t.Errorf("applying: %v", done)
	}
	again := c.must(412, "POST", ours+"/play-edits", apply)
	if now := again["current"].(map[string]any)["items"].([]any); len(now) != 3 || now[0].(map[string]any)["down"] != 2.0 {
		t.Errorf("412 carries %v; want the plays as they are", again["current"])
	}
	if n := len(c.must(200, "POST", ours+"/changes/"+done["change_id"].(string)+"/undo", "")["items"].([]any)); n != 3 {
		t.Errorf("%d plays undone; want 3", n)
	}
	c.must(422, "POST", ours+"/play-edits", `{"where":{"game_id":"`+game+`"},"set":{"number":4}}`)
	c.must(422, "POST", ours+"/play-edits", `{"where":{"game_id":"`+game+`"},"set":{"concept":"smahs"}}`)
	c.must(422, "POST", ours+"/play-edits", `{"where":{"mood":"x"},"set":{"down":1}}`)
	c.must(422, "POST", ours+"/play-edits", `{"set":{"down":1}}`)
}

func TestMergeOverTheAPI(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	c.must(201, "POST", ours+"/words", `{"field":"concept","word":"china"}`)
	c.must(409, "POST", ours+"/words", `{"field":"concept","word":"CHINA"}`)
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":1,`+smash+`}`)
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":2,"status":"counted","concept":"China"}`)
	m := c.must(201, "POST", ours+"/merges", `{"field":"concept","word":"china","into":"smash"}`, "Analyst", "owner")
	if m["plays"] != 1.0 || m["who"] != "owner" {
		t.Errorf("merge: %v", m)
	}
	cell := c.must(200, "GET", ours+"/tendencies?by=concept", "")["cells"].([]any)[0].(map[string]any)
	if cell["plays"] != 2.0 || fmt.Sprint(cell["keys"]) != "map[concept:smash]" {
		t.Errorf("statistics after the merge: %v", cell)
	}
	c.must(422, "POST", ours+"/merges", `{"field":"concept","word":"china","into":"smash"}`)
	c.must(200, "POST", ours+"/changes/"+m["change_id"].(string)+"/undo", "")
	if cells := c.must(200, "GET", ours+"/tendencies?by=concept", "")["cells"].([]any); len(cells) != 2 {
		t.Errorf("statistics after undoing the merge: %v", cells)
	}
	if ms := c.must(200, "GET", ours+"/merges", "")["items"].([]any); len(ms) != 1 ||
		ms[0].(map[string]any)["undone_at"] == nil {
		t.Errorf("merges: %v", ms)
	}
}

// TestQueueOverTheAPI: the program chooses what becomes of a new word.
func TestQueueOverTheAPI(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	play := func(n int) string {
		return fmt.Sprintf(`{"game_id":"%s","number":%d,"status":"counted","concept":"mesh rail"}`, game, n)
	}
	c.must(422, "POST", ours+"/plays", play(1))
	p := c.must(200, "GET", ours, "")
	set := `{"name":"Invented staff","level":"high_school","settings":{"success_percent":[50,70,100],"explosive_run_yd":10,"explosive_pass_yd":20,"distance_bands":[{"name":"short","from_yd":1,"to_yd":4},{"name":"long","from_yd":5,"to_yd":99}],"field_zones":[{"name":"all","from_yd":1,"to_yd":99}],"new_words":"queue"}}`
	c.must(428, "PUT", ours, set)
	now := c.must(200, "PUT", ours, set, "If-Match", p["etag"].(string))
	if c.must(412, "PUT", ours, set, "If-Match", p["etag"].(string))["etag"] != now["etag"] {
		t.Error("412 without the ETag of the program as it is")
	}
	c.must(201, "POST", ours+"/plays", play(1))
	waiting := c.must(200, "GET", ours+"/words?pending=true", "")["items"].([]any)
	if len(waiting) != 1 || waiting[0].(map[string]any)["word"] != "mesh rail" {
		t.Fatalf("words that wait: %v", waiting)
	}
	c.must(201, "POST", ours+"/merges", `{"field":"concept","word":"mesh rail","into":"smash"}`)
	if left := c.must(200, "GET", ours+"/words?pending=true", "")["items"].([]any); len(left) != 0 {
		t.Errorf("after the merge %v still waits", left)
	}
	// overlapping bands
	c.must(422, "PUT", ours, strings.Replace(set, `"from_yd":5`, `"from_yd":4`, 1), "If-Match", now["etag"].(string))
}

func TestChainOverTheAPI(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	game := c.season()
	at := ours + "/games/" + game
	if p := c.must(200, "GET", at+"/next", ""); p["number"] != 1.0 {
		t.Errorf("before the first play: %v", p)
	}
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+
		`","number":4,"status":"counted","quarter":2,"clock_s":300,"yards_to_goal":30,"score_margin":-3,`+smash+`}`)
	p := c.must(200, "GET", at+"/next", "") // third and six from the 30, gained 8: first and ten from the 22
	if p["number"] != 5.0 || p["down"] != 1.0 || p["distance_yd"] != 10.0 || p["yards_to_goal"] != 22.0 ||
		p["clock_s"] != 300.0 || p["score_margin"] != -3.0 {
		t.Errorf("the next play: %v", p)
	}
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+
		`","number":5,"status":"counted","quarter":2,"clock_s":280,"down":2,"distance_yd":2,"yards_to_goal":22}`)
	check := c.must(200, "GET", at+"/check", "")
	breaks := check["chain"].(map[string]any)["breaks"].([]any)
	if len(breaks) != 1 || breaks[0].(map[string]any)["first"].(map[string]any)["number"] != 4.0 ||
		breaks[0].(map[string]any)["second"].(map[string]any)["number"] != 5.0 {
		t.Errorf("breaks: %v; want one between plays 4 and 5", breaks)
	}
	if tagged := check["tagged"].(map[string]any); tagged["plays"] != 2.0 || tagged["partial"] != 2.0 ||
		tagged["missing"].(map[string]any)["personnel"] != 2.0 {
		t.Errorf("tagged: %v", tagged)
	}
	c.must(404, "GET", at+"/next?after=3", "")
	c.must(404, "GET", ours+"/games/018f2c3d-0000-7000-8000-000000000000/check", "")
}
