package httpapi_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"math"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"overhang/internal/demo"
)

const alder = "/v1/programs/demo/opponents/alder"

// TestReports serves the invented season and holds its reports against the API.
func TestReports(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a quarter of a minute and more")
	}
	t.Parallel()
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]func(*testing.T, *client){"stress": stressReportIsTheBoard,
		"opponent": opponentReportIsTheTendencies, "self-scout": selfScoutIsTheTendencies,
		"review": reviewIsThePlanAndTheTendencies, "pages": pagesSayWhatTheTablesSay, "paper": paperSaysTheAnswers,
		"formats": reportFormats} {
		t.Run(name, func(t *testing.T) { test(t, &client{t: t, url: c.url, router: c.router}) })
	}
}

// tables reads a report's CSV: records by column, by table.
func (c *client) tables(path string) map[string][]map[string]string {
	c.t.Helper()
	_, raw := c.do("GET", path, "")
	recs, err := csv.NewReader(strings.NewReader(raw)).ReadAll() // RFC 4180
	if err != nil || len(recs) < 2 {
		c.t.Fatalf("%s: %v, %d records", path, err, len(recs))
	}
	out := map[string][]map[string]string{}
	for _, r := range recs[1:] {
		m := map[string]string{}
		for i, v := range r {
			m[recs[0][i]] = v
		}
		out[r[0]] = append(out[r[0]], m)
	}
	return out
}

// same compares a field of a record with a value of an answer.
func same(rec map[string]string, field string, v any) string {
	got := rec[field]
	switch v := v.(type) {
	case nil:
		if got == "" {
			return ""
		}
	case float64:
		if f, err := strconv.ParseFloat(got, 64); err == nil && math.Abs(f-v) <= 1e-12*math.Max(1, math.Abs(v)) {
			return ""
		}
	case bool:
		if got == map[bool]string{true: "yes", false: "no"}[v] {
			return ""
		}
	case string:
		if strings.TrimPrefix(got, "'") == v { // a word that a spreadsheet would run
			return ""
		}
	}
	return fmt.Sprintf("%s is %q, the API says %v", field, got, v)
}

// compare wants every record of a table to be the answer's object of the same
// place, field by field; fields maps a column to the answer's name.
func compare(t *testing.T, what string, recs []map[string]string, answers []any, fields ...string) {
	t.Helper()
	if len(recs) != len(answers) || len(recs) == 0 {
		t.Errorf("%s: %d lines in the table, %d in the answer", what, len(recs), len(answers))
		return
	}
	for i, a := range answers {
		for _, f := range fields {
			if bad := same(recs[i], f, a.(map[string]any)[f]); bad != "" {
				t.Errorf("%s, line %d: %s", what, i+1, bad)
			}
		}
	}
}

// stressReportIsTheBoard holds the numbers of the stress report against the
// stress board under the same query.
func stressReportIsTheBoard(t *testing.T, c *client) {
	for _, query := range []string{"", "down=3", "hash=left,right&distance_band=7-10"} {
		board := c.must(200, "GET", alder+"/stress?"+query, "")
		tables := c.tables(alder + "/reports/stress?format=csv&" + query)
		var cells, calls []any
		concepts := board["concepts"].([]any)
		for _, row := range board["calls"].([]any) {
			row := row.(map[string]any)
			worst := int(row["worst_concept"].(float64))
			row["worst_stress"] = row["cells"].([]any)[worst].(map[string]any)["stress"]
			calls = append(calls, row)
			for _, cell := range row["cells"].([]any) {
				cell := cell.(map[string]any)
				k := concepts[int(cell["concept"].(float64))].(map[string]any)
				flat := map[string]any{"call": cell["call"], "stress": cell["stress"], "concept": k["concept"],
					"set_name": k["set_name"], "plays": k["plays"]}
				said := []string{}
				for _, f := range cell["findings"].([]any) {
					said = append(said, f.(map[string]any)["sentence"].(string))
				}
				flat["sentences"], flat["family"] = said, k["family"]
				if fs := cell["findings"].([]any); len(fs) > 0 {
					for _, f := range []string{"defender", "open", "short_yd", "sentence"} {
						flat[f] = fs[0].(map[string]any)[f]
					}
				}
				cells = append(cells, flat)
			}
		}
		compare(t, "board "+query, tables["board"], cells, "call", "concept", "set_name", "plays", "stress", "defender",
			"open", "short_yd", "sentence")
		compare(t, "calls "+query, tables["calls"], calls, "call", "stress", "stress_low", "stress_high", "mix_share",
			"worst_stress")
		// Each conflict is one of the cell's findings on the board.
		for _, rec := range tables["conflicts"] {
			i := slices.IndexFunc(cells, func(a any) bool {
				m := a.(map[string]any)
				return m["call"] == rec["call"] && m["concept"] == rec["concept"] && m["set_name"] == rec["set_name"]
			})
			if i < 0 {
				t.Errorf("%s: conflict of %s and %s is not on the board", query, rec["call"], rec["concept"])
				continue
			}
			if bad := same(rec, "stress", cells[i].(map[string]any)["stress"]); bad != "" {
				t.Errorf("%s: conflict of %s and %s: %s", query, rec["call"], rec["concept"], bad)
			}
			if !strings.Contains(mustJSON(board), mustJSON(rec["sentence"])) {
				t.Errorf("%s: the board does not say %q", query, rec["sentence"])
			}
			changeIsTheAnswer(t, c, query, rec, cells[i].(map[string]any))
		}
	}
}

