package handout

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
)

// Document lays the sheets out, a page or two a man; rushers share one.
func (s *PositionSheet) Document() *paper.Document {
	d := &paper.Document{Name: "position-sheets", Title: "Position sheet", Furniture: s.Furniture}
	for i := range s.Positions {
		p := &s.Positions[i]
		if i > 0 && !(p.rusher && s.Positions[i-1].rusher && s.Positions[i-1].Call == p.Call) {
			d.Blocks = append(d.Blocks, &paper.PageBreak{})
		}
		d.Blocks = append(d.Blocks, p.page(s.week)...)
	}
	if len(s.Positions) == 0 {
		d.Blocks = append(d.Blocks,
			paper.P("The program has no active calls yet: store some under calls (the built-in book is at /v1/book)."))
	} else {
		d.Blocks = append(d.Blocks, paper.H3("Signs"), &paper.Figure{Drawing: drawing.Signs{}})
	}
	d.Blocks = append(d.Blocks, s.data()...)
	return d
}

func (p *Position) page(w *plan.Week) []paper.Block {
	out := []paper.Block{paper.H2(fmt.Sprintf("%s (%s side) in %s", capital(p.Defender), strings.Join(p.Sides, " and "),
		ink.Name(p.Call)))}
	if p.CallTitle != "" {
		out = append(out, paper.N("%s.", strings.TrimSuffix(p.CallTitle, ".")))
	}
	for i := range p.Taught {
		out = append(out, p.Taught[i].blocks(i > 0)...)
	}
	for i, z := range p.Zones {
		if i == 0 {
			out = append(out, paper.H3("My zones"))
		}
		out = append(out, paper.P("%s", capital(z)))
	}
	if len(p.Reading) > 0 {
		out = append(out, paper.N("%s", strings.Join(p.Reading, " ")))
	}
	if p.rusher {
		return out
	}
	if p.Conflict != nil {
		out = append(out, p.Conflict.blocks()...)
	} else if len(p.Shown) > 0 {
		out = append(out, paper.H3("My conflict"),
			paper.P("None found: no picture of theirs puts you between two threats in this call."))
	}
	return append(out, p.shown(w)...)
}

func (t *Teaching) blocks(changes bool) []paper.Block {
	var out []paper.Block
	if changes {
		s := "Check " + t.Check + " (" + strings.Join(t.Sides, " and ") + " side): when " + t.When
		out = append(out, paper.B("%s", s))
	}
	align := &paper.Table{Columns: paper.Cols("", "When", "", "Where I line up", "",
		"Against their sets: yards from the ball / deep")}
	for i := range t.Align {
		a := &t.Align[i]
		align.Rows = append(align.Rows, paper.Cells(paper.T(alignWhen(t.Align, i)), paper.T(a.Where),
			paper.T(stands(a.Sets))))
	}
	rules := &paper.Table{Columns: paper.Cols("", "When (the first line that fits counts)", "", "What I do")}
	for _, r := range t.Rules {
		when := r.When
		if len(t.Rules) == 1 {
			when = "always"
		}
		rules.Rows = append(rules.Rows, paper.Cells(paper.T(capital(when)), paper.T(capital(r.Do))))
	}
	out = append(out, align, paper.B("%s", t.Keys+" "+t.Fit), rules)
	return out
}

// alignWhen says when an alignment counts, the first that fits.
func alignWhen(as []Lineup, i int) string {
	switch {
	case as[i].When != "":
		return capital(as[i].When)
	case len(as) == 1:
		return "Always"
	}
	return "Otherwise"
}

