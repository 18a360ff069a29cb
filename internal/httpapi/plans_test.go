package httpapi_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"

	"overhang/internal/staff"
)

// drives stores twelve third-and-six smashes of an opponent with a game, and n calls of the
// book, active; it returns the opponent's id and the game's.
func (c *client) drives(n int) (opponent, game string) {
	c.t.Helper()
	game = c.season()
	opponent = c.must(200, "GET", ours+"/games/"+game, "")["opponent_id"].(string)
	for i := range 12 {
		c.must(201, "POST", ours+"/plays", fmt.Sprintf(`{"game_id":"%s","number":%d,%s}`, game, i+1, smash))
	}
	for _, b := range c.must(200, "GET", "/v1/book", "")["items"].([]any)[:n] {
		raw, _ := json.Marshal(b)
		c.must(201, "POST", ours+"/calls", fmt.Sprintf(`{"name":%q,"active":true,"body":%s}`, b.(map[string]any)["name"],
			raw))
	}
	return opponent, game
}

func situation(p map[string]any, i int) map[string]any {
	return p["situations"].([]any)[i].(map[string]any)
}

// names are the calls of a situation, least stress first.
func callNames(x map[string]any) (out []string) {
	for _, k := range x["calls"].([]any) {
		out = append(out, k.(map[string]any)["call"].(string))
	}
	return out
}

