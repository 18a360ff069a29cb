package httpapi_test

import (
	"strings"
	"testing"

	"overhang/internal/tags"
)

// routes tags receivers of the left side, number 1 first, as route@depth.
func routes(side string, items ...string) (out []tags.Route) {
	for i, item := range items {
		name, depth, _ := strings.Cut(item, "@")
		r := tags.Route{Side: side, Number: i + 1, Eligible: "receiver", Route: name}
		switch depth {
		case "6":
			r.BreakDepthYd = ptr(6.0)
		case "12":
			r.BreakDepthYd = ptr(12.0)
		case "3":
			r.BreakDepthYd = ptr(3.0)
		}
		out = append(out, r)
	}
	return out
}

// TestConcepts: a picture says median, spread and count by receiver, and who
// disagrees; a play without a concept is told the nearest picture, and not tagged.
func TestConcepts(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	for _, w := range []string{"hitch", "corner", "flat", "go"} {
		c.word(s, "route", w)
	}
	c.word(s, "concept", "our smash")
	c.word(s, "set_name", "2x2")
	named := func(side string, items ...string) tags.Play {
		return tags.Play{Concept: ptr("our smash"), Family: ptr("dropback"), SetName: ptr("2x2"), PlaySide: &side,
			Routes: routes(side, items...)}
	}
	bare := func(side string, items ...string) tags.Play {
		return tags.Play{SetName: ptr("2x2"), Routes: routes(side, items...)}
	}
	load(t, s, "a", 1, named("left", "hitch@6", "corner@12"), named("right", "hitch@6", "corner@12"),
		named("left", "flat@3", "corner@12"),
		bare("right", "hitch@6", "corner@12"), // 4: the opponent's own picture, on the side it fits
		bare("left", "corner@12", "flat@3"),   // 5: corner over flat, from the library
		bare("left", "go", "go", "flat@3"))    // 6
	_, items := c.items("items", ours+"/opponents/o1/concepts")
	k := items[0]
	r := k["receivers"].([]any)[0].(map[string]any)
	if len(items) != 1 || k["plays"] != 3.0 || k["picture"] != "P1 hitch@6, P2 corner@12" || r["plays"] != 2.0 ||
		r["median_depth_yd"] != 6.0 || r["disagreements"].([]any)[0] != "flat 1" {
		t.Errorf("concept picture %v", items)
	}
	if _, few := c.items("items", ours+"/opponents/o1/concepts?least_plays=4"); len(few) != 0 {
		t.Errorf("of 4 plays at least: %v", few)
	}
	if why := c.must(200, "GET", ours+"/opponents/o1/concepts?concept=(unknown)",
		"")["why_empty"]; why != "3 plays meet the filters, but on none of them is all tagged that this question needs" {
		t.Errorf("no plays with a concept: %v", why)
	}
	c.must(201, "POST", ours+"/opponents", `{"code": "nobody, yet", "name": "Nobody"}`)
	if why := c.must(200, "GET", ours+"/opponents/nobody%2C%20yet/concepts", "")["why_empty"]; why !=
		"no play meets all filters together: of 6 counted plays, opponent=nobody, yet alone leaves 0" {
		t.Errorf("an opponent without plays: %v", why)
	}
	if n := c.must(200, "GET", ours+"/tendencies?by=down&opponent=nobody,%20yet,o1", "")["total"]; n != 6.0 {
		t.Errorf("of two opponents, one with a comma: %v plays, want 6", n)
	}
	for _, format := range []string{"csv", "xlsx"} {
		c.do("GET", ours+"/opponents/o1/concepts?format="+format, "")
	}
	ans, found := c.items("items", ours+"/opponents/o1/concept-suggestions")
	if ans["plays"] != 3.0 || len(found) != 3 {
		t.Fatalf("%v plays without a concept, %d suggestions; want 3", ans["plays"], len(found))
	}
	by := map[float64]map[string]any{}
	for _, f := range found {
		by[f["number"].(float64)] = f
	}
	if n := by[4]["nearest"].(map[string]any); n["concept"] != "our smash" || n["from"] != "opponent" ||
		n["apart"] != 0.0 || n["near"] != true || by[4]["play_side"] != "right" {
		t.Errorf("the same routes as his own: %v", by[4])
	}
	// Corner by #1 over a flat by #2 is bench (library.csv: CCRAFT).
	if n := by[5]["nearest"].(map[string]any); n["concept"] != "bench" || n["from"] != "library" || n["apart"] != 0.0 {
		t.Errorf("corner over flat: %v", by[5])
	}
	if n := by[6]["nearest"].(map[string]any); n["near"] != false || !(n["apart"].(float64) > .35) {
		t.Errorf("routes of no concept: %v", by[6])
	}
	if left := c.values("concept", ""); left["?"] != 3 {
		t.Errorf("%d plays have no concept; a suggestion must not tag", left["?"])
	}
}
