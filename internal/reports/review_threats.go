package reports

import (
	"fmt"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/tendency"
)

// printedThreats is how many conflicts stand on paper.
const printedThreats = 12

// threats says which two-way threats they found.
func (r *ReviewReport) threats() []paper.Block {
	t := &r.Threats
	out := []paper.Block{paper.H2("Which conflicts they found"),
		paper.N("Each play again, our call against the routes they ran: did the throw go to a receiver who was open " +
			"because one of our defenders was in conflict?")}
	sums := &paper.Table{Name: "threats", Columns: paper.Cols(append([]string{"case", "The throw went", "plays", "Plays#"},
		fractionCols("success", "They succeed")...)...)}
	row := func(name string, plays int, f plan.Fraction) {
		sums.Rows = append(sums.Rows, paper.Row{Thin: f.N < tendency.Thin,
			Cells: append([]paper.Cell{paper.T(name), paper.I(plays)}, fractionCells(f)...)})
	}
	if t.Judged == 0 {
		return append(out, paper.P("No play has our call, the routes and the target all tagged.%s", because(t.LeftOut)))
	}
	found := &paper.Table{Name: "found", DataOnly: true,
		Columns: paper.Cols(append(append([]string{"judged", "", "with_threat", ""}, numbersOnly("found")...), "expected", "",
			"difference", "", "difference_low", "", "difference_high", "", "p", "", "assumed_plays", "")...)}
	found.Rows = append(found.Rows, paper.Cells(append(append([]paper.Cell{paper.I(t.Judged), paper.I(t.With)},
		fractionCells(t.Found)...), paper.F("%.1f", t.Expected), points(t.Difference), points(t.Low), points(t.High),
		chance(t.P), paper.I(t.Assumed))...))
	row("to the open man", t.Found.X, t.WhenFound)
	row("to somebody else, with a man open", t.With-t.Found.X, t.WhenMissed)
	row("no defender in conflict", t.Judged-t.With, t.Without)
	p := "nothing to compare"
	if t.WhenFound.N > 0 && t.WhenMissed.N > 0 {
		p = fmt.Sprintf("%s points (95%% %s to %s), p %s", signed(t.Difference), signed(t.Low), signed(t.High),
			chance(t.P).Text)
	}
	out = append(out, paper.P("On %d of %d plays%s there was such a throw. They threw to the open man on %d of them "+
		"(%.0f%%, 95%% %.0f to %.0f); throwing at random would find %.1f. Success when they threw "+
		"to the open man, less when they threw to somebody else: %s.%s",
		t.With, t.Judged, aside(t.AssumedText()), t.Found.X, 100*t.Found.Share, 100*t.Found.Low, 100*t.Found.High,
		t.Expected, p, because(t.LeftOut)),
		sums, found, paper.H3("Conflict by conflict"))
	list := &paper.Table{Name: "conflicts", Empty: "None was there.",
		Columns: paper.Cols(append([]string{"call", "Our call", "concept", "Against", "set_name", "From", "defender", "Who",
			"open", "Open", "other", "Other threat", "met", "Seen on#", "found", "Thrown to#"}, append(fractionCols("success",
			"They succeed"), "assumed_plays", "")...)...)}
	for i := range t.Conflicts {
		c := &t.Conflicts[i]
		list.Rows = append(list.Rows, paper.Row{Thin: c.Met < tendency.Thin,
			Cells: append([]paper.Cell{paper.T(c.Call), paper.T(c.Concept), paper.T(c.SetName), paper.T(c.Defender),
				paper.T(c.Open), paper.T(c.Other), metOf(c.Met, c.Assumed), paper.I(c.Found)},
				append(fractionCells(c.Success), paper.I(c.Assumed))...)})
	}
	if len(list.Rows) <= printedThreats {
		return append(out, list)
	}
	short := &paper.Table{Columns: slices.Clone(list.Columns), Rows: list.Rows[:printedThreats]}
	for k := range short.Columns {
		short.Columns[k].Key = ""
	}
	list.DataOnly = true
	return append(out, short, paper.N("The top %d of %d; the spreadsheet has them all.", printedThreats,
		len(list.Rows)), list)
}