// TestLifeOfAPlan: made, chosen, priced, refreshed, locked, copied, deleted, restored.
func TestLifeOfAPlan(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, game := c.drives(3)
	p := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"week 5","game_id":"`+game+`"}`)
	at := p["location"].(string)
	x := situation(p, 0)
	if p["plays"] != 12.0 {
		t.Errorf("%v plays behind the plan; want 12", p["plays"])
	}
	board := c.must(200, "GET", ours+"/opponents/o1/stress?down=3&distance_band=4-6", "")
	if x["situation"] != "3rd and 4-6" || x["plays"] != 12.0 || x["plays_behind"] != 12.0 ||
		x["from_all_plays"] != false || x["need_yd"] != board["need_yd"] || x["mix_value"] != board["mix_value"] {
		t.Errorf("the situation %v is not the board's %v", x, board)
	}
	for i, row := range board["calls"].([]any) {
		want, got := row.(map[string]any), x["calls"].([]any)[i].(map[string]any)
		if got["call"] != want["call"] || got["stress"] != want["stress"] || got["mix_share"] != want["mix_share"] ||
			got["stress_by_concept"].([]any)[0] != want["cells"].([]any)[0].(map[string]any)["stress"] {
			t.Errorf("call %d: %v; the board has %v", i, got, want)
		}
	}
	calls := callNames(x)
	// One concept: the mix is its least stressed call, and gives up what that does.
	least := x["calls"].([]any)[0].(map[string]any)["stress"].(float64)
	if rec := x["recommended_price"].(map[string]any); math.Abs(rec["worst_stress"].(float64)-least) > 1e-9 ||
		x["own_price"] != nil {
		t.Errorf("prices before a choice: %v, %v; want %v and none", rec, x["own_price"], least)
	}
	choose := fmt.Sprintf(`{"label":"week five","choices":[{"situation":"3rd and `+
		`4-6","calls":[{"call":%q,"share":0.6},{"call":%q,"share":0.2}],"note":"wet"}]}`, calls[2], calls[0])
	c.must(428, "PUT", at, choose)
	now := c.must(200, "PUT", at, choose, "If-Match", `"1"`)
	most := x["calls"].([]any)[2].(map[string]any)["stress"].(float64)
	if own := situation(now, 0)["own_price"].(map[string]any); math.Abs(own["observed_stress"].(float64)-(.75*most+
		.25*least)) > 1e-9 {
		t.Errorf("60 to 20 of %v and %v: %v", most, least, own)
	}
	if now["label"] != "week five" || now["game_id"] != nil || now["etag"] != `"2"` {
		t.Errorf("replaced: %v", now)
	}
	stale := c.must(412, "PUT", at, choose, "If-Match", `"1"`)
	if cur := stale["current"].(map[string]any); cur["version"] != 2.0 || situation(cur, 0)["choice"] == nil {
		t.Errorf("412 carries %v; want the plan as it is read", cur)
	}
	// More film, and one call fewer: the choices stay, and what has no place is named.
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":99,`+smash+`}`)
	again := c.must(200, "POST", at+"/refresh", "", "If-Match", `"2"`)
	if y := situation(again, 0); y["plays"] != 13.0 || len(y["choice"].(map[string]any)["calls"].([]any)) != 2 {
		t.Errorf("refreshed: %v", y)
	}
	if y := situation(c.must(200, "GET", at, ""), 0); y["plays"] != 13.0 {
		t.Errorf("read after refreshing: %v plays", y["plays"])
	}
	all := c.must(200, "GET", ours+"/calls?name="+strings.ReplaceAll(calls[2], " ", "+"),
		"")["items"].([]any)[0].(map[string]any)
	raw, _ := json.Marshal(all["body"])
	off := func(active bool, version int) {
		c.must(200, "PUT", ours+"/calls/"+all["id"].(string), fmt.Sprintf(`{"name":%q,"active":%v,"body":%s}`, calls[2],
			active, raw), "If-Match", fmt.Sprintf(`"%d"`, version))
	}
	off(false, 1)
	if lost := c.must(409, "POST", at+"/refresh", "", "If-Match", `"3"`); !strings.Contains(fmt.Sprint(lost["errors"]),
		"3rd and 4-6: calls[0].call") {
		t.Errorf("a chosen call that is not active: %v", lost)
	}
	off(true, 2)
	// Locked: nobody changes it; a copy is free.
	c.must(428, "POST", at+"/lock", "")
	c.must(412, "POST", at+"/lock", "", "If-Match", `"1"`)
	locked := c.must(200, "POST", at+"/lock", "", "If-Match", `"3"`, "Analyst", "carl")
	if locked["locked_at"] == nil || locked["locked_by"] != "carl" {
		t.Errorf("locked: %v", locked)
	}
	for _, ask := range [][2]string{{"PUT", at}, {"POST", at + "/lock"}, {"POST", at + "/refresh"}} {
		body := ""
		if ask[0] == "PUT" {
			body = choose
		}
		if r := c.must(409, ask[0], ask[1], body, "If-Match", `"4"`); !strings.Contains(r["detail"].(string), "copy") {
			t.Errorf("%s %s: %v; want to be told of a copy", ask[0], ask[1], r)
		}
	}
	copied := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"copy","copy_of":"`+
		locked["id"].(string)+`"}`)
	if copied["locked_at"] != nil || copied["made_at"] != locked["made_at"] ||
		situation(copied, 0)["choice"].(map[string]any)["note"] != "wet" {
		t.Errorf("copied: %v", copied)
	}
	c.must(200, "PUT", copied["location"].(string), `{"label":"copy","choices":[]}`, "If-Match", `"1"`)
	if list := c.must(200, "GET", ours+"/plans?opponent_id="+opponent, "")["items"].([]any); len(list) != 2 ||
		list[0].(map[string]any)["locked_by"] != "carl" {
		t.Errorf("listed: %v", list)
	}
	c.must(204, "DELETE", at, "", "If-Match", `"4"`)
	c.must(404, "GET", at, "")
	d := c.must(200, "GET", ours+"/deletions", "")["items"].([]any)[0].(map[string]any)
	if d["kind"] != "plans" || d["what"] != "week five, Invented opponent" {
		t.Errorf("deleted: %v", d)
	}
	c.must(200, "POST", ours+"/deletions/"+d["id"].(string)+"/restore", "")
	if back := c.must(200, "GET", at, ""); back["locked_at"] != locked["locked_at"] ||
		situation(back, 0)["plays"] != 13.0 {
		t.Errorf("restored: %v", back)
	}
}

