package handout

import (
	"fmt"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
)

// Document lays the sheet out on two sides of one sheet: the first three downs, then what is
// called apart.
func (s *CallSheet) Document() *paper.Document {
	d := &paper.Document{Name: "call-sheet", Title: "Call sheet", Furniture: s.Furniture, Pages: 2}
	if p := s.Plan; p != nil {
		word, _, _ := strings.Cut(p.State(), " ")
		d.Title += ", " + word
	}
	for _, back := range []bool{false, true} {
		g := s.side(back)
		if len(g.Cards) == 0 {
			continue
		}
		if len(d.Blocks) > 0 {
			d.Blocks = append(d.Blocks, &paper.PageBreak{})
		}
		d.Blocks = append(d.Blocks, g)
	}
	if len(s.Boxes) == 0 {
		d.Blocks = append(d.Blocks, paper.P("No situation yet: tag plays with down and distance first."))
	}
	d.Blocks = append(d.Blocks, s.foot()...)
	return d
}

// side are the boxes of the front or the back that say something else than the base call.
func (s *CallSheet) side(back bool) *paper.Grid {
	g := &paper.Grid{Columns: 2}
	if s.Percent { // a line more under each call
		g.Columns = 3
	}
	for i := range s.Boxes {
		if s.Boxes[i].Back == back && !s.Boxes[i].alike(s.Base) {
			g.Cards = append(g.Cards, s.Boxes[i].card(s))
		}
	}
	return g
}

// foot is what counts for all boxes: the base call, the checks, how the sheet is read.
func (s *CallSheet) foot() (out []paper.Block) {
	if s.Base != "" {
		out = append(out, &paper.Paragraph{Text: "BASE: " + shout(s.Base), Look: paper.Called})
	}
	if groups := s.alike(); len(groups) > 0 {
		out = append(out, paper.B("Same vs %s personnel", strings.Join(groups, ", ")))
	}
	if lines := s.checked(); len(lines) > 0 {
		out = append(out, paper.H3("Checks"))
		for _, l := range lines {
			out = append(out, &paper.Paragraph{Text: l, Look: paper.Strong})
		}
	}
	say := "Black bar: the coordinator's calls, most used first. White bar: recommended. Base: too few of " +
		"their plays to say more. Alert: their concept, then our man it puts in conflict in the first call. " +
		"Personnel: only where a call other than base comes first. n: their plays."
	if s.Plan != nil {
		say += " Stats as of " + s.Plan.MadeAt.Format("Jan 2, 2006") + "."
	}
	if s.Percent {
		say += " Percent: how often we mean to call it, and the chance that their play succeeds against it."
	}
	return append(append(out, paper.N("%s", say)), s.data()...)
}

// alike are their personnel against which the base call comes first too.
func (s *CallSheet) alike() (out []string) {
	for i := range s.Boxes {
		if b := &s.Boxes[i]; s.Base != "" && b.alike(s.Base) {
			out = append(out, b.Group)
		}
	}
	return out
}

// checked are the checks that some set of theirs asks for: "PALMS vs 3x1: SOLO".
func (s *CallSheet) checked() (out []string) {
	for _, c := range s.Checks {
		if len(c.Sets) == 0 {
			continue
		}
		sets := make([]string, len(c.Sets))
		for i, n := range c.Sets {
			sets[i] = ink.Name(n)
		}
		out = append(out, fmt.Sprintf("%s vs %s: %s", shout(c.Call), strings.Join(sets, ", "), shout(c.Check)))
	}
	return out
}

// shout is a call as it is read from afar.
func shout(s string) string { return strings.ToUpper(ink.Name(s)) }

// card is a box on paper.
func (b *Box) card(s *CallSheet) paper.Card {
	behind := ""
	if !b.Whole { // of all their plays it would say nothing of the n beside it
		behind = assumed(b.Assumed, b.Behind)
	}
	c := paper.Card{Title: fmt.Sprintf("%s  (n = %d%s)",
		strings.ReplaceAll(strings.ToUpper(b.Situation), " AND ", " & "), b.Plays, behind), Marked: b.Own}
	if b.Own {
		c.Title += "  OUR CHOICE"
	}
	if b.base() {
		c.Blocks = append(c.Blocks, &paper.Paragraph{Text: "base", Look: paper.Called})
		return c
	}
	c.Blocks = append(c.Blocks, b.called(s.Percent)...)
	if w := b.Watch; w != nil {
		c.Blocks = append(c.Blocks, paper.B("ALERT %s: %s%s", shout(w.Concept), w.Defender, assumed(w.Assumed, w.Plays)))
	}
	for _, a := range b.Alerts {
		c.Blocks = append(c.Blocks, paper.B("vs %s: %s", ink.Name(a.SetName), shout(a.Call)))
	}
	if b.Note != "" {
		c.Blocks = append(c.Blocks, paper.P("Note: %s", b.Note))
	}
	return c
}

// called are a box's calls, with the reason under each where the sheet carries percentages.
func (b *Box) called(percent bool) (out []paper.Block) {
	for i := range b.Picks {
		p := &b.Picks[i]
		out = append(out, &paper.Paragraph{Text: shout(p.Call), Look: paper.Called})
		if why := b.why(p); percent && why != "" {
			out = append(out, paper.N("%s", why))
		}
	}
	return out
}

// why is the line under a call of a sheet with percentages.
func (b *Box) why(p *plan.Pick) string {
	var parts []string
	switch {
	case p.Own != nil:
		parts = append(parts, fmt.Sprintf("call it %.0f%%", 100**p.Own))
	case p.Mixed():
		parts = append(parts, fmt.Sprintf("in the mix %.0f%%", 100*p.Share))
	}
	if p.Reason != "" {
		parts = append(parts, p.Reason)
	}
	if b.Behind > 0 {
		parts = append(parts, fmt.Sprintf("they succeed %.0f%%", 100*p.Stress))
	}
	return strings.Join(parts, ", ")
}
