package reports

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
)

// A StressReport is the board of our calls against an opponent's concepts in a
// situation, and the worst conflicts on it, each with its rule and an answer.
type StressReport struct {
	Program   string      `json:"program"`
	Invented  bool        `json:"invented"`
	Opponent  string      `json:"opponent"`
	Situation string      `json:"situation"`
	in        string      // the situation in a sentence
	Board     plan.Board  `json:"board"`
	Worst     []plan.Case `json:"worst"`
	code      string      // of the opponent
}

// BuildStress makes a stress report of the answer.
func BuildStress(a *ask.StressAnswer) *StressReport {
	p, o := &a.Program, &a.Opponent
	return &StressReport{Program: p.Name, Invented: p.Invented, Opponent: o.Name, Situation: situationWords(a.Filters),
		in:    inSituation(a.Filters),
		Board: a.Board, Worst: a.Worst, code: o.Code}
}

// everySituation is said where no filter chooses plays.
const everySituation = "all situations"

// situationWords says which plays filters choose.
func situationWords(filters map[string][]string) string {
	var out []string
	for _, d := range tags.Dimensions {
		vs := slices.Clone(filters[d])
		if len(vs) == 0 || d == "opponent" {
			continue
		}
		for i := range vs {
			if vs[i] == "" {
				vs[i] = "unknown"
			}
		}
		out = append(out, strings.ReplaceAll(d, "_", " ")+" "+strings.Join(vs, " or "))
	}
	if out == nil {
		return everySituation
	}
	return strings.Join(out, ", ")
}

// inSituation says the same in a sentence: "in all situations", "on 3rd down, distance band 4-6".
func inSituation(filters map[string][]string) string {
	var downs []string
	for _, d := range filters["down"] {
		downs = append(downs, cmp.Or(ordinal(d), "an unknown"))
	}
	rest := maps.Clone(filters)
	delete(rest, "down")
	words := situationWords(rest)
	switch {
	case downs == nil:
		return "in " + words
	case words == everySituation:
		return "on " + strings.Join(downs, " or ") + " down"
	}
	return "on " + strings.Join(downs, " or ") + " down, " + words
}

// Document lays the report out; at is the date it carries.
func (s *StressReport) Document(at time.Time) *paper.Document {
	d := &paper.Document{Name: "stress-" + s.code, Title: "Stress report",
		Furniture: paper.Furniture{Program: s.Program, Opponent: s.Opponent, Plays: s.Board.Plays, Date: at,
			Invented: s.Invented}}
	d.Blocks = append(d.Blocks,
		paper.P("Our calls against what they run %s. The defenders in conflict, and the fixes.",
			s.in))
	if next := nextStep(&s.Board); next != "" {
		d.Blocks = append(d.Blocks, paper.P("%s", next))
		return d
	}
	d.Blocks = append(d.Blocks, heatMaps(&s.Board)...)
	d.Blocks = append(d.Blocks, callTable(&s.Board), cellTable(&s.Board),
		paper.H2("The worst conflicts"),
		paper.N("Ranked by how often they run it and how far off we are. Answer: what the same defenders could do, and our "+
			"best call against it. Fix: the adjustment of this call that helps most, played against everything they run "+
			"here; if both sides play the same rule, both players get it. Suggested, not installed."))
	d.Blocks = append(append(d.Blocks, s.conflicts()...), caseTable(s.Worst))
	return d
}

// conflicts are the worst ones as cards, with the signs they are drawn in.
func (s *StressReport) conflicts() []paper.Block {
	if len(s.Worst) == 0 {
		return []paper.Block{paper.P("None found: no defender is in conflict in these calls.")}
	}
	g := &paper.Grid{Columns: 2}
	for i := range s.Worst {
		g.Cards = append(g.Cards, conflictCard(i+1, &s.Worst[i]))
	}
	return []paper.Block{g, paper.H2("Key"), &paper.Figure{Drawing: drawing.Signs{}}}
}

// heatMaps draws the board, so many calls at a time as can be read on a page.
func heatMaps(b *plan.Board) []paper.Block {
	const most = 20
	var out []paper.Block
	for start := 0; start < len(b.Rows); start += most {
		part := *b
		part.Rows = b.Rows[start:min(start+most, len(b.Rows))]
		title, f := "Our calls against their concepts", &paper.Figure{Width: 160}
		if start > 0 {
			title += ", continued"
		}
		if start+most >= len(b.Rows) {
			f.Caption = boardNote(b)
		}
		heat := drawing.Board(&part, title)
		f.Drawing = &heat
		out = append(out, f)
	}
	return out
}

// nextStep says what a board lacks, empty when it has all.
func nextStep(b *plan.Board) string {
	switch {
	case b.Plays == 0:
		return "No play of this opponent is tagged in this situation yet: import a spreadsheet, tag plays, or ask for a " +
			"wider situation."
	case len(b.Rows) == 0:
		return "The program has no active calls yet: turn some on in the call book."
	case len(b.Concepts) == 0:
		return "No concept of this opponent has routes tagged in this situation" + leftOut(b) + "."
	}
	return ""
}