// changeIsTheAnswer holds the change that a conflict names against the first of the
// answers to the same finding.
func changeIsTheAnswer(t *testing.T, c *client, query string, rec map[string]string, cell map[string]any) {
	place := 1 + slices.Index(cell["sentences"].([]string), rec["sentence"])
	q := url.Values{"call": {rec["call"]}, "concept": {rec["concept"]}, "set_name": {rec["set_name"]},
		"family": {cell["family"].(string) + ",(unknown)"}, "finding": {strconv.Itoa(place)}}
	items := c.must(200, "GET", alder+"/answers?per_kind=1&"+query+"&"+q.Encode(), "")["items"].([]any)
	if len(items) == 0 {
		if rec["change_kind"] != "" {
			t.Errorf("%s: %s against %s is to be changed, the API has no answer", query, rec["call"], rec["concept"])
		}
		return
	}
	a := items[0].(map[string]any)
	flat := map[string]any{}
	for _, f := range []string{"kind", "cures", "gain_yd", "net_yd", "worst_before_yd", "worst_after_yd",
		"all_worst_before_yd", "all_worst_after_yd"} {
		flat["change_"+f] = a[f]
	}
	if h, ok := a["hurts"].(map[string]any); ok {
		for _, f := range []string{"concept", "set_name", "from_yd", "to_yd"} {
			flat["change_hurts_"+f] = h[f]
		}
	}
	for f, v := range flat {
		if bad := same(rec, f, v); bad != "" {
			t.Errorf("%s: %s against %s: %s", query, rec["call"], rec["concept"], bad)
		}
	}
	for _, r := range a["taught"].([]any) {
		if r := r.(map[string]any); !strings.Contains(strings.ToLower(rec["change"]), strings.ToLower(
			r["defender"].(string)+": when "+r["when"].(string)+", "+r["do"].(string))) {
			t.Errorf("%s: the change reads %q; the API teaches %v", query, rec["change"], r)
		}
	}
}

func mustJSON(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(b)
}