// TestPlanRefusals: each problem names its field, and nothing of it is stored.
func TestPlanRefusals(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, _ := c.drives(2)
	other := c.must(201, "POST", ours+"/opponents", `{"code":"o2","name":"Other"}`)["id"].(string)
	p := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"a"}`)
	at, call := p["location"].(string), callNames(situation(p, 0))[0]
	put := func(choices string) string { return `{"label":"a","choices":[` + choices + `]}` }
	in := func(calls string) string { return put(`{"situation":"3rd and 4-6","calls":[` + calls + `]}`) }
	for _, tt := range []struct {
		name, method, path, body string
		status                   int
		word                     string
	}{
		{"no opponent", "POST", ours + "/plans", `{"opponent_id":"018f2c3d-0000-7000-8000-000000000000","label":"b"}`, 422,
			`"field":"opponent_id"`},
		{"no label", "POST", ours + "/plans", `{"opponent_id":"` + opponent + `"}`, 422, `label`},
		{"a label of blanks", "POST", ours + "/plans", `{"opponent_id":"` + opponent + `","label":" "}`, 422,
			`"field":"label"`},
		{"a label that is taken", "POST", ours + "/plans", `{"opponent_id":"` + opponent + `","label":"a"}`, 409,
			`"field":"label"`},
		{"a game that is none", "POST", ours + "/plans", `{"opponent_id":"` + opponent + `","label":"b","game_id":"` +
			opponent + `"}`, 422, `"field":"game_id"`},
		{"a copy of nothing", "POST", ours + "/plans", `{"opponent_id":"` + opponent + `","label":"b","copy_of":"` +
			opponent + `"}`, 422, `"field":"copy_of"`},
		{"a copy of another's", "POST", ours + "/plans", `{"opponent_id":"` + other + `","label":"b","copy_of":"` +
			p["id"].(string) + `"}`, 422, `"field":"copy_of"`},
		{"a situation that is none", "PUT", at, put(`{"situation":"5th down","calls":[]}`), 422,
			`"field":"choices[0].situation"`},
		{"an unknown call", "PUT", at, in(`{"call":"cover 9","share":1}`), 422, `"field":"choices[0].calls[0].call"`},
		{"a share below 0", "PUT", at, in(`{"call":"` + call + `","share":-0.1}`), 422, `"field":"choices.0.calls.0.share"`},
		{"shares over 1", "PUT", at, in(`{"call":"` + call + `","share":0.9},{"call":"` + callNames(situation(p, 0))[1] +
			`","share":0.2}`), 422, `"field":"choices[0].calls"`},
		{"a call twice", "PUT", at, in(`{"call":"` + call + `","share":0.1},{"call":"` + call + `","share":0.2}`), 422,
			`"field":"choices[0].calls[1].call"`},
		{"an unknown field", "PUT", at, `{"label":"a","choices":[],"situations":[]}`, 422, "situations"},
		{"no plan", "GET", ours + "/plans/018f2c3d-0000-7000-8000-000000000000", "", 404, "plan"},
		{"a filter that is none", "GET", ours + "/plans?opponent_id=seven", "", 400, "opponent_id"},
	} {
		resp, raw := c.do(tt.method, tt.path, tt.body, "If-Match", `"1"`)
		if resp.StatusCode != tt.status || !strings.Contains(raw, tt.word) {
			t.Errorf("%s: %d %s; want %d naming %q", tt.name, resp.StatusCode, raw, tt.status, tt.word)
		}
	}
	if list := c.must(200, "GET", ours+"/plans", "")["items"].([]any); len(list) != 1 ||
		list[0].(map[string]any)["version"] != 1.0 {
		t.Errorf("refused requests left %v", list)
	}
	// Of an opponent nobody has film of, and without calls, there is a plan that says nothing yet.
	if empty := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+other+
		`","label":"a"}`); len(empty["situations"].([]any)) != 0 {
		t.Errorf("a plan of nothing: %v", empty)
	}
}

