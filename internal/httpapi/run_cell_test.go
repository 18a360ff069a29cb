package httpapi_test

import (
	"fmt"
	"html"
	"net/url"
	"strings"
	"testing"
)

// TestRunCell: a cell of a run says who is the extra man and who has which gap, also where
// nobody tagged a family; the board, the trial and the written-out play say the same.
func TestRunCell(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	c.smashes()
	game := c.must(200, "GET", ours+"/games", "")["items"].([]any)[0].(map[string]any)["id"]
	for _, w := range []string{`{"field":"concept","word":"power"}`, `{"field":"set_name","word":"2x1"}`} {
		c.must(201, "POST", ours+"/words", w)
	}
	for i := range 9 {
		c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,"down":1,"distance_yd":10,
			"status":"counted","called":"run","concept":"power","set_name":"2x1","play_side":"right"}`, game, 50+i))
	}
	board := c.must(200, "GET", ours+"/opponents/o1/stress", "")
	_, cell := cellOf(board, "cover 3 sky", map[string]any{"concept": "power", "set_name": "2x1"})
	meets, ok := cell["run"].(map[string]any)
	if !ok || !strings.Contains(fmt.Sprint(meets["sentence"]), "in the box") {
		t.Fatalf("the board's cell meets %v", cell)
	}
	q := url.Values{"concept": {"power"}, "set_name": {"2x1"}, "family": {"run"}, "call": {"cover 3 sky"}}
	r, page := c.do("GET", "/programs/ours/opponents/o1/cell?"+q.Encode(), "")
	page = html.UnescapeString(page)
	for _, want := range []string{meets["sentence"].(string), "Who has which gap", "strong C", "Extra: "} {
		if r.StatusCode != 200 || !strings.Contains(page, want) {
			t.Errorf("%d: the page lacks %q", r.StatusCode, want)
		}
	}
	tried := c.must(200, "POST", ours+"/opponents/o1/try",
		`{"call":"cover 3 sky","concept":"power","set_name":"2x1","family":"run","everything":true}`)
	if got := tried["play"].(map[string]any)["run"].(map[string]any)["sentence"]; got != meets["sentence"] {
		t.Errorf("tried: %v, on the board %v", got, meets["sentence"])
	}
	c.must(200, "GET", ours+"/opponents/o1/answers?"+q.Encode(), "")
	play := func(concept string) string {
		return c.must(200, "POST", "/v1/stress", `{"call":"cover 3 sky","picture":"B1 block","set_name":"2x1",
			"family":"run","concept":"`+concept+`"}`)["run"].(map[string]any)["gap"].(string)
	}
	if a, b := play("power"), play("trap"); a != meets["gap"] || a == b {
		t.Errorf("power is aimed at %s, trap at %s, on the board power at %v", a, b, meets["gap"])
	}
}