// opponentReportIsTheTendencies holds the numbers of the opponent report against
// tendencies, tells and trend under the same query.
func opponentReportIsTheTendencies(t *testing.T, c *client) {
	for _, query := range []string{"", "down=3", "field_zone=RED"} {
		tables := c.tables(alder + "/reports/opponent?format=csv&" + query)
		all := "opponent=alder&" + query
		for name, by := range map[string]string{"personnel": "personnel", "sets": "set_name",
			"situations": "down,distance_band", "concepts": "concept", "coverages": "coverage", "games": "games_ago,game"} {
			recs := tables[name]
			cells := c.must(200, "GET", "/v1/programs/demo/tendencies?by="+url.QueryEscape(by)+"&"+all, "")["cells"].([]any)
			dims := strings.Split(by, ",")
			sameOrder(recs, cells, dims)
			fields := []string{"plays", "share", "share_low", "share_high", "success_rate", "mean_gain_yd", "explosives",
				"explosive_rate", "explosive_low", "explosive_high"}
			if name != "concepts" {
				fields = append(fields, "run_share", "run_low", "run_high")
			}
			compare(t, name+" "+query, recs, cells, fields...)
			if name == "concepts" {
				continue
			}
			// The concepts beside a group, of that group's plays.
			within := c.must(200, "GET", "/v1/programs/demo/tendencies?by="+url.QueryEscape(by+",concept")+"&within="+
				url.QueryEscape(by)+"&"+all, "")["cells"].([]any)
			tops := tables[name+": concepts"]
			for _, rec := range tops {
				i := slices.IndexFunc(within, func(a any) bool {
					return keyed(a, append(slices.Clone(dims), "concept")) == keyed(rec, append(slices.Clone(dims), "concept"))
				})
				if i < 0 {
					t.Errorf("%s %s: no such cell: %v", name, query, rec)
					continue
				}
				compare(t, name+": concepts "+query, []map[string]string{rec}, within[i:i+1], "plays", "share", "share_low",
					"share_high")
			}
		}
		tells := c.must(200, "GET", "/v1/programs/demo/tells?of=called,concept&"+all, "")["tells"].([]any)
		compare(t, "tells "+query, tables["tells"], tells, "situation", "dimension", "of", "value", "outcome", "plays",
			"with_x", "with_plays", "share_with", "without_x", "without_plays", "share_without",
			"difference", "difference_low", "difference_high", "cramers_v", "method", "p", "p_adjusted", "stands")
		var changes []any
		for _, recent := range []string{"1", "3"} {
			for _, of := range []string{"called", "concept"} {
				changes = append(changes, c.must(200, "GET", "/v1/programs/demo/trend?of="+of+"&recent="+recent+"&"+all,
					"")["changes"].([]any)...)
			}
		}
		compare(t, "trend "+query, tables["trend"], changes, "outcome", "after_x", "after_plays", "share_after", "before_x",
			"before_plays", "share_before", "difference", "difference_low", "difference_high", "p", "p_adjusted", "stands")
	}
}

const scout = "/v1/programs/demo/reports/self-scout"

// selfScoutIsTheTendencies holds the numbers of the self-scout against tendencies and
// tells of our own games under the same query.
func selfScoutIsTheTendencies(t *testing.T, c *client) {
	for _, query := range []string{"", "down=1,2", "game=week+6+(ours)&half=second"} {
		tables := c.tables(scout + "?format=csv&" + query)
		all := "&ours=yes&" + query
		for name, by := range map[string]string{"calls": "", "situations: calls": "down,distance_band,",
			"field position: calls": "field_zone,", "personnel: calls": "personnel,", "sets: calls": "set_name,"} {
			// Plays on which no coverage is tagged are in no share.
			within := ""
			if by != "" {
				within = "&within=" + url.QueryEscape(strings.TrimSuffix(by, ","))
			}
			tagged := c.must(200, "GET", "/v1/programs/demo/tendencies?by="+url.QueryEscape(by+"coverage")+within+all+
				"&coverage="+url.QueryEscape("cover 0,cover 1,cover 2,cover 3,cover 4,cover 6,two-man,cover 2 spot,tampa "+
				"2,cover 3 spot,cover 3 match,fire zone,palms,quarters match"), "")["cells"].([]any)
			for _, a := range tagged {
				a := a.(map[string]any)
				a["call"] = a["keys"].(map[string]any)["coverage"]
			}
			recs := tables[name]
			for _, r := range recs {
				r["coverage"] = r["call"]
			}
			dims := strings.Split(by+"coverage", ",")
			sameOrder(recs, tagged, dims)
			compare(t, name+" "+query, recs, tagged, "call", "plays", "share", "share_low", "share_high", "successes",
				"success_known", "success_rate", "success_low", "success_high", "gain_known", "mean_gain_yd", "explosives",
				"explosive_known")
		}
		for name, by := range map[string]string{"situations": "down,distance_band", "field position": "field_zone",
			"personnel": "personnel", "sets": "set_name"} {
			groups := c.must(200, "GET", "/v1/programs/demo/tendencies?by="+url.QueryEscape(by)+all, "")["cells"].([]any)
			sameOrder(tables[name], groups, strings.Split(by, ","))
			compare(t, name+" "+query, tables[name], groups, "plays", "successes", "success_known", "success_rate",
				"success_low", "success_high", "gain_known", "mean_gain_yd", "explosives", "explosive_known")
		}
		tells := c.must(200, "GET", "/v1/programs/demo/tells?of=coverage,blitz"+all, "")["tells"].([]any)
		compare(t, "tells "+query, tables["tells"], tells, "situation", "dimension", "of", "value", "outcome", "plays",
			"with_x", "with_plays", "difference", "difference_low", "difference_high", "p", "p_adjusted", "stands")
	}
	got := c.must(200, "GET", scout, "")
	known := c.must(200, "GET", "/v1/programs/demo/tendencies?by=coverage&ours=yes&coverage=(unknown)", "")["total"]
	// the one word of the season's calls that is no call
	lost := c.must(200, "GET", "/v1/programs/demo/tendencies?by=coverage&ours=yes&coverage=cover+4", "")["total"]
	if got["not_tagged"] != known || got["no_call"] != lost || lost == 0.0 {
		t.Errorf("without a call: %v not tagged, %v no call; the tendencies say %v, %v", got["not_tagged"], got["no_call"],
			known, lost)
	}
}

