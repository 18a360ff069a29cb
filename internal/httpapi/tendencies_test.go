package httpapi_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/xuri/excelize/v2"

	"overhang/api"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

func ptr[T any](v T) *T { return &v }

// load stores a game's plays for opponent o1, numbered as they stand.
func load(t *testing.T, s *postgres.Store, label string, week int, ps ...tags.Play) {
	t.Helper()
	loadFor(t, s, "o1", label, week, ps...)
}

// wordsOf makes a vocabulary of the words a play uses.
func wordsOf(p *tags.Play) (ws []tags.Word) {
	fields, used := p.Vocabulary()
	for i := range fields {
		ws = append(ws, tags.Word{Field: fields[i], Word: used[i]})
	}
	return ws
}

func loadFor(t *testing.T, s *postgres.Store, opponent, label string, week int, ps ...tags.Play) {
	t.Helper()
	ctx := context.Background()
	p, err := s.Program(ctx, "ours")
	if err != nil {
		t.Fatal(err)
	}
	g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: opponent, Name: "Invented"}, "", tags.Game{Label: label,
		Week: &week})
	if err != nil {
		t.Fatal(err)
	}
	for i := range ps {
		if err := s.AddWords(ctx, p.ID, wordsOf(&ps[i])); err != nil {
			t.Fatal(err)
		}
		ps[i].GameID, ps[i].OpponentID = g.ID, g.OpponentID
		if ps[i].Number == 0 {
			ps[i].Number = i + 1
		}
		if ps[i].Status == "" {
			ps[i].Status = "counted"
		}
	}
	if _, err := s.LoadPlays(ctx, p.ID, ps); err != nil {
		t.Fatal(err)
	}
}

// snap is a play with what the chain of situations needs.
func snap(quarter, down, distance, gain int, called, result string) tags.Play {
	return tags.Play{Quarter: &quarter, Down: &down, DistanceYd: &distance, GainYd: &gain, Called: &called,
		Result: &result}
}

// values asks by one dimension and returns plays by value, "?" for unknown.
func (c *client) values(by, filter string) map[string]int {
	c.t.Helper()
	out := map[string]int{}
	for _, x := range c.must(200, "GET", ours+"/tendencies?by="+by+filter, "")["cells"].([]any) {
		cell := x.(map[string]any)
		k, ok := cell["keys"].(map[string]any)[by].(string)
		if !ok {
			k = "?"
		}
		out[k] = int(cell["plays"].(float64))
	}
	return out
}

