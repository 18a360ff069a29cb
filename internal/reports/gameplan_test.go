package reports

import (
	"bytes"
	"strings"
	"testing"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/golden"
	"overhang/internal/tags"
)

func ptr[T any](v T) *T { return &v }

// sheet has a name that must be escaped, a thin row, a formula in a word.
func sheet() *GamePlan {
	p := tags.Program{Name: `Own <staff> "ünïcode"`, Invented: true, Settings: tags.DefaultSettings()}
	byDown := tags.Tendency{Total: 47, Cells: []tags.Cell{
		{Keys: []*string{ptr("3"), ptr("7-10")}, Plays: 7, Passes: 7, SuccessKnown: 7, Successes: 2, GainSum: 31,
			GainKnown: 7},
		{Keys: []*string{ptr("1"), ptr("7-10")}, Plays: 40, Runs: 22, Passes: 18, SuccessKnown: 40, Successes: 19,
			GainSum: 201, GainKnown: 40},
		{Keys: []*string{nil, ptr("7-10")}, Plays: 3},
	}}
	byConcept := tags.Tendency{Cells: []tags.Cell{
		{Keys: []*string{ptr("1"), ptr("7-10"), ptr("=cmd")}, Plays: 11}, {Keys: []*string{ptr("1"), ptr("7-10"), nil},
			Plays: 9}, {Keys: []*string{ptr("3"), ptr("7-10"), ptr("smash")}, Plays: 5}}}
	f := plan.Finding{Defender: "strong corner", Kind: "high-low", Open: "#2 corner", Other: "#1 hitch", ShortYd: 1.25,
		Sentence: "The strong corner is between two.", Rule: "zone cloud", TwoWay: true}
	b := plan.Board{Plays: 47, Covered: 5, NeedYd: 4, LeftOut: map[string]int{"no concept, set or routes tagged": 42},
		Concepts: []plan.Concept{{SetName: "2x2", Concept: "smash", Plays: 5}},
		Rows: []plan.Row{{Call: "cover 2 spot", Stress: .5, Share: 1,
			Cells: []plan.Cell{{Call: "cover 2 spot", Stress: .5, Findings: []plan.Finding{f}}}}}}
	return Build(&ask.GamePlanAnswer{Scope: ask.Scope{Program: p,
		Opponent: tags.Opponent{Name: `Marsh & "Tern" (invented)`}},
		Downs: ask.Grouped{Grouping: ask.Downs, Groups: byDown, Within: byConcept}, Board: b})
}

func TestGolden(t *testing.T) {
	var got bytes.Buffer
	if err := sheet().WriteCSV(&got); err != nil {
		t.Fatal(err)
	}
	golden.File(t, "gameplan.csv", got.Bytes())
}

// TestFormula: OWASP, CSV injection (MEM): a cell that begins with = is run by spreadsheets.
func TestFormula(t *testing.T) {
	g := sheet()
	var csv bytes.Buffer
	if err := g.WriteCSV(&csv); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(csv.String(), "'=cmd") {
		t.Error("a word that a spreadsheet would run as a formula is not neutralized")
	}
}