// stands puts sets in a row; the two sides of a set in one when they are alike.
func stands(ss []Stand) string {
	if len(ss) == 0 {
		return "none of theirs"
	}
	var out []string
	for i := 0; i < len(ss); i++ {
		s := &ss[i]
		side := " " + s.Side
		if i+1 < len(ss) && ss[i+1].SetName == s.SetName && ss[i+1].OutYd == s.OutYd && ss[i+1].DeepYd == s.DeepYd {
			side = ""
			i++
		}
		out = append(out, fmt.Sprintf("%s%s %s / %s", ink.Name(s.SetName), side, tenth(s.OutYd), tenth(s.DeepYd)))
	}
	return strings.Join(out, "; ")
}

func (c *InConflict) blocks() []paper.Block {
	f := &c.Finding
	mine := []paper.Block{
		paper.P("%s from %s (they ran it %d times).", ink.Name(capital(c.Concept)), ink.Name(c.SetName), c.Plays),
		paper.B("%s", f.Told()),
	}
	answer := []paper.Block{paper.P("Play your rule. %s", ruleSaid(c.Rule))}
	if c.Helper != "" {
		help := "Your help on %s: the %s, %s."
		if c.HelperShort > 0 {
			help = "Nobody else gets to %s: the nearest is the %s, %s."
		}
		answer = append(answer, paper.P(help, f.Open, c.Helper, missed(c.HelperShort)))
	}
	if b := c.Better; b != nil && b.TaughtYd-b.BestYd > 0.05 {
		answer = append(answer,
			paper.P("Talk: if the men choose who takes what once it shows, the most open throw is %s; as taught it is %s.",
				missed(b.BestYd), missed(b.TaughtYd)))
	}
	if p := c.Proposed; p != nil {
		answer = append(answer, paper.B("Proposed, not taught yet:"),
			paper.P("%s It would cure this (%.1f yd less are open) and cost nothing against the rest of what they run (%.1f "+
				"less in the mean).", p.Words, p.Gain, p.Net))
	}
	coach := fmt.Sprintf("For the coach: in this call the play succeeds %.0f %% of the time", 100*c.Stress)
	if c.LeastCall == c.call {
		answer = append(answer, paper.N("%s; none of our calls gives up less.", coach))
	} else {
		answer = append(answer, paper.N("%s; in %s, which gives up least, %.0f %%.", coach, ink.Name(c.LeastCall),
			100*c.LeastStress))
	}
	return []paper.Block{&paper.Grid{Columns: 2, Cards: []paper.Card{{Title: "My conflict", Blocks: mine},
		{Title: "My answer", Blocks: answer}}}}
}

func ruleSaid(l Line) string {
	if l.When == teach.Otherwise {
		return capital(l.Do) + "."
	}
	return "When " + l.When + ": " + l.Do + "."
}

// missed says how far from a ball a man is.
func missed(short float64) string {
	if short > 0 {
		return fmt.Sprintf("%.1f yd short", short)
	}
	return fmt.Sprintf("there with %.1f yd to spare", -short)
}

func (p *Position) shown(w *plan.Week) []paper.Block {
	if len(p.Shown) == 0 {
		return []paper.Block{paper.H3("Pictures of theirs"), paper.P("No concept of this opponent has routes tagged yet.")}
	}
	ci := 0
	for i := range w.Calls {
		if w.Calls[i].Name == p.Call {
			ci = i
		}
	}
	g := &paper.Grid{Columns: pictures}
	for i := range p.Shown {
		s := &p.Shown[i]
		r := w.Results[ci][s.concept]
		o := drawing.Options{FromDefense: true}
		scene := drawing.Call(r, o)
		if s.finding >= 0 {
			scene = drawing.Finding(r, s.finding, o)
		}
		c := paper.Card{Title: fmt.Sprintf("%s, %s (n = %d%s)", ink.Name(s.Concept), ink.Name(s.SetName), s.Plays,
			assumed(s.Assumed, s.Plays)),
			Blocks: []paper.Block{&paper.Figure{Drawing: &scene}}}
		you := "You are the " + s.Man + "."
		if s.Check != "" {
			you += " Check: " + s.Check + "."
		}
		c.Blocks = append(c.Blocks, paper.N("%s", you), &paper.Items{Texts: s.Do})
		if s.ShortYd > 0 {
			c.Blocks = append(c.Blocks, paper.N("%s", s.Sentence))
		}
		g.Cards = append(g.Cards, c)
	}
	return []paper.Block{paper.H3("Pictures they will show me (most run; by the yards they ask of me; seen from the " +
		"defense)"), g}
}