// TestSequence counts by hand what came after what, in the same possession.
func TestSequence(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	wiped := snap(1, 2, 10, 0, "pass", "penalty")
	wiped.Status = "no_play"
	td := snap(2, 1, 10, 30, "pass", "complete")
	td.Touchdown = true
	load(t, s, "a", 1,
		snap(1, 1, 10, 0, "pass", "incomplete"), // 1: first of the game
		wiped,                                   // does not count
		snap(1, 2, 10, -7, "pass", "sack"),      // 3: after an incompletion
		snap(1, 3, 17, 20, "pass", "complete"),  // 4: after a sack
		snap(1, 1, 10, 3, "run", "rush"),        // 5: after a completion, explosive (20 of 16)
		snap(1, 2, 7, 4, "run", "rush"),         // 6: after a rush, no success (3 of 4 needed)
		snap(1, 3, 3, 1, "run", "rush"),         // 7: after a rush, no success (4 of 4.2 needed)
		snap(2, 1, 10, 2, "run", "rush"),        // 8: third down fell short, first down now: new possession
		snap(2, 2, 8, 0, "pass", "intercepted"), // 9: after a rush
		snap(2, 1, 10, 5, "run", "rush"),        // 10: new possession
		td,                                      // 11: 1st after 1st without the distance: not known
		snap(2, 1, 10, 4, "run", "rush"),        // 12: new possession
		snap(3, 2, 6, 4, "run", "rush"),         // 13: the half lies between
		tags.Play{Called: ptr("run")},           // 14: its down is not known
	)
	want := map[string]int{"new possession": 5, "incomplete": 1, "sack": 1, "complete": 1, "rush": 3, "?": 2}
	if got := c.values("previous_result", ""); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("previous_result: %v; counted by hand %v", got, want)
	}
	// 3, 4, 6, 7 and 9 follow an incompletion, a sack, 3 of 10, 4 of 7 and 2 of 10.
	want = map[string]int{"new possession": 5, "no success": 5, "explosive": 1, "?": 2}
	if got := c.values("previous_outcome", ""); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("previous_outcome: %v; counted by hand %v", got, want)
	}
	// What a tagger says lay between two plays goes before what their downs say.
	flagged, punted := snap(1, 1, 10, 2, "run", "rush"), snap(1, 2, 8, 2, "run", "rush")
	flagged.SinceLast, punted.SinceLast = ptr("penalty"), ptr("possession")
	load(t, s, "b", 2, snap(1, 1, 10, 0, "pass", "incomplete"), flagged, punted)
	want = map[string]int{"new possession": 2, "incomplete": 1}
	if got := c.values("previous_result", "&game=b"); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("previous_result after a penalty and a change of possession: %v; want %v", got, want)
	}
	if got := c.values("called",
		"&game=a&down=2&distance_band=7-10&previous_result=incomplete"); fmt.Sprint(got) != "map[pass:1]" {
		t.Errorf("second and long after an incompletion: %v; want one pass", got)
	}
	if got := c.values("half", "&game=a"); got["first"] != 11 || got["second"] != 1 || got["?"] != 1 {
		t.Errorf("half: %v; want 11, 1 and 1 unknown", got)
	}
}

// TestDimensions: sides are the offense's; the wide side of a ball on the left
// hash is the right one.
func TestDimensions(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	play := func(hash, side, strength string, margin, week int) tags.Play {
		return tags.Play{Hash: &hash, PlaySide: &side, Strength: &strength, ScoreMargin: &margin}
	}
	thrown := tags.Play{ThrowDepth: ptr(-3), Blitzers: ptr(2), Pressured: ptr(false), PlayFake: ptr(true),
		Routes: []tags.Route{{Side: "left", Number: 2, Eligible: "tight_end", Route: "hitch", BreakDepthYd: ptr(5.0),
			Targeted: true}}}
	load(t, s, "early", 1, play("left", "right", "left", -9, 1), play("left", "left", "left", -8, 1), thrown)
	load(t, s, "late", 2, play("right", "right", "balanced", 0, 2), play("middle", "right", "left", 8, 2),
		play("right", "left", "left", 9, 2))
	for _, tt := range []struct {
		by, filter string
		want       map[string]int
	}{
		{"play_to", "", map[string]int{"field": 2, "boundary": 2, "middle": 1, "?": 1}},
		{"strength_to", "", map[string]int{"boundary": 2, "balanced": 1, "middle": 1, "field": 1, "?": 1}},
		{"play_strength", "", map[string]int{"away": 2, "to": 2, "balanced": 1, "?": 1}},
		{"score_state", "", map[string]int{"behind 9+": 1, "behind 1-8": 1, "even": 1, "ahead 1-8": 1, "ahead 9+": 1,
			"?": 1}},
		{"games_ago", "", map[string]int{"1": 3, "2": 3}},
		{"game", "&last_games=1", map[string]int{"late": 3}},
		{"target_number", "", map[string]int{"2": 1, "?": 5}},
		{"target_eligible", "&target_route=hitch", map[string]int{"tight_end": 1}},
		{"throw_depth_band", "&blitz=yes&pressured=no&play_fake=yes", map[string]int{"behind the line": 1}},
		{"hash", "&hash=left,(unknown)", map[string]int{"left": 2, "?": 1}},
	} {
		c.word(s, "route", "hitch")
		if got := c.values(tt.by, tt.filter); fmt.Sprint(got) != fmt.Sprint(tt.want) {
			t.Errorf("by %s%s: %v; counted by hand %v", tt.by, tt.filter, got, tt.want)
		}
	}
	for _, d := range tags.Dimensions {
		c.must(200, "GET", ours+"/tendencies?by="+d, "")
	}
}