// review is where the demo's plan is held against its game.
func (c *client) review() string {
	c.t.Helper()
	ps := c.must(200, "GET", "/v1/programs/demo/plans", "")["items"].([]any)
	return "/v1/programs/demo/plans/" + ps[0].(map[string]any)["id"].(string) + "/review"
}

// reviewIsThePlanAndTheTendencies holds what a review says was predicted and meant against
// the plan, and what it says happened against the tendencies of our game.
func reviewIsThePlanAndTheTendencies(t *testing.T, c *client) {
	path := c.review()
	stored := c.must(200, "GET", strings.TrimSuffix(path, "/review"), "")
	for _, query := range []string{"", "quarter=1,2"} {
		tables := c.tables(path + "?format=csv&" + query)
		var concepts, calls []any
		for _, x := range c.must(200, "GET", path+"?"+query, "")["situations"].([]any) {
			x := x.(map[string]any)
			at := slices.IndexFunc(stored["situations"].([]any),
				func(s any) bool { return s.(map[string]any)["situation"] == x["situation"] })
			planned := stored["situations"].([]any)[at].(map[string]any)
			where := "&ours=yes&game=week+6+(ours)&" + query
			for d, v := range planned["where"].(map[string]any) {
				where += "&" + d + "=" + url.QueryEscape(v.(string))
			}
			predicted := map[string]float64{}
			for _, o := range planned["concepts"].([]any) {
				o := o.(map[string]any)
				predicted[o["concept"].(string)] += o["plays"].(float64)
			}
			ran, made := c.demoCount("concept", where), c.demoCount("coverage", where)
			own, mix := map[string]any{}, map[string]any{}
			for _, k := range planned["choice"].(map[string]any)["calls"].([]any) {
				own[k.(map[string]any)["call"].(string)] = k.(map[string]any)["share"]
			}
			for _, k := range planned["calls"].([]any) {
				mix[k.(map[string]any)["call"].(string)] = k.(map[string]any)["mix_share"]
			}
			for _, k := range x["concepts"].([]any) {
				k := k.(map[string]any)
				name := k["concept"].(string)
				p, r := k["predicted"].(map[string]any), k["ran"].(map[string]any)
				if p["x"] != predicted[name] || p["plays"] != planned["plays_behind"] || r["x"] != ran[name] {
					t.Errorf("%s %s, %s: predicted %v, run %v; the plan has %v of %v, the tendencies %v", query, x["situation"], name,
						p, r, predicted[name], planned["plays_behind"], ran[name])
				}
				concepts = append(concepts, map[string]any{"situation": x["situation"], "concept": name, "predicted_x": p["x"],
					"predicted_share": p["share"], "ran_x": r["x"], "difference": k["difference"],
					"difference_low": k["difference_low"]})
			}
			for _, k := range x["calls"].([]any) {
				k := k.(map[string]any)
				name := k["call"].(string)
				m := k["made"].(map[string]any)
				if m["x"] != made[name] || k["own_share"] != own[name] || k["mix_share"] != mix[name] {
					t.Errorf("%s %s, %s: %v; made %v by the tendencies, chosen %v and recommended %v by the plan", query,
						x["situation"], name, k, made[name], own[name], mix[name])
				}
				calls = append(calls, map[string]any{"situation": x["situation"], "call": name, "own_share": k["own_share"],
					"mix_share": k["mix_share"], "made_x": m["x"], "made_plays": m["plays"], "outside": k["outside"]})
			}
		}
		compare(t, "concepts "+query, tables["concepts"], concepts, "situation", "concept", "predicted_x", "predicted_share",
			"ran_x", "difference", "difference_low")
		compare(t, "calls "+query, tables["calls"], calls, "situation", "call", "own_share", "mix_share", "made_x",
			"made_plays", "outside")
		answer := c.must(200, "GET", path+"?"+query, "")
		k, th := answer["calibration"].(map[string]any), answer["threats"].(map[string]any)
		came, found := k["came"].(map[string]any), th["found"].(map[string]any)
		k["plays"], k["successes"], k["success_rate"] = came["plays"], came["x"], came["share"]
		compare(t, "calibration "+query, tables["calibration"], []any{k}, "plays", "successes", "success_rate",
			"mean_forecast", "brier", "reliability", "resolution", "uncertainty", "within_bins")
		th["found_x"], th["found_plays"], th["found_share"] = found["x"], found["plays"], found["share"]
		compare(t, "found "+query, tables["found"], []any{th}, "judged", "with_threat", "found_x", "found_plays",
			"found_share", "expected", "difference", "difference_low", "difference_high", "p")
		// Every play is judged once, or left out for one reason.
		for name, m := range map[string]map[string]any{"calibration": k, "threats": th} {
			n := m["plays"]
			if name == "threats" {
				n = m["judged"]
			}
			sum := n.(float64)
			for _, x := range m["left_out"].(map[string]any) {
				sum += x.(float64)
			}
			if sum != answer["plays"] {
				t.Errorf("%s %s: %v plays judged or left out, of %v", query, name, sum, answer["plays"])
			}
		}
	}
	whole := c.must(200, "GET", path, "")
	if n := c.must(200, "GET", "/v1/programs/demo/tendencies?by=game&ours=yes", "")["total"]; whole["plays"] != n ||
		whole["earlier"] != 0.0 {
		t.Errorf("%v plays, %v earlier; the game has %v, all tagged after the plan was locked", whole["plays"],
			whole["earlier"], n)
	}
}