// leftOut says how many plays are not on a board, and why.
func leftOut(b *plan.Board) string {
	var why []string
	for w := range b.LeftOut {
		why = append(why, w)
	}
	slices.Sort(why)
	var out strings.Builder
	if s := b.AssumedText(); s != "" {
		out.WriteString("; " + s)
	}
	for _, w := range why {
		fmt.Fprintf(&out, "; %d left out: %s", b.LeftOut[w], w)
	}
	return out.String()
}

func boardNote(b *plan.Board) string {
	need := strings.TrimSuffix(fmt.Sprintf("%.1f", b.NeedYd), ".0")
	return fmt.Sprintf("%s yards counts as a success here. %d of %d plays are in these concepts%s. All: weighted by "+
		"how often they run each.", need, b.Covered, b.Plays, leftOut(b))
}

// callTable is one line a call: what it gives up with its interval, the mix, its worst concept.
func callTable(b *plan.Board) *paper.Table {
	t := &paper.Table{Name: "calls", Columns: paper.Cols("call", "Call", "gives_up_points", "Gives up#",
		"gives_up_low", "95% from#", "gives_up_high", "to#", "stress", "They succeed#", "stress_low", "", "stress_high", "",
		"mix_share", "Mix#", "worst_concept", "Biggest problem", "worst_gives_up_points", "there#", "worst_stress", "")}
	for i := range b.Rows {
		r := &b.Rows[i]
		worst := &b.Concepts[r.Worst]
		t.Rows = append(t.Rows, paper.Cells(paper.T(r.Call), pointsCell(r.Points), pointsCell(r.PointsLow),
			pointsCell(r.PointsHigh), paper.Share(r.Stress), paper.Share(r.Low), paper.Share(r.High), paper.Share(r.Share),
			paper.T(worst.Concept+", "+worst.SetName), pointsCell(r.Cells[r.Worst].Points),
			paper.Share(r.Cells[r.Worst].Stress)))
	}
	return t
}

// pointsCell is points a snap.
func pointsCell(v float64) paper.Cell { return paper.Cell{Text: drawing.Points(v), Value: v} }

