package httpapi_test

import (
	"strings"
	"testing"

	"overhang/internal/reports"
	"overhang/internal/reports/paper"
)

// TestSheets asks for every sheet in every form, with plays behind it and without.
func TestSheets(t *testing.T) {
	t.Parallel()
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
	t.Parallel()
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
		"#2 on the corner and #1 on the hitch (high-low)") {
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