// demoCount counts the plays of the demo by one dimension.
func (c *client) demoCount(by, filter string) map[string]float64 {
	c.t.Helper()
	out := map[string]float64{}
	for _, x := range c.must(200, "GET", "/v1/programs/demo/tendencies?by="+by+filter, "")["cells"].([]any) {
		x := x.(map[string]any)
		name, _ := x["keys"].(map[string]any)[by].(string)
		out[name] = x["plays"].(float64)
	}
	return out
}

// keyed joins the keys of a cell of the API, or the columns of a record.
func keyed(a any, dims []string) string {
	var out []string
	for _, d := range dims {
		switch a := a.(type) {
		case map[string]any:
			s, _ := a["keys"].(map[string]any)[d].(string)
			out = append(out, s)
		case map[string]string:
			out = append(out, a[d])
		}
	}
	return strings.Join(out, "\x00")
}

// sameOrder sorts both by their keys: a report has an order of its own.
func sameOrder(recs []map[string]string, cells []any, dims []string) {
	slices.SortFunc(recs, func(a, b map[string]string) int { return strings.Compare(keyed(a, dims), keyed(b, dims)) })
	slices.SortFunc(cells, func(a, b any) int { return strings.Compare(keyed(a, dims), keyed(b, dims)) })
}

// pagesSayWhatTheTablesSay wants every number that a report prints to be one of
// its table's, rounded for people: whole, to a tenth, or in percent.
func pagesSayWhatTheTablesSay(t *testing.T, c *client) {
	markup, svg := regexp.MustCompile(`<[^>]*>`), regexp.MustCompile(`(?s)<svg.*?</svg>|<header.*?</header>|`+
		`<div class="head">.*?</div></div>|<footer.*?</footer>|<p class="row middle links forms".*?</p>`)
	number := regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)
	for _, path := range []string{alder + "/reports/stress", alder + "/reports/opponent", scout, c.review()} {
		_, raw := c.do("GET", path+"?format=csv", "")
		recs, err := csv.NewReader(strings.NewReader(raw)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		// the interval, the thin line, the last three games, the smallest p
		said := map[string]bool{"95": true, "8": true, "3": true, "0.001": true}
		for _, r := range recs {
			for _, v := range r {
				f, err := strconv.ParseFloat(v, 64)
				if err != nil {
					for _, n := range number.FindAllString(v, -1) {
						said[n] = true // in a name or a sentence
					}
					continue
				}
				f = math.Abs(f)
				for _, s := range []string{fmt.Sprintf("%.0f", f), fmt.Sprintf("%.1f", f), fmt.Sprintf("%.2f", f),
					fmt.Sprintf("%.3f", f), fmt.Sprintf("%.0f", 100*f)} {
					said[s] = true
				}
			}
		}
		answer := c.must(200, "GET", path, "")
		delete(answer, "pictures")
		var walk func(v any)
		walk = func(v any) {
			switch v := v.(type) {
			case map[string]any:
				for k, x := range v {
					if k != "cells" && k != "groups" {
						walk(x)
					}
				}
			case []any:
				for _, x := range v {
					walk(x)
				}
			case float64:
				said[fmt.Sprintf("%.0f", v)], said[fmt.Sprintf("%.1f", v)] = true, true
			case string:
				for _, n := range number.FindAllString(v, -1) { // days and hours
					said[n] = true
				}
			}
		}
		walk(answer) // plays covered and left out, questions asked
		_, page := c.do("GET", path+"?format=html", "")
		text := html.UnescapeString(markup.ReplaceAllString(svg.ReplaceAllString(page, " "), " "))
		text = text[strings.Index(text, " - Overhang"):]
		for _, at := range number.FindAllStringIndex(text, -1) {
			if n := text[at[0]:at[1]]; !said[n] && !ordinalOf(n) {
				t.Errorf("%s prints %s, which no table and no answer has: %q", path, n,
					text[max(0, at[0]-60):min(len(text), at[1]+20)])
			}
		}
	}
}