// cellTable is the numbers of the heat map.
func cellTable(b *plan.Board) *paper.Table {
	t := &paper.Table{Name: "board", DataOnly: true, Columns: paper.Cols("call", "Call", "concept", "Concept", "set_name",
		"Set", "plays", "Plays#", "gives_up_points", "Gives up#", "stress", "They succeed#",
		"defender", "Who", "open", "Open", "other", "Other threat",
		"short_yd",
		"Short (yd)#", "sentence", "In words")}
	for i := range b.Rows {
		for _, c := range b.Rows[i].Cells {
			k := &b.Concepts[c.Concept]
			row := paper.Cells(paper.T(c.Call), paper.T(k.Concept), paper.T(k.SetName), paper.I(k.Plays),
				pointsCell(c.Points), paper.Share(c.Stress))
			if len(c.Findings) > 0 {
				f := &c.Findings[0]
				row.Cells = append(row.Cells, paper.T(f.Defender), paper.T(f.Open), paper.T(f.Other), yards(f.ShortYd),
					paper.T(f.Sentence))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

func yards(y float64) paper.Cell { return paper.F("%.1f", y) }

// conflictCard draws one conflict with its sentence, rule and answer.
func conflictCard(n int, c *plan.Case) paper.Card {
	scene := drawing.Finding(c.Result, c.Found, drawing.Options{})
	return paper.Card{Title: fmt.Sprintf("%d. %s against %s from %s (n = %d%s)", n, ink.Name(c.Call),
		ink.Name(c.Concept), ink.Name(c.SetName), c.Plays, behind(c.AssumedText())), Blocks: []paper.Block{
		&paper.Figure{Drawing: &scene}, paper.B("%s", c.Finding.Told()), paper.P("Rule: %s.", ruleWords(c)),
		paper.P("Answer: %s", answerWords(c)), paper.P("%s", cureWords(c.Change))}}
}

// behind puts a remark behind a count, "" behind none.
func behind(said string) string {
	if said == "" {
		return ""
	}
	return "; " + said
}

// ruleWords is the rule the man is under, in a coach's words.
func ruleWords(c *plan.Case) string {
	when, do, both := strings.Cut(c.Finding.Rule, ": ")
	if !both {
		when, do = "", when
	}
	said, does, err := teach.Said(call.Rule{When: when, Then: do}, c.Result.Rep.Setup.Compiled.Call.Vertical)
	switch {
	case err != nil:
		return c.Finding.Rule
	case !both:
		return does
	}
	return said + ": " + does
}

// moved says where a number of yards went, as far as its printed digits tell.
func moved(from, to float64) string {
	was, is := fmt.Sprintf("%.1f", from), fmt.Sprintf("%.1f", to)
	if was == is {
		return is + ", as before"
	}
	return is + ", from " + was
}

// cureWords says what one change of the call would win and cost.
func cureWords(a *plan.Fix) string {
	if a == nil {
		return "No adjustment helps by half a yard. Call something else."
	}
	does := "Helps"
	if a.Cures {
		does = "Fixes it"
	}
	out := fmt.Sprintf("%s: %s Worse than good man coverage by %.1f yards here, down from %.1f; over all they "+
		"run by %s.", does, changeWords(a), a.WorstAfter, a.WorstBefore, moved(a.AllWorstBefore, a.AllWorstAfter))
	if h := a.Hurts; h != nil {
		out += fmt.Sprintf(" Costs most against %s from %s: %.1f yards, up from %.1f.", ink.Name(h.Concept),
			ink.Name(h.SetName), h.To, h.From)
	}
	return out
}

// answerWords says what could be done about a conflict.
func answerWords(c *plan.Case) string {
	out := "no other rule for these same defenders does better. "
	if b := c.Better; b != nil && b.BestYd < b.TaughtYd {
		out = "with a better rule these same defenders "
		switch {
		case b.TaughtYd < 0.05: // as played it is covered: he guessed right
			out += "cover it without guessing. "
		case b.BestYd < 0.05: // would be printed as 0.0
			out += fmt.Sprintf("cover it; as taught it is %.1f yards open. ", b.TaughtYd)
		default:
			out += fmt.Sprintf("get it down to %.1f yards from %.1f. ", b.BestYd, b.TaughtYd)
		}
	}
	if c.AnswerCall == c.Call {
		return out + fmt.Sprintf("None of our calls does better: they succeed %.0f%%.", 100*c.Stress)
	}
	best, here := fmt.Sprintf("%.0f%%", 100*c.AnswerStress), fmt.Sprintf("%.0f%%", 100*c.Stress)
	if best == here {
		return out + fmt.Sprintf("Our best call against it, but barely: %s; they succeed %s either way.", c.AnswerCall, best)
	}
	return out + fmt.Sprintf("Our best call against it: %s; they succeed %s, not %s.", c.AnswerCall, best, here)
}

// caseTable is the numbers of the conflict cards.
func caseTable(cs []plan.Case) *paper.Table {
	t := &paper.Table{Name: "conflicts", DataOnly: true, Columns: paper.Cols("rank", "#", "call", "Call", "concept",
		"Concept", "set_name", "Set", "plays", "Plays#", "stress", "They succeed#", "defender", "Who", "kind", "How", "open",
		"Open", "other", "Other threat",
		"short_yd", "Short (yd)#", "release_s", "Worst at (s)#", "from_s", "From (s)#", "to_s", "To (s)#", "rule", "Rule",
		"sentence", "In words", "taught_yd", "As taught (yd)#", "best_yd", "At best (yd)#", "answer_call", "Answer",
		"answer_stress", "then#", "assumed_plays", "",
		"change_kind", "Change", "change", "In words", "change_cures", "Fixes it", "change_gain_yd", "Wins here (yd)#",
		"change_net_yd", "Wins over all (yd)#", "change_worst_before_yd", "Largest here (yd)#", "change_worst_after_yd",
		"then#",
		"change_all_worst_before_yd", "Mean of all (yd)#", "change_all_worst_after_yd", "then#", "change_hurts_concept",
		"Costs most against", "change_hurts_set_name", "from", "change_hurts_from_yd", "There (yd)#", "change_hurts_to_yd",
		"then#")}
	for i := range cs {
		c := &cs[i]
		f := &c.Finding
		row := paper.Cells(paper.I(i+1), paper.T(c.Call), paper.T(c.Concept), paper.T(c.SetName), paper.I(c.Plays),
			paper.Share(c.Stress), paper.T(f.Defender), paper.T(f.Kind), paper.T(f.Open), paper.T(f.Other),
			yards(f.ShortYd), yards(f.ReleaseS), yards(f.FromS), yards(f.ToS), paper.T(f.Rule), paper.T(f.Sentence))
		if c.Better != nil {
			row.Cells = append(row.Cells, yards(c.Better.TaughtYd), yards(c.Better.BestYd))
		} else {
			row.Cells = append(row.Cells, paper.Unknown(), paper.Unknown())
		}
		row.Cells = append(row.Cells, paper.T(c.AnswerCall), paper.Share(c.AnswerStress), paper.I(c.Assumed))
		row.Cells = append(row.Cells, changeCells(c.Change)...) // last: a change that costs nothing has fewer
		t.Rows = append(t.Rows, row)
	}
	return t
}

// changeCells are a change's numbers, none where there is no change.
func changeCells(a *plan.Fix) []paper.Cell {
	if a == nil {
		return nil
	}
	cures := map[bool]string{true: "yes", false: "no"}[a.Cures]
	out := []paper.Cell{paper.T(a.Kind), paper.T(changeWords(a)), paper.T(cures), yards(a.GainYd), yards(a.NetYd),
		yards(a.WorstBefore), yards(a.WorstAfter), yards(a.AllWorstBefore), yards(a.AllWorstAfter)}
	if h := a.Hurts; h != nil {
		out = append(out, paper.T(h.Concept), paper.T(h.SetName), yards(h.From), yards(h.To))
	}
	return out
}