// data are the tables of spreadsheets, all men together.
func (s *PositionSheet) data() []paper.Block {
	rules := &paper.Table{Name: "rules", DataOnly: true, Columns: paper.Cols("call", "", "defender", "", "check", "",
		"keys", "", "when", "", "do", "")}
	align := &paper.Table{Name: "alignments", DataOnly: true, Columns: paper.Cols("call", "", "defender", "", "check", "",
		"when", "", "where", "", "set_name", "", "plays", "", "side", "", "out_yd", "", "deep_yd", "")}
	shown := &paper.Table{Name: "pictures", DataOnly: true, Columns: paper.Cols("call", "", "defender", "", "set_name", "",
		"concept", "", "plays", "", "assumed_plays", "", "picture", "", "man", "", "do", "", "short_yd", "", "sentence", "")}
	conflicts := &paper.Table{Name: "conflicts", DataOnly: true, Columns: paper.Cols("call", "", "defender", "",
		"set_name", "", "concept", "", "plays", "", "short_yd", "", "release_s", "", "sentence", "", "when", "", "do", "",
		"helper", "", "helper_short_yd", "", "stress", "", "least_call", "", "least_stress", "", "proposed_kind", "",
		"proposed", "", "proposed_gain_yd", "", "proposed_net_yd", "")}
	num := func(v float64) paper.Cell { return paper.F("%.1f", v) }
	for i := range s.Positions {
		p := &s.Positions[i]
		who := []paper.Cell{paper.T(p.Call), paper.T(p.Defender)}
		row := func(t *paper.Table, cs ...paper.Cell) {
			t.Rows = append(t.Rows, paper.Row{Cells: append(who[:2:2], cs...)})
		}
		for k := range p.Taught {
			t := &p.Taught[k]
			for _, r := range t.Rules {
				row(rules, paper.T(t.Check), paper.T(t.Keys), paper.T(r.When), paper.T(r.Do))
			}
			for _, a := range t.Align {
				for _, x := range a.Sets {
					row(align, paper.T(t.Check), paper.T(a.When), paper.T(a.Where), paper.T(x.SetName), paper.I(x.Plays),
						paper.T(x.Side), num(x.OutYd), num(x.DeepYd))
				}
			}
		}
		for _, x := range p.Shown {
			row(shown, paper.T(x.SetName), paper.T(x.Concept), paper.I(x.Plays), paper.I(x.Assumed), paper.T(x.Picture),
				paper.T(x.Man), paper.T(strings.Join(x.Do, " ")), num(x.ShortYd), paper.T(x.Sentence))
		}
		if c := p.Conflict; c != nil {
			cells := []paper.Cell{paper.T(c.SetName), paper.T(c.Concept), paper.I(c.Plays), num(c.Finding.ShortYd),
				num(c.Finding.ReleaseS), paper.T(c.Finding.Sentence), paper.T(c.Rule.When), paper.T(c.Rule.Do),
				paper.T(c.Helper), num(c.HelperShort), num(c.Stress), paper.T(c.LeastCall), num(c.LeastStress)}
			if x := c.Proposed; x != nil {
				cells = append(cells, paper.T(x.Kind), paper.T(x.Words), num(x.Gain), num(x.Net))
			}
			row(conflicts, cells...)
		}
	}
	return []paper.Block{rules, align, shown, conflicts}
}

// tenth writes a length to a tenth of a yard, without a needless zero.
func tenth(v float64) string {
	return strconv.FormatFloat(math.Round(10*v)/10+0, 'f', -1, 64)
}

func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}
