package pages

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports"
	"overhang/internal/tags"
)

func ptr[T any](v T) *T { return &v }

// board has a name that must be escaped, a thin row, a formula in a word.
func board() *reports.GamePlan {
	p := tags.Program{Name: `Own <staff>`, Invented: true, Settings: tags.DefaultSettings(), Code: "own"}
	byDown := tags.Tendency{Total: 47, Cells: []tags.Cell{
		{Keys: []*string{ptr("3"), ptr("7-10")}, Plays: 7, Passes: 7, SuccessKnown: 7, Successes: 2, GainSum: 31,
			GainKnown: 7},
		{Keys: []*string{ptr("1"), ptr("7-10")}, Plays: 40, Runs: 22, Passes: 18, SuccessKnown: 40, Successes: 19,
			GainSum: 201, GainKnown: 40},
	}}
	byConcept := tags.Tendency{Cells: []tags.Cell{{Keys: []*string{ptr("1"), ptr("7-10"), ptr("smash")}, Plays: 11}}}
	f := plan.Finding{Defender: "strong corner", Kind: "high-low", Open: "#2 corner", Other: "#1 hitch", ShortYd: 1.25,
		Sentence: "The strong corner is between two.", Rule: "zone cloud", TwoWay: true}
	b := plan.Board{Plays: 47, Covered: 5, NeedYd: 4, LeftOut: map[string]int{"no concept, set or routes tagged": 42},
		Concepts: []plan.Concept{{SetName: "2x2", Concept: "smash", Plays: 5}},
		Rows: []plan.Row{{Call: "cover 2 spot", Stress: .5, Share: 1,
			Cells: []plan.Cell{{Call: "cover 2 spot", Stress: .5, Findings: []plan.Finding{f}}}}}}
	return reports.Build(&ask.GamePlanAnswer{Scope: ask.Scope{Program: p, Opponent: tags.Opponent{Name: `Marsh & "Tern"`,
		Code: "marsh"}},
		Downs: ask.Grouped{Grouping: ask.Downs, Groups: byDown, Within: byConcept}, Board: b})
}

// notGrouped are the other dimensions: filters, and what a row of the page says in any case.
var notGrouped = []string{"opponent", "season", "week", "games_ago", "ours", "quarter", "two_minute", "distance",
	"near_goal", "strength", "play_fake", "run_option", "play_strength", "throw_depth", "throw_time", "pressured", "gain",
	"first_down", "success", "explosive", "touchdown", "shell", "coverage_kind", "rushers", "blitzers",
	"previous_family", "previous_concept", "previous_result"}

// TestEveryDimensionHasItsPlace: a new dimension is offered by the tendencies page, or left
// out by name.
func TestEveryDimensionHasItsPlace(t *testing.T) {
	for _, d := range tags.Dimensions {
		if slices.Contains(groupings, d) == slices.Contains(notGrouped, d) {
			t.Errorf("the dimension %s belongs in groupings (explorer.go) or in notGrouped (here)", d)
		}
	}
	for _, d := range slices.Concat(groupings, notGrouped, slices.Collect(maps.Keys(dimensionWords))) {
		if !slices.Contains(tags.Dimensions, d) && d != "last_games" { // a filter alone
			t.Errorf("%s is no dimension", d)
		}
	}
}

func TestBoardSays(t *testing.T) {
	g := board()
	var html bytes.Buffer
	sh := Shell{Title: "Board", Program: &tags.Program{Name: `Own <staff>`, Code: "own", Invented: true}, Step: "board"}
	if err := Write(&html, &sh, "gameplan.html", g); err != nil {
		t.Fatal(err)
	}
	for what, want := range map[string]string{
		"the opponent's name escaped":       "Marsh &amp; &#34;Tern&#34;",
		"the program's name escaped":        "Own &lt;staff&gt;",
		"invented data marked":              "Invented data",
		"a thin row marked":                 `<tr class="thin">`,
		"the run share of 22 in 40":         ">55%<",
		"its Wilson interval (Wilson 1927)": "55%, between 40 and 69",
		"what was left out":                 "42 not included",
		"the sentence of the conflict":      "The strong corner is between two.",
		"first downs before third":          "<td>1st</td>",
		"the step of the week":              `aria-current="page">Board`,
	} {
		if !strings.Contains(html.String(), want) {
			t.Errorf("%s: the page lacks %q", what, want)
		}
	}
	empty := reports.Build(&ask.GamePlanAnswer{Scope: ask.Scope{Program: tags.Program{Settings: tags.DefaultSettings(),
		Code: "own"}, Opponent: tags.Opponent{Name: "x", Code: "x"}},
		Downs: ask.Grouped{Grouping: ask.Downs}})
	html.Reset()
	if err := Write(&html, &sh, "gameplan.html", empty); err != nil || !strings.Contains(html.String(),
		"/programs/own/calls") {
		t.Errorf("a program without calls: %v; want a page with the next step", err)
	}
}

// TestAssets: a browser may keep an asset for good only if its name changes with its
// content (RFC 8246), and the stylesheet must name the font that is there.
func TestAssets(t *testing.T) {
	a, err := assetPath("look.css")
	if err != nil {
		t.Fatal(err)
	}
	css := AssetNamed(strings.TrimPrefix(a, "/assets/"))
	font, err := assetPath("archivo.woff2")
	if err != nil || !strings.Contains(string(css.Body), "url("+font+")") {
		t.Errorf("the stylesheet does not name %s (%v)", font, err)
	}
	if changed := newAsset("look.css", append(bytes.Clone(css.Body), ' ')); changed.Name == css.Name {
		t.Error("another content has the same name")
	}
	if _, err := assetPath("none.css"); err == nil {
		t.Error("a page may ask for an asset that is not there")
	}
}
