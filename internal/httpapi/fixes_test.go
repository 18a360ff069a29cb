package httpapi_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"overhang/internal/demo"
)

// alike says that two numbers of two answers are the same but for the order in which
// they were added up.
func alike(a, b any) bool {
	x, ok1 := a.(float64)
	y, ok2 := b.(float64)
	return ok1 && ok2 && math.Abs(x-y) < 1e-9
}

// A cellOf the board is named by its call and its concept.
func cellOf(board map[string]any, call string, concept map[string]any) (row, cell map[string]any) {
	for _, r := range board["calls"].([]any) {
		if row = r.(map[string]any); row["call"] != call {
			continue
		}
		for _, c := range row["cells"].([]any) {
			cell = c.(map[string]any)
			k := board["concepts"].([]any)[int(cell["concept"].(float64))].(map[string]any)
			if k["concept"] == concept["concept"] && k["set_name"] == concept["set_name"] {
				return row, cell
			}
		}
	}
	return nil, nil
}

// largest is the first finding of a cell: its yards and its sentence.
func largest(cell map[string]any) (float64, any) {
	if fs := cell["findings"].([]any); len(fs) > 0 {
		f := fs[0].(map[string]any)
		return f["beyond_yd"].(float64), f["sentence"]
	}
	return 0, nil
}

// TestFixesAreTheBoard holds what answers say against the board: as it is now, and
// as it is once the changed call is stored and played like any other; on second down, where a
// picture is played in more than one way.
func TestFixesAreTheBoard(t *testing.T) {
	t.Parallel()
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	board := c.must(200, "GET", alder+"/stress?down=2", "")
	cures, asked, outs := 0, []listedFix{}, [][2]map[string]any{}
	for _, w := range c.must(200, "GET", alder+"/reports/stress?down=2", "")["worst"].([]any) {
		w := w.(map[string]any)
		call := w["call"].(string)
		row, cell := cellOf(board, call, w)
		place := 0
		for i, f := range cell["findings"].([]any) {
			if f.(map[string]any)["sentence"] == w["finding"].(map[string]any)["sentence"] {
				place = i + 1
			}
		}
		query := fmt.Sprintf("down=2&per_kind=3&finding=%d&", place) + url.Values{"call": {call},
			"concept": {w["concept"].(string)}, "set_name": {w["set_name"].(string)}}.Encode()
		out := c.must(200, "GET", alder+"/answers?"+query, "")
		if mustJSON(out["finding"]) != mustJSON(w["finding"]) || out["plays"] != w["plays"] ||
			out["all_plays"] != board["covered"] || out["need_yd"] != board["need_yd"] {
			t.Errorf("%s: the answers are to %v, the report has %v", query, out["finding"], w["finding"])
		}
		size, _ := largest(cell)
		for _, a := range out["items"].([]any) {
			a := a.(map[string]any)
			if !alike(a["stress_before"], cell["stress"]) || !alike(a["all_stress_before"], row["stress"]) ||
				!alike(a["gives_up_before"], cell["gives_up_points"]) ||
				!alike(a["all_gives_up_before"], row["gives_up_points"]) || !alike(a["worst_before_yd"], size) {
				t.Errorf("%s: before it says %v; the board's cell %v, row %v", query, a, cell, row)
			}
			if a["cures"] == true {
				cures++
			}
			name := fmt.Sprint("changed ", len(asked)+1)
			asked = append(asked, listedFix{query, call, name, w, a})
			body, _ := json.Marshal(map[string]any{"name": name, "active": true, "body": a["call"]})
			c.must(201, "POST", "/v1/programs/demo/calls", string(body))
		}
		outs = append(outs, [2]map[string]any{w, out})
	}
	then, hurt := c.must(200, "GET", alder+"/stress?down=2", ""), 0
	for i := range asked {
		hurt += asked[i].hold(t, then)
	}
	for _, x := range outs {
		insteadOf(t, then, x[0], x[1])
	}
	t.Logf("%d listed fixes stored, %d cures, %d that hurt a picture", len(asked), cures, hurt)
	if hurt == 0 || len(asked) < 5 {
		t.Errorf("%d that hurt, %d stored: the season tests too little", hurt, len(asked))
	}
	answersAsTables(t, c, asked[0].query)
}