// TestPlanOnce: a create with a key may be repeated though more film has come in since.
func TestPlanOnce(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, game := c.drives(2)
	ask := `{"opponent_id":"` + opponent + `","label":"a"}`
	first := c.must(201, "POST", ours+"/plans", ask, "Idempotency-Key", "k")
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":99,`+smash+`}`)
	if again := c.must(201, "POST", ours+"/plans", ask, "Idempotency-Key", "k"); again["id"] != first["id"] ||
		situation(again, 0)["plays"] != 12.0 {
		t.Errorf("repeated: %v; want %v", again, first)
	}
	c.must(422, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"b"}`, "Idempotency-Key", "k")
	if list := c.must(200, "GET", ours+"/plans", "")["items"].([]any); len(list) != 1 {
		t.Errorf("%d plans; want one", len(list))
	}
}

// TestPlanRoles: a reader and an analyst read, a coordinator writes; the login of who
// locks stands in the plan.
func TestPlanRoles(t *testing.T) {
	t.Parallel()
	c, s := guarded(t)
	by := map[staff.Role]*client{}
	for _, r := range staff.Roles {
		by[r] = c.person(s, "ours", string(r), r)
	}
	opponent, _ := by[staff.Owner].drives(2)
	p := by[staff.Coordinator].must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"a"}`)
	at := p["location"].(string)
	for _, r := range []staff.Role{staff.Reader, staff.Analyst} {
		by[r].must(200, "GET", at, "")
		by[r].must(200, "GET", ours+"/plans", "")
		by[r].must(403, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"b"}`)
		by[r].must(403, "PUT", at, `{"label":"b","choices":[]}`, "If-Match", `"1"`)
		by[r].must(403, "POST", at+"/refresh", "", "If-Match", `"1"`)
		by[r].must(403, "POST", at+"/lock", "", "If-Match", `"1"`)
		by[r].must(403, "DELETE", at, "", "If-Match", `"1"`)
	}
	by[staff.Coordinator].must(200, "PUT", at, `{"label":"b","choices":[]}`, "If-Match", `"1"`)
	if locked := by[staff.Coordinator].must(200, "POST", at+"/lock", "", "If-Match",
		`"2"`); locked["locked_by"] != "coordinator" {
		t.Errorf("locked by %v", locked["locked_by"])
	}
	by[staff.Coordinator].must(204, "DELETE", at, "", "If-Match", `"3"`)
	d := by[staff.Owner].must(200, "GET", ours+"/deletions", "")["items"].([]any)[0].(map[string]any)["id"].(string)
	by[staff.Analyst].must(403, "POST", ours+"/deletions/"+d+"/restore", "")
	by[staff.Coordinator].must(200, "POST", ours+"/deletions/"+d+"/restore", "")
}

// TestPlanSheet: the call sheet of a plan prints what the plan says, whatever is tagged
// since; without a plan it is what it was.
func TestPlanSheet(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, game := c.drives(3)
	other := c.must(201, "POST", ours+"/opponents", `{"code":"o2","name":"Other"}`)["id"].(string)
	p := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"week 5","game_id":"`+game+`"}`)
	theirs := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+other+`","label":"a"}`)["id"].(string)
	const sheet = ours + "/opponents/o1/sheets/call?date=2026-09-04"
	at, id := p["location"].(string), p["id"].(string)
	before := c.must(200, "GET", sheet+"&plan="+id, "")
	if before["plan"].(map[string]any)["label"] != "week 5" || before["game"] != "week 1" || before["plays"] != 12.0 {
		t.Errorf("the sheet of a plan: %v", before)
	}
	if without := c.must(200, "GET", sheet, ""); without["plan"] != nil ||
		without["boxes"].([]any)[0].(map[string]any)["own_choice"] != nil {
		t.Errorf("the sheet of no plan: %v", without)
	}
	calls := callNames(situation(p, 0))
	c.must(200, "PUT", at,
		fmt.Sprintf(`{"label":"week 5","choices":[{"situation":"3rd and `+
			`4-6","calls":[{"call":%q,"share":0.2},{"call":%q,"share":0.5}],"note":"wet"}]}`, calls[0], calls[2]), "If-Match",
		`"1"`)
	c.must(201, "POST", ours+"/plays", `{"game_id":"`+game+`","number":99,`+smash+`}`)
	locked := c.must(200, "POST", at+"/lock", "", "If-Match", `"2"`)
	got := c.must(200, "GET", sheet+"&plan="+id+"&for_game=the+final", "")
	box := got["boxes"].([]any)[0].(map[string]any)
	picks := box["picks"].([]any)
	if got["plan"].(map[string]any)["locked_at"] != locked["locked_at"] || got["game"] != "the final" ||
		box["plays"] != 12.0 || box["own_choice"] != true || box["note"] != "wet" || len(picks) != 2 {
		t.Errorf("the sheet of a locked plan: %v", got)
	}
	for i, want := range []struct {
		call  string
		share float64
	}{{calls[2], .5}, {calls[0], .2}} {
		if k := picks[i].(map[string]any); k["call"] != want.call || k["own_share"] != want.share {
			t.Errorf("pick %d: %v; want %v", i, k, want)
		}
	}
	rows := c.tables(sheet + "&format=csv&plan=" + id)["calls"]
	if len(rows) != 2 || rows[0]["own_choice"] != "true" || same(rows[0], "own_share", .5) != "" || same(rows[0], "stress",
		picks[0].(map[string]any)["stress"]) != "" {
		t.Errorf("as CSV: %v", rows)
	}
	for _, format := range []string{"html", "pdf", "xlsx"} {
		if resp, raw := c.do("GET", sheet+"&format="+format+"&plan="+id, ""); resp.StatusCode != 200 ||
			format == "html" && !strings.Contains(raw, "Call sheet, locked") {
			t.Errorf("as %s: %d", format, resp.StatusCode)
		}
	}
	for query, want := range map[string]int{"&plan=seven": 400, "&plan=" + id + "&down=3": 400, "&plan=" + opponent: 404,
		"&plan=" + theirs: 404} {
		c.must(want, "GET", sheet+query, "")
	}
	// Every sheet is of the plan that was locked last, and says so; none is asked for by name.
	for _, kind := range []string{"call", "position", "scout", "practice", "quiz"} {
		at := ours + "/opponents/o1/sheets/" + kind
		for query, want := range map[string]string{"": "week 5, locked", "?plan=" + id: "week 5, locked",
			"?plan=none": "No plan"} {
			if got := c.must(200, "GET", at+query, ""); !strings.HasPrefix(got["whose_choice"].(string), want) {
				t.Errorf("%s%s prints the choice of %v; want %s", kind, query, got["whose_choice"], want)
			}
		}
		c.must(400, "GET", at+"?plan=seven", "")
	}
}