// ordinalOf lets the numbers of cards pass: 1. to 10.
func ordinalOf(n string) bool {
	i, err := strconv.Atoi(n)
	return err == nil && i >= 1 && i <= 10
}

func reportFormats(t *testing.T, c *client) {
	for _, kind := range []string{"stress", "opponent"} {
		for format, want := range map[string]string{"json": "application/json", "html": "text/html", "pdf": "application/pdf",
			"csv": "text/csv", "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"} {
			resp, raw := c.do("GET", alder+"/reports/"+kind+"?format="+format, "")
			if r := resp.Header.Get("Content-Type"); resp.StatusCode != 200 || !strings.HasPrefix(r, want) || len(raw) < 1000 {
				t.Errorf("%s as %s: %d, %s, %d bytes", kind, format, resp.StatusCode, r, len(raw))
			}
		}
		if resp, _ := c.do("GET", alder+"/reports/"+kind, "", "Accept",
			"text/html, application/pdf;q=0.5"); !strings.HasPrefix(resp.Header.Get("Content-Type"), "text/html") {
			t.Errorf("%s for a browser: %s", kind, resp.Header.Get("Content-Type"))
		}
		for q, status := range map[string]int{"format=doc": 400, "dwon=3": 400, "down=9": 400} {
			if resp, raw := c.do("GET", alder+"/reports/"+kind+"?"+q, ""); resp.StatusCode != status {
				t.Errorf("%s?%s: %d %.200s; want %d", kind, q, resp.StatusCode, raw, status)
			}
		}
		c.must(404, "GET", "/v1/programs/demo/opponents/nobody/reports/"+kind, "")
		empty := c.must(201, "POST", "/v1/programs/demo/opponents", `{"code":"x`+kind+`","name":"None yet (invented)"}`)
		for _, format := range []string{"json", "html", "pdf", "csv", "xlsx"} {
			c.must(200, "GET", "/v1/programs/demo/opponents/"+empty["code"].(string)+"/reports/"+kind+"?format="+format, "")
		}
	}
	for q, field := range map[string]string{"ours=no": "ours", "ours=maybe": "ours", "dwon=3": "dwon"} {
		if _, raw := c.do("GET", scout+"?"+q, ""); !strings.Contains(raw, `"field":"`+field+`"`) {
			t.Errorf("self-scout?%s does not name the field: %s", q, raw)
		}
	}
	for _, format := range []string{"json", "html", "pdf", "csv", "xlsx"} {
		for _, q := range []string{"", "&down=4&quarter=1"} { // the second has no play
			if resp, raw := c.do("GET", scout+"?format="+format+q, ""); resp.StatusCode != 200 || q == "" && len(raw) < 1000 {
				t.Errorf("self-scout as %s%s: %d, %d bytes", format, q, resp.StatusCode, len(raw))
			}
		}
	}
	if _, page := c.do("GET", scout+"?format=html&down=4&quarter=1", ""); !strings.Contains(page, "Mark a game as ours") {
		t.Error("a self-scout without plays has no next step")
	}
}