// A listedFix is one that was listed for a conflict of a call, and stored under a name.
type listedFix struct {
	query, call, name string
	conflict, says    map[string]any
}

// hold holds what the fix says against the board with the stored call on it, and counts
// whether it hurts a picture.
func (f *listedFix) hold(t *testing.T, board map[string]any) int {
	t.Helper()
	a := f.says
	row, cell := cellOf(board, f.name, f.conflict)
	size, sentence := largest(cell)
	if !alike(a["stress_after"], cell["stress"]) || !alike(a["all_stress_after"], row["stress"]) ||
		!alike(a["gives_up_after"], cell["gives_up_points"]) || !alike(a["all_gives_up_after"], row["gives_up_points"]) ||
		!alike(a["worst_after_yd"], size) || a["sentence_after"] != sentence {
		t.Errorf("%s: after %v it says %v; the board's cell %v, row %v", f.query, a["words"], a, cell, row)
	}
	if wins := a["all_gives_up_before"].(float64) - a["all_gives_up_after"].(float64); wins < 0.005 {
		t.Errorf("%s: %v wins %.4f points over everything", f.query, a["words"], wins)
	}
	h, ok := a["hurts"].(map[string]any)
	if !ok {
		return 0
	}
	_, was := cellOf(board, f.call, h)
	_, is := cellOf(board, f.name, h)
	from, _ := largest(was)
	to, said := largest(is)
	if !alike(h["from_yd"], from) || !alike(h["to_yd"], to) || h["sentence"] != said {
		t.Errorf("%s: it hurts %v; the board says from %v to %v", f.query, h, from, to)
	}
	return 1
}

// insteadOf: where no change helps, another call is named that the board has at those numbers.
func insteadOf(t *testing.T, board, conflict, out map[string]any) {
	t.Helper()
	x, ok := out["instead"].(map[string]any)
	if len(out["items"].([]any)) > 0 || !ok {
		if ok {
			t.Errorf("changes help, and still: call %v", x)
		}
		return
	}
	row, cell := cellOf(board, x["call"].(string), conflict)
	if !alike(x["gives_up_after"], cell["gives_up_points"]) || !alike(x["all_gives_up_after"], row["gives_up_points"]) {
		t.Errorf("instead %v; the board's cell %v, row %v", x, cell, row)
	}
}