// word puts a word into the vocabulary if it is not there.
func (c *client) word(s *postgres.Store, field, word string) {
	ctx := context.Background()
	p, _ := s.Program(ctx, "ours")
	if err := s.AddWords(ctx, p.ID, []tags.Word{{Field: field, Word: word}}); err != nil {
		c.t.Fatal(err)
	}
}

// TestMeasures: the program's percentages decide what success is.
func TestMeasures(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	load(t, s, "a", 1, snap(1, 1, 10, 4, "run", "rush"), snap(1, 2, 10, 12, "run", "rush"), snap(1, 3, 5, 5, "pass",
		"complete"), snap(1, 1, 10, 15, "pass", "complete"),
		tags.Play{Called: ptr("pass"), Result: ptr("incomplete")})
	for query, want := range map[string]string{
		"": "4 of 4, 1 explosive of 4", "&success_percent=50,70,100": "3 of 4, 1 explosive of 4",
		"&explosive_pass_yd=15": "4 of 4, 2 explosive of 4",
	} {
		cell := c.must(200, "GET", ours+"/tendencies?by=opponent"+query, "")["cells"].([]any)[0].(map[string]any)
		if got := fmt.Sprintf("%v of %v, %v explosive of %v", cell["successes"], cell["success_known"], cell["explosives"],
			cell["explosive_known"]); got != want {
			t.Errorf("%q: %s; counted by hand %s", query, got, want)
		}
		// Gains 4, 5, 12, 15; two runs and three passes: H(2/5) = 0.9709506 bits (any table of the binary entropy).
		if cell["median_gain_yd"] != 8.5 || cell["mean_gain_yd"] != 9.0 ||
			fmt.Sprintf("%.6f", cell["run_pass_bits"]) != "0.970951" ||
			fmt.Sprintf("%.4f", cell["completion_rate"]) != "0.6667" {
			t.Errorf("median %v, mean %v, bits %v, completions %v; want 8.5, 9, 0.970951, 2 of 3", cell["median_gain_yd"],
				cell["mean_gain_yd"], cell["run_pass_bits"], cell["completion_rate"])
		}
	}
}

// TestCannotBeAnswered: every question without an answer says why.
func TestCannotBeAnswered(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	if why := c.must(200, "GET", ours+"/tendencies?by=down", "")["why_empty"]; !strings.Contains(fmt.Sprint(why),
		"no counted plays yet") {
		t.Errorf("an empty program: %v", why)
	}
	load(t, s, "a", 1, snap(1, 1, 10, 4, "run", "rush"), snap(1, 2, 6, 4, "pass", "complete"))
	c.word(s, "concept", "smash")
	if why := c.must(200, "GET", ours+"/tendencies?by=down&down=1&called=pass",
		"")["why_empty"]; why != "no play meets all filters together: of 2 counted plays, called=pass alone leaves 1, "+
		"down=1 alone leaves 1" {
		t.Errorf("no plays: %v", why)
	}
	if resp, raw := c.do("GET", ours+"/tendencies?by=down&down=3&format=csv",
		""); resp.Header.Get("Overhang-Why-Empty") == "" || strings.Count(raw, "\r\n") != 1 {
		t.Errorf("no plays as CSV: %v %q", resp.Header, raw)
	}
	for query, word := range map[string]string{
		"by=mood":                                     "unknown dimension",
		"by=down,down":                                "twice",
		"by=down&down=5":                              "1, 2, 3, 4",
		"by=down&distance=ten":                        "not a whole number",
		"by=down&distance_band=7-12":                  "7-10",
		"by=down&concept=smahs":                       "smash",
		"by=down&personnel=eleven":                    "two digits",
		"by=down&quarter=1&half=second":               "no such quarter is in that half",
		"by=down&distance=2&distance_band=7-10,11%2B": "no such distance is in that band",
		"by=down&called=run&result=sack":              "were called a pass",
		"by=down&called=pass&family=run":              "of that family",
		"by=down&success_percent=40,60":               "success_percent",
		"by=down&success_percent=40,60,400":           "not from 1 to 100",
		"by=down&last_games=0":                        "last_games",
		"by=down&game=%00":                            "NUL",
		"by=down&format=pdf":                          "format",
	} {
		if resp, raw := c.do("GET", ours+"/tendencies?"+query, ""); resp.StatusCode != 400 || !strings.Contains(raw, word) {
			t.Errorf("%s: %d %s; want 400 saying %q", query, resp.StatusCode, raw, word)
		}
	}
}