// TestMixLimits: limits come with a plan's choices, through the API and the page's form; the
// mix keeps to them and says so, and what no mix can hold is refused by its field.
func TestMixLimits(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, _ := c.drives(5)
	p := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"week 5"}`)
	at, last := p["location"].(string), callNames(situation(p, 0))[4]
	ask := func(limits string) string {
		return `{"label":"week 5","choices":[{"situation":"3rd and 4-6","calls":[],"limits":` + limits + `}]}`
	}
	floor := fmt.Sprintf(`{"shares":[{"call":%q,"at_least":0.2}]}`, last)
	now := c.must(200, "PUT", at, ask(floor), "If-Match", `"1"`)
	x := situation(now, 0)
	got := x["calls"].([]any)[4].(map[string]any)
	if share := got["mix_share"].(float64); math.Abs(share-.2) > 1e-9 ||
		!strings.Contains(fmt.Sprint(got["mix_for"]), "held at your floor of 20%") {
		t.Errorf("%s is called %v for %v", last, share, got["mix_for"])
	}
	price := x["recommended_price"].(map[string]any)
	if cost, _ := x["limits_cost_points"].(float64); cost <= 0 || price["gives_up_points"] == nil ||
		price["gives_up_low"].(float64) > price["gives_up_points"].(float64) {
		t.Errorf("the floor costs %v, the price is %v", x["limits_cost_points"], price)
	}
	page := "/programs/ours/opponents/o1/plans/" + now["id"].(string)
	_, html := c.do("GET", page, "")
	for _, want := range []string{"held at your floor of 20%", "Your limits cost", `name="least.0.0" value="20"`} {
		if !strings.Contains(html, want) {
			t.Errorf("the page does not hold %q", want)
		}
	}
	form := url.Values{"version": {"2"}, "label": {"week 5"}, "do": {"save"}, "situation.0": {"3rd and 4-6"},
		"cap.0.0": {last}, "most.0.0": {"0"}, "cap.0.1": {callNames(x)[3]}, "least.0.1": {"30"}, "atmost.0": {"2"}}
	c.do("POST", page, form.Encode(), "Content-Type", "application/x-www-form-urlencoded")
	x = situation(c.must(200, "GET", at, ""), 0)
	if share := x["calls"].([]any)[3].(map[string]any)["mix_share"].(float64); math.Abs(share-.3) > 1e-9 {
		t.Errorf("after the form %v: %v", share, x["choice"])
	}
	for field, limits := range map[string]string{
		"choices[0].limits.shares": `{"only":true,"shares":[{"call":"` + last + `","at_most":0.5}]}`,
		"limits.at_most":           `{"at_most":-1}`, "limits.none": `{"none":1}`,
	} {
		if r, raw := c.do("PUT", at, ask(limits), "If-Match", `"3"`); r.StatusCode < 400 ||
			!strings.Contains(raw, field[strings.LastIndex(field, ".")+1:]) {
			t.Errorf("%s: %d %s", limits, r.StatusCode, raw)
		}
	}
}

// TestPlanRows: the plan as a table has a row a call of a situation, with the numbers it is read
// with, and the choice beside the mix.
func TestPlanRows(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, _ := c.drives(3)
	p := c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"week 5"}`)
	at := p["location"].(string)
	calls := callNames(situation(p, 0))
	p = c.must(200, "PUT", at, fmt.Sprintf(`{"label":"week 5","choices":[{"situation":"3rd and 4-6","calls":[{"call":%q,`+
		`"share":0.6}],"note":"wet"}]}`, calls[2]), "If-Match", `"1"`)
	resp, text := c.do("GET", at+"?format=csv", "")
	recs, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(recs) < 2 {
		t.Fatal(resp.StatusCode, err, text)
	}
	column := func(rec []string, name string) string { return rec[slices.Index(recs[0], name)] }
	n := 1
	for i, x := range p["situations"].([]any) {
		for j, y := range x.(map[string]any)["calls"].([]any) {
			call, rec, chosen := y.(map[string]any), recs[n], ""
			n++
			if i == 0 {
				chosen = map[bool]string{true: "0.6", false: "0"}[j == 2]
			}
			stress, _ := strconv.ParseFloat(column(rec, "stress"), 64)
			share, _ := strconv.ParseFloat(column(rec, "mix_share"), 64)
			if column(rec, "call") != call["call"] || stress != call["stress"] || share != call["mix_share"] ||
				column(rec, "situation") != x.(map[string]any)["situation"] || column(rec, "chosen_share") != chosen {
				t.Errorf("row %d is %v, the plan says %v", n, rec, call)
			}
		}
	}
	if n != len(recs) || column(recs[1], "distance_band") != "4-6" || column(recs[1], "note") != "wet" {
		t.Errorf("%d rows of %d; %v", n, len(recs), recs[1])
	}
	if again, _ := c.do("GET", at+"?format=csv", "", "If-None-Match", resp.Header.Get("ETag")); again.StatusCode != 304 {
		t.Errorf("asked again: %d", again.StatusCode)
	}
}

// TestPlanWithoutMix: without a call there is no mix: a plan says null, as its board.
func TestPlanWithoutMix(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	opponent, _ := c.drives(0)
	x := situation(c.must(201, "POST", ours+"/plans", `{"opponent_id":"`+opponent+`","label":"early"}`), 0)
	board := c.must(200, "GET", ours+"/opponents/o1/stress?down=3&distance_band=4-6", "")
	for of, y := range map[string]map[string]any{"plan": x, "board": board} {
		if v, there := y["mix_value"]; !there || v != nil || y["mix_gives_up_points"] != nil {
			t.Errorf("the %s has a mix of %v, %v points", of, v, y["mix_gives_up_points"])
		}
	}
}