// answersAsTables holds the other forms against the JSON form.
func answersAsTables(t *testing.T, c *client, answered string) {
	const cell = "call=cover+1&concept=flood&set_name=3x1&family=dropback,(unknown)&down=2"
	for _, path := range []string{"/answers?" + answered, "/sweeps/alignment?reach_yd=1&defender=strong+overhang&" + cell,
		"/sweeps/break?receiver=P2&from_yd=4&to_yd=9&" + cell} {
		out := c.must(200, "GET", alder+path, "")
		_, raw := c.do("GET", alder+path+"&format=csv", "")
		recs, err := csv.NewReader(strings.NewReader(raw)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		var lines []any
		switch {
		case out["items"] != nil:
			lines = out["items"].([]any)
		case out["breaks"] != nil:
			lines = out["breaks"].([]any)
		default:
			for _, row := range out["spots"].([]any) {
				lines = append(lines, row.([]any)...)
			}
		}
		var table []map[string]string
		for _, r := range recs[1:] {
			m := map[string]string{}
			for i, v := range r {
				m[recs[0][i]] = strings.NewReplacer("true", "yes", "false", "no").Replace(v)
			}
			table = append(table, m)
		}
		var both []string
		for _, col := range recs[0] {
			if v, ok := lines[0].(map[string]any)[col]; ok && col != "rules" && col != "call" && v != nil {
				both = append(both, col)
			}
		}
		if len(both) < 5 {
			t.Errorf("%s: only %v stand in the table and in the answer", path, both)
		}
		compare(t, path, table, lines, both...)
		_, raw = c.do("GET", alder+path+"&format=xlsx", "")
		f, err := excelize.OpenReader(bytes.NewReader([]byte(raw)))
		if err != nil {
			t.Fatal(err)
		}
		if rows, err := f.GetRows(f.GetSheetName(0)); err != nil || len(rows) != len(recs) {
			t.Errorf("%s: %d lines in the workbook, %d in the CSV, %v", path, len(rows), len(recs), err)
		}
	}
	for path, word := range map[string]string{"/sweeps/alignment?defender=strong+overhang": "where the strong overhang lines up", "/sweeps/break?receiver=P2": "P2 sail, broken at another depth"} {
		_, svg := c.do("GET", alder+path+"&width_mm=120&format=svg&"+cell, "")
		wellFormed(t, path, svg)
		if _, pdf := c.do("GET", alder+path+"&"+cell, "", "Accept", "application/pdf"); !strings.Contains(svg, word) ||
			!strings.HasPrefix(pdf, "%PDF-") {
			t.Errorf("%s: drawn %.300s, as PDF %.20q", path, svg, pdf)
		}
	}
	// Where he stands is where the board has him.
	board := c.must(200, "GET", alder+"/stress?down=2&concept=flood", "")
	row, _ := cellOf(board, "cover 1", map[string]any{"concept": "flood", "set_name": "3x1"})
	sweep := c.must(200, "GET", alder+"/sweeps/alignment?defender=strong+overhang&"+cell, "")
	if here := sweep["spots"].([]any)[3].([]any)[3].(map[string]any); here["offset_yd"] != sweep["align"].(map[string]any)["offset_yd"] || here["depth_yd"] != sweep["align"].(map[string]any)["depth_yd"] || row == nil {
		t.Errorf("the middle of the grid is %v, he is taught %v", here, sweep["align"])
	}
}

func TestAnswerRefusals(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	c.smashes()
	const o = ours + "/opponents/o1"
	const cell = "?concept=smash&call=cover+2+spot"
	question := `{"call":"cover 2 spot","picture":"P1 hitch@6, P2 corner@12"}`
	for _, tt := range []struct {
		method, path, body string
		status             int
		word               string
	}{
		{"GET", o + "/answers?concept=smash", "", 400, `"field":"call"`},
		{"GET", o + "/answers?call=cover+1", "", 400, `"field":"concept"`},
		{"GET", o + "/answers" + cell + "&finding=40", "", 400, `"field":"finding"`},
		{"GET", o + "/answers" + cell + "&per_kind=0", "", 400, `"field":"per_kind"`},
		{"GET", o + "/answers" + cell + "&format=pdf", "", 400, `"field":"format"`},
		{"GET", o + "/answers" + cell + "&dwon=3", "", 400, `"field":"dwon"`},
		{"GET", o + "/answers?concept=smash&call=cover+9", "", 404, "cover 9"},
		{"GET", o + "/answers" + cell + "&down=1", "", 404, "smash"}, // all were on third down
		{"GET", ours + "/opponents/o9/answers" + cell, "", 404, "o9"},
		{"GET", o + "/sweeps/alignment" + cell, "", 400, `"field":"defender"`},
		{"GET", o + "/sweeps/alignment" + cell + "&defender=rover", "", 400, `"field":"defender"`},
		{"GET", o + "/sweeps/alignment" + cell + "&defender=strong+corner&reach_yd=9", "", 400, `"field":"reach_yd"`},
		{"GET", o + "/sweeps/break" + cell, "", 400, `"field":"receiver"`},
		{"GET", o + "/sweeps/break" + cell + "&receiver=P7", "", 400, `"field":"receiver"`},
		{"GET", o + "/sweeps/break" + cell + "&receiver=P2&from_yd=9&to_yd=3", "", 400, `"field":"to_yd"`},
		{"POST", "/v1/answers", `{"call":"cover 9","picture":"P1 go"}`, 422, "cover 9"},
		{"POST", "/v1/answers", `{"call":"cover 1"}`, 422, "picture"},
		{"POST", "/v1/answers?over=everything", question, 422, `"field":"over"`},
		{"POST", "/v1/sweeps/break?receiver=B1", question, 422, `"field":"receiver"`},
		{"POST", "/v1/sweeps/alignment?defender=rover", question, 422, `"field":"defender"`},
	} {
		if resp, raw := c.do(tt.method, tt.path, tt.body); resp.StatusCode != tt.status || !strings.Contains(raw, tt.word) {
			t.Errorf("%s %s: %d %s; want %d naming %q", tt.method, tt.path, resp.StatusCode, raw, tt.status, tt.word)
		}
	}
	// Nothing open: no finding and no answer, and that is no mistake.
	still := c.must(200, "GET", o+"/answers?concept=smash&call=cover+1", "")
	if len(still["items"].([]any)) != 0 || still["finding"] != nil {
		board := c.must(200, "GET", o+"/stress", "")
		if _, cell := cellOf(board, "cover 1", map[string]any{"concept": "smash",
			"set_name": "2x2"}); len(cell["findings"].([]any)) == 0 {
			t.Errorf("answers to nothing: %v", still)
		}
	}
	_, csv := c.do("GET", o+"/answers?concept=smash&call=cover+1&format=csv", "")
	if !strings.HasPrefix(csv, "call,concept") {
		t.Errorf("as a table: %q", csv)
	}
}

// TestFixesOfTheTrade: cures and flips that the trade has published are found
// without a database. Curl-flat against spot-dropped three deep is cured by the corner
// playing #1 when he is vertical and the flat man #2 (trade notes 3.9, 3.14: TN-RL,
// BR-BOO); #2 becomes the safety's past 5 yd in one published rule sheet (YFO-Q) and
// past 7 in another (BD-S), trade notes 3.0.
func TestFixesOfTheTrade(t *testing.T) {
	t.Parallel()
	c, _ := serve(t)
	const flat = `{"call":"cover 3 spot","picture":"P1 curl@12, P2 flat@3"}`
	out := c.must(200, "POST", "/v1/answers", flat)
	found := false
	for _, a := range out["items"].([]any) {
		a := a.(map[string]any)
		found = found || a["kind"] == "trade" && a["cures"] == true && strings.Contains(mustJSON(a["rules"]),
			`{"defender":"strong corner","then":"man #1","when":"#1 vertical and #2 out"}`) &&
			strings.Contains(mustJSON(a["taught"]), "man #1")
	}
	if !found {
		t.Errorf("no trade with the corner on #1 among the answers to curl-flat: %v", out["items"])
	}
	alone := c.must(200, "POST", "/v1/answers?over=picture", flat)
	for _, a := range alone["items"].([]any) {
		a := a.(map[string]any)
		if !alike(a["all_stress_after"], a["stress_after"]) || !alike(a["net_yd"], a["gain_yd"]) || a["hurts"] != nil {
			t.Errorf("over one picture alone: %v", a)
		}
	}
	if alone["pictures"] != 1.0 || out["pictures"].(float64) < 50 {
		t.Errorf("%v pictures alone, %v with the library", alone["pictures"], out["pictures"])
	}
	for _, b := range c.must(200, "GET", "/v1/book", "")["items"].([]any) {
		b := b.(map[string]any)
		if b["name"] != "quarters match" {
			continue
		}
		for _, threshold := range []float64{5, 7} {
			b["vertical_yd"], b["under_yd"] = threshold, threshold
			q := mustJSON(map[string]any{"call": b, "picture": "P1 go, P2 dig@12"})
			sweep := c.must(200, "POST", "/v1/sweeps/break?receiver=P2&from_yd=3&to_yd=12", q)
			flips := sweep["flips"].([]any)
			if len(flips) != 1 {
				t.Fatalf("threshold %v: flips %v", threshold, flips)
			}
			f := flips[0].(map[string]any)
			if f["from"] != "overhang" || f["to"] != "strong safety" || math.Abs(f["from_yd"].(float64)-threshold) > 0.5 ||
				math.Abs(f["to_yd"].(float64)-threshold) > 0.5 || sweep["now_yd"] != 12.0 {
				t.Errorf("threshold %v: #2 flips %v", threshold, f)
			}
		}
	}
	// Leverage, common practice, no source: an out is worse for a man who stands inside.
	sweep := c.must(200, "POST", "/v1/sweeps/alignment?over=picture&reach_yd=2&defender=strong+overhang",
		`{"call":"cover 1","picture":"P1 go, P2 out@5"}`)
	rows := sweep["spots"].([]any)
	at := func(row int) float64 { return rows[row].([]any)[2].(map[string]any)["worst_yd"].(float64) }
	if len(rows) != 5 || at(4) >= at(0) || sweep["pictures"] != 1.0 {
		t.Errorf("from 2 yd inside %v yd, from 2 yd outside %v, %v pictures", at(0), at(4), sweep["pictures"])
	}
}
