package httpapi_test

import (
	"net/url"
	"strconv"
	"strings"
	"testing"

	"overhang/internal/reports"
	"overhang/internal/reports/paper"
)

// TestSheets asks for every sheet in every form, with plays behind it and without.
func TestSheets(t *testing.T) {
	c, _ := serve(t)
	c.smashes()
	c.must(201, "POST", ours+"/opponents", `{"code":"new","name":"Nobody yet"}`)
	for _, kind := range reports.Names(reports.ForField) {
		for _, who := range []string{"o1", "new"} {
			path := ours + "/opponents/" + who + "/sheets/" + kind + "?date=2026-09-04&for_game=week+3"
			if got := c.must(200, "GET", path, ""); got["date"] != "2026-09-04T00:00:00Z" || got["game"] != "week 3" {
				t.Errorf("%s of %s: date %v, game %v", kind, who, got["date"], got["game"])
			}
			for format, media := range paper.Formats {
				if testing.Short() && format != "pdf" {
					continue
				}
				resp, body := c.do("GET", path+"&paper=a4&format="+format, "")
				if resp.StatusCode != 200 || resp.Header.Get("Content-Type") != media || len(body) < 100 {
					t.Errorf("%s of %s as %s: %d, %q, %d bytes", kind, who, format, resp.StatusCode, resp.Header.Get("Content-Type"),
						len(body))
				}
			}
		}
	}
	for path, want := range map[string]int{
		"/sheets/napkin": 404, "/sheets/position?call=nothing": 404, "/sheets/position?defender=nobody": 404,
		"/sheets/position?date=yesterday": 400, "/sheets/position?format=docx": 400, "/sheets/position?paper=a5": 400,
		"/sheets/position?downn=3": 400,
	} {
		if resp, body := c.do("GET", ours+"/opponents/o1"+path, ""); resp.StatusCode != want {
			t.Errorf("%s: %d, want %d: %s", path, resp.StatusCode, want, body)
		}
	}
}

// TestPositionOverAPI: one man of one call under a situation.
func TestPositionOverAPI(t *testing.T) {
	c, _ := serve(t)
	c.smashes()
	got := c.must(200, "GET", ours+"/opponents/o1/sheets/position?call=cover+2+spot&defender=corner", "")
	ps := got["positions"].([]any)
	if len(ps) != 1 {
		t.Fatalf("%d positions, want the corner of both sides", len(ps))
	}
	// Trade notes 0.2, K1: cover 2 corner, hitch under, corner route over.
	conflict := ps[0].(map[string]any)["conflict"].(map[string]any)
	if s := conflict["finding"].(map[string]any)["sentence"].(string); !strings.Contains(s,
		"#2 corner and #1 hitch (high-low)") {
		t.Errorf("conflict: %s", s)
	}
	if got["plays"] != 10.0 {
		t.Errorf("%v plays, want the ten smashes", got["plays"])
	}
	if none := c.must(200, "GET", ours+"/opponents/o1/sheets/position?call=cover+2+spot&defender=corner&down=4",
		""); none["plays"] != 0.0 {
		t.Errorf("fourth down: %v plays, want none", none["plays"])
	}
}

// proposalsAreAnswers holds what the position sheets propose against the API's answers
// to the same finding: the first that cures and costs nothing, or nothing where there
// is none.
func proposalsAreAnswers(t *testing.T, c *client) {
	board := c.must(200, "GET", alder+"/stress?down=3", "")
	proposed, none, called := 0, 0, ""
	for _, p := range c.must(200, "GET", alder+"/sheets/position?down=3", "")["positions"].([]any) {
		p := p.(map[string]any)
		conflict, ok := p["conflict"].(map[string]any)
		if !ok {
			continue
		}
		_, cell := cellOf(board, p["call"].(string), conflict)
		place := 0
		for i, f := range cell["findings"].([]any) {
			if f.(map[string]any)["sentence"] == conflict["finding"].(map[string]any)["sentence"] {
				place = i + 1
			}
		}
		q := url.Values{"call": {p["call"].(string)}, "concept": {conflict["concept"].(string)},
			"set_name": {conflict["set_name"].(string)}, "finding": {strconv.Itoa(place)}, "per_kind": {"1"}, "down": {"3"}}
		var free map[string]any
		for _, a := range c.must(200, "GET", alder+"/answers?"+q.Encode(), "")["items"].([]any) {
			if a := a.(map[string]any); free == nil && a["cures"] == true && a["hurts"] == nil && a["net_yd"].(float64) >= 0 {
				free = a
			}
		}
		x, ok := conflict["proposed"].(map[string]any)
		if ok != (free != nil) {
			t.Errorf("%s in %s: proposed %v, free %v", p["defender"], p["call"], x, free)
			continue
		}
		if !ok {
			none++
			continue
		}
		proposed++
		called = p["call"].(string)
		if x["kind"] != free["kind"] || !alike(x["gain_yd"], free["gain_yd"]) || !alike(x["net_yd"], free["net_yd"]) {
			t.Errorf("%s in %s: proposed %v; the API %v", p["defender"], p["call"], x, free["words"])
		}
		for _, r := range free["taught"].([]any) {
			if r := r.(map[string]any); !strings.Contains(x["words"].(string), r["when"].(string)+": "+r["do"].(string)) {
				t.Errorf("%s in %s: proposed %q; the API teaches %v", p["defender"], p["call"], x["words"], r)
			}
		}
	}
	if proposed == 0 || none == 0 {
		t.Errorf("%d proposals, %d conflicts without: the season tests too little", proposed, none)
	}
	_, page := c.do("GET", alder+"/sheets/position?format=html&down=3&call="+url.QueryEscape(called), "")
	if !strings.Contains(page, "Proposed, not taught yet:") {
		t.Error("the sheet of a man with a proposal does not say that it is none of his rules yet")
	}
}