// TestFormats: CSV and XLSX hold what JSON holds, and a word that looks like a
// formula is text in both (OWASP, CSV injection: = + - @ tab and return begin one).
func TestFormats(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	evil := snap(1, 1, 10, 4, "run", "rush")
	evil.Concept = ptr(`=hyperlink("http://x.invalid","y")`)
	load(t, s, "a", 1, evil, snap(1, 2, 6, 5, "pass", "complete"))
	cells := c.must(200, "GET", ours+"/tendencies?by=concept,down", "")["cells"].([]any)
	_, text := c.do("GET", ours+"/tendencies?by=concept,down&format=csv", "")
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	resp, raw := c.do("GET", ours+"/tendencies?by=concept,down&format=xlsx", "")
	f, err := excelize.OpenReader(bytes.NewReader([]byte(raw)))
	if err != nil {
		t.Fatalf("XLSX (%s): %v", resp.Header.Get("Content-Type"), err)
	}
	sheet, err := f.GetRows("tendencies", excelize.Options{RawCellValue: true})
	if err != nil || len(rows) != 3 || len(sheet) != 3 {
		t.Fatalf("%d rows of CSV, %d of XLSX, %v; want a header and two", len(rows), len(sheet), err)
	}
	for i, row := range rows {
		for j, v := range row {
			x := ""
			if j < len(sheet[i]) {
				x = sheet[i][j]
			}
			if v == "true" || v == "false" {
				v = map[string]string{"true": "1", "false": "0"}[v]
			}
			a, err := strconv.ParseFloat(v, 64)
			b, _ := strconv.ParseFloat(x, 64)
			if i == 0 { // a plain heading for a script's name
				if x == "" || strings.Contains(x, "_") {
					t.Errorf("%s: heading %q", v, x)
				}
				continue
			}
			// A spreadsheet keeps fifteen digits; a text cell needs no apostrophe.
			if strings.TrimPrefix(v, "'") != x && (err != nil || math.Abs(a-b) > 1e-14) {
				t.Errorf("row %d, %s: CSV %q, XLSX %q", i, rows[0][j], v, x)
			}
			if strings.HasPrefix(v, "=") {
				t.Errorf("row %d: %q would run as a formula", i, v)
			}
		}
	}
	if f, _ := f.GetCellFormula("tendencies", "A2"); f != "" {
		t.Errorf("A2 holds the formula %q", f)
	}
	for i, x := range cells {
		for j, name := range rows[0] {
			want, ok := x.(map[string]any)[name]
			if !ok {
				want = x.(map[string]any)["keys"].(map[string]any)[name]
			}
			if got := strings.TrimPrefix(rows[i+1][j], "'"); want == nil && got != "" || want != nil && got != fmt.Sprint(want) {
				t.Errorf("%s: CSV %q, JSON %v", name, got, want)
			}
		}
	}
	if notes, err := f.GetRows("notes"); err != nil || len(notes) == 0 || !strings.Contains(notes[0][0], "Wilson") {
		t.Errorf("notes: %v %v", notes, err)
	}
}

// TestEveryDimensionIsDocumented: the document names every dimension, and no other.
func TestEveryDimensionIsDocumented(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	written := slices.Sorted(maps.Keys(doc.Components.Parameters["filters"].Value.Schema.Value.Properties))
	if want := slices.Sorted(slices.Values(tags.Dimensions)); !slices.Equal(written, want) {
		t.Errorf("the document has the filters %v; the dimensions are %v", written, want)
	}
}
