package reports

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"overhang/internal/ask"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/study"
	"overhang/internal/tendency"
)

// tells prints what stands; programs get every question that could be tested.
func (r *OpponentReport) tells() []paper.Block {
	return tellBlocks(&r.Tells,
		"Does what they show before the snap change run or pass, or the concept?",
		"Nothing they show before the snap changes the odds more than chance would.", "When they show")
}

// tellBlocks prints what stands of tells, else none; when is the head over what gives
// it away.
func tellBlocks(ts *study.Tells, asked, none, when string) []paper.Block {
	t := &paper.Table{Name: "tells", DataOnly: true, Columns: paper.Cols("", when, "situation", "", "dimension", "",
		"value", "", "of", "", "outcome", "What comes", "with_x", "", "with_plays", "", "share_with", "", "",
		"Then it comes#",
		"without_x", "", "without_plays", "", "share_without", "", "", "Otherwise#",
		"difference", "Difference#", "difference_low", "", "difference_high", "", "", "95%#", "plays", "Plays#", "cramers_v",
		"How strong, 0 to 1#", "method", "", "p", "", "p_adjusted", "Chance alone#", "stands", "")}
	stand := paper.Table{Columns: slices.Clone(t.Columns)}
	for i := range ts.Tells {
		x := &ts.Tells[i]
		row := tellRow(x)
		t.Rows = append(t.Rows, row)
		if x.Stands && x.Value != tendency.Pooled && x.Outcome != tendency.Pooled { // nobody can read "(others)"
			stand.Rows = append(stand.Rows, row)
		}
	}
	asked = fmt.Sprintf("%s Looks tested: %d.", asked, ts.Asked)
	if ts.NotTested > 0 {
		asked += fmt.Sprintf(" With too few plays: %d.", ts.NotTested)
	}
	out := []paper.Block{paper.H2("Tells")}
	if stand.Rows == nil {
		return append(out, paper.P("%s %s", none, asked), t)
	}
	for i := range stand.Columns {
		stand.Columns[i].Key = "" // the other table has them
	}
	return append(out, paper.N("%s About one in 20 of those below will still be chance (Benjamini and Hochberg).",
		asked), &stand, t)
}

func tellRow(x *study.Tell) paper.Row {
	head := cmp.Or(heads[x.Dimension], ink.Capital(strings.ReplaceAll(x.Dimension, "_", " ")))
	show := head + ": " + valueSaid(x.Dimension, x.Value)
	if x.Situation != "" {
		show += " (" + x.Situation + ")"
	}
	then := paper.T(x.Outcome)
	if x.Outcome == "yes" || x.Outcome == "no" {
		then.Text = x.Of + ": " + x.Outcome
	}
	return paper.Cells(paper.Cell{Text: show}, paper.T(x.Situation), paper.T(x.Dimension),
		paper.T(x.Value), paper.T(x.Of), then,
		paper.I(x.X), paper.I(x.With), paper.Share(x.ShareWith), outOf(x.X, x.With, x.ShareWith), paper.I(x.OtherX),
		paper.I(x.Without), paper.Share(x.ShareOther), outOf(x.OtherX, x.Without, x.ShareOther),
		points(x.Difference), points(x.Low), points(x.High), span(x.Low, x.High), paper.I(x.N), paper.F("%.2f", x.Effect),
		paper.T(x.Method), chance(x.P), chance(x.Adjusted), stands(x.Stands))
}

// outOf is for people; programs get the three numbers.
func outOf(x, n int, share float64) paper.Cell {
	return paper.Cell{Text: fmt.Sprintf("%d of %d (%.0f%%)", x, n, 100*share)}
}

// points is a difference of two shares in percentage points; span its interval, for
// people.
func points(v float64) paper.Cell { return paper.Cell{Text: signed(v), Value: v} }

func span(low, high float64) paper.Cell { return paper.Cell{Text: signed(low) + " to " + signed(high)} }

// signed writes no minus zero.
func signed(v float64) string {
	if n := int(math.Round(100 * v)); n != 0 {
		return fmt.Sprintf("%+d", n)
	}
	return "0"
}

// chance is a p; a small one is not printed as none.
func chance(p float64) paper.Cell {
	c := paper.F("%.3f", p)
	if p < 0.001 {
		c.Text = "< 0.001"
	}
	return c
}

// trends prints, for the last games against those before, the outcomes with enough
// plays to say something; programs get all.
func (r *OpponentReport) trends() []paper.Block {
	if len(r.Trends) == 0 {
		return nil
	}
	all := &paper.Table{Name: "trend", DataOnly: true, Columns: paper.Cols("recent_games", "", "of", "", "outcome", "What",
		"after_x", "", "after_plays", "", "share_after", "", "", "Lately#", "before_x", "", "before_plays", "",
		"share_before", "", "", "Before#",
		"difference", "Difference#", "difference_low", "", "difference_high", "", "", "95%#", "p", "", "p_adjusted",
		"Chance alone#", "stands", "Beyond chance")}
	out := []paper.Block{paper.H2("What changed"),
		paper.N("The last game, and the last three, against all before them. Fewer than %d plays: see the "+
			"spreadsheet.", tendency.Thin)}
	for _, recent := range ask.Recents {
		t := &paper.Table{Columns: slices.Clone(all.Columns), Empty: "Too few plays to compare."}
		for i := range t.Columns {
			t.Columns[i].Key = ""
		}
		for _, x := range r.Trends {
			if x.Recent != recent {
				continue
			}
			for i := range x.Changes {
				c := &x.Changes[i]
				row := changeRow(recent, x.Of, c)
				all.Rows = append(all.Rows, row)
				if c.BeforeX+c.AfterX >= tendency.Thin {
					t.Rows = append(t.Rows, row)
				}
			}
		}
		head := "The last game"
		if recent > 1 {
			head = fmt.Sprintf("The last %d games", recent)
		}
		out = append(out, paper.H3(head), t)
	}
	return append(out, all)
}

func changeRow(recent int, of string, c *study.Change) paper.Row {
	return paper.Cells(paper.I(recent), paper.T(of), paper.T(c.Outcome), paper.I(c.AfterX), paper.I(c.After),
		paper.Share(c.ShareAfter), outOf(c.AfterX, c.After, c.ShareAfter),
		paper.I(c.BeforeX), paper.I(c.Before), paper.Share(c.ShareBefore), outOf(c.BeforeX, c.Before, c.ShareBefore),
		points(c.Difference), points(c.Low), points(c.High), span(c.Low, c.High),
		chance(c.P), chance(c.Adjusted), stands(c.Stands))
}

func stands(yes bool) paper.Cell {
	if yes {
		return paper.T("yes")
	}
	return paper.T("no")
}
