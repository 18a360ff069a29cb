package handout

import (
	"bytes"
	"context"
	"encoding/json"
	markup "html"
	"regexp"
	"strings"
	"testing"
	"time"

	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

var made = paper.Furniture{Program: "Own staff", Opponent: "Opponent (invented)", Plays: 60, Date: time.Date(2026, 9, 4,
	0, 0, 0, 0, time.UTC), Invented: true}

func named(t testing.TB, names ...string) []plan.Named {
	t.Helper()
	var out []plan.Named
	for _, n := range names {
		p, err := call.Lookup(n)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, plan.Named{Name: n, Compiled: p})
	}
	return out
}

func whole() []plan.Named {
	var out []plan.Named
	for _, p := range call.Book() {
		out = append(out, plan.Named{Name: p.Call.Name, Compiled: p})
	}
	return out
}

func route(set, concept string, plays int, side string, number int, name string, depth float64) tags.ConceptRow {
	r := tags.ConceptRow{SetName: set, Concept: concept, Family: "dropback", Plays: plays, Side: side, Number: number,
		Route: name, N: plays, Known: plays}
	if depth > 0 {
		r.Median = &depth
	} else {
		r.Known = 0
	}
	return r
}

// shown are three concepts of an invented opponent.
func shown() []plan.Concept {
	return plan.Concepts([]tags.ConceptRow{
		route("2x2", "smash", 20, "play", 1, "hitch", 6), route("2x2", "smash", 20, "play", 2, "corner", 12),
		route("3x1", "flood", 9, "play", 1, "go", 0), route("3x1", "flood", 9, "play", 2, "sail", 12),
		route("3x1", "flood", 9, "play", 3, "flat", 3),
		route("2x2 attached", "post-wheel", 4, "play", 1, "post", 12), route("2x2 attached", "post-wheel", 4, "play", 2,
			"wheel", 3),
	})
}

// withRuns are the same with two runs, as the store counts them.
func withRuns() []plan.Concept {
	run := func(set, concept string, plays int) tags.ConceptRow {
		return tags.ConceptRow{SetName: set, Concept: concept, Family: "run", Plays: plays}
	}
	return append(shown(), plan.Concepts([]tags.ConceptRow{run("2x1", "power", 15), run("2x2", "inside zone", 11)})...)
}

func weekOf(calls []plan.Named, concepts []plan.Concept) *plan.Week {
	return must(plan.NewWeek(context.Background(), calls, concepts, 60, field.HighSchool,
		plan.Terms{Setting: stress.Usual}))
}

var (
	svgRE    = regexp.MustCompile(`(?s)<svg.*?</svg>`)
	tagRE    = regexp.MustCompile(`<[^>]*>`)
	numberRE = regexp.MustCompile(`\d+(?:\.\d+)?`)
)

// html is the text of a document's page, drawings and header left out.
func html(t *testing.T, d *paper.Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.Write(&b, "html"); err != nil {
		t.Fatal(err)
	}
	_, body, _ := strings.Cut(b.String(), "</div></div>")
	return markup.UnescapeString(tagRE.ReplaceAllString(svgRE.ReplaceAllString(body, " "), " "))
}

// numbersFrom fails for every number of a page that is not in the JSON form of the
// same sheet: in one of its texts as it stands, or as one of its numbers, rounded
// as pages round (whole percent, a tenth of a yard).
func numbersFrom(t *testing.T, sheet any, page string, also ...string) {
	t.Helper()
	raw, err := json.Marshal(sheet)
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for _, s := range append(also, string(raw)) {
		for _, n := range numberRE.FindAllString(s, -1) {
			known[n] = true
			var f float64
			json.Unmarshal([]byte(n), &f)
			for _, r := range []string{paper.F("%.0f", f).Text, paper.F("%.1f", f).Text, paper.F("%.0f", 100*f).Text,
				strings.TrimSuffix(paper.F("%.1f", f).Text, ".0")} {
				known[r] = true
			}
		}
	}
	for _, n := range numberRE.FindAllString(page, -1) {
		if !known[n] {
			t.Errorf("the page has the number %s, the answer of the API has not", n)
		}
	}
}

// TestPaperSaysThePage: what a sheet prints has the numbers of its page, and the page those of
// the sheet: both come from one answer. Numbers of drawings and of the foot are left out.
func TestPaperSaysThePage(t *testing.T) {
	calls := []string{"cover 3 sky", "quarters match", "palms"}
	w := weekOf(named(t, calls...), withRuns())
	packet, err1 := Positions(context.Background(), made, w, "", "")
	scout, err2 := Scout(context.Background(), made, w, usages(), 0, 2)
	quiz, err3 := MakeQuiz(made, w, "", "", 0)
	if err1 != nil || err2 != nil || err3 != nil {
		t.Fatal(err1, err2, err3)
	}
	foot := regexp.MustCompile(`page \d+ of \d+|based on \d+ counted plays; \w+ \d+, \d+`)
	for _, d := range []*paper.Document{packet.Document(), scout.Document(), quiz.Document()} {
		page := numberRE.FindAllString(html(t, d), -1)
		drawn := map[string]bool{}
		var whole bytes.Buffer
		if err := d.Write(&whole, "html"); err != nil {
			t.Fatal(err)
		}
		for _, s := range svgRE.FindAllString(whole.String(), -1) {
			for _, n := range numberRE.FindAllString(tagRE.ReplaceAllString(s, " "), -1) {
				drawn[n] = true
			}
		}
		printed := numberRE.FindAllString(foot.ReplaceAllString(strings.Join(sheetPages(t, d), " "), " "), -1)
		missing := func(what string, from, in []string, also map[string]bool) {
			there := map[string]bool{}
			for _, n := range in {
				there[n] = true
			}
			for _, n := range from {
				if !there[n] && !also[n] {
					t.Errorf("%s: the number %s is %s only", d.Title, n, what)
				}
			}
		}
		missing("printed", printed, page, drawn)
		missing("on the page", page, printed, nil)
		if len(page) < 50 {
			t.Errorf("%s: only %d numbers were compared", d.Title, len(page))
		}
	}
}
