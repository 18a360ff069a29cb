package handout

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
)

// A packet is one man's page: what he does in each call, one order a line.
type packet struct {
	group string
	side  string // "": of both
	men   []*Position
}

// rushers is the page of those who only ever rush.
const rushers = "rush"

// packets puts the men of all calls on their pages; those who only ever rush share the last.
func (s *PositionSheet) packets() (out []packet) {
	at := func(group string) *packet {
		i := slices.IndexFunc(out, func(x packet) bool { return x.group == group })
		if i < 0 {
			i, out = len(out), append(out, packet{group: group})
		}
		return &out[i]
	}
	rush := packet{group: rushers}
	for i := range s.Positions {
		p := &s.Positions[i]
		if p.rusher {
			rush.men = append(rush.men, p)
			continue
		}
		x := at(p.group)
		x.men = append(x.men, p)
	}
	if len(rush.men) > 0 {
		out = append(out, rush)
	}
	return out
}

// Document lays the packet out, one page a man: men who play the same on either side share
// one where it holds them, else each side has its own.
func (s *PositionSheet) Document() *paper.Document {
	d := &paper.Document{Name: "position-sheets", Title: "Position packet", Furniture: s.Furniture}
	for _, x := range s.packets() {
		page := x.page(s.week)
		for _, side := range x.sides() {
			one := x.on(side)
			page.Apart = append(page.Apart, one.page(s.week))
		}
		d.Blocks = append(d.Blocks, page)
	}
	if len(s.Positions) == 0 {
		d.Blocks = append(d.Blocks, paper.P("No active calls yet: activate some in the call book."))
	}
	d.Blocks = append(d.Blocks, s.data()...)
	return d
}

func (x *packet) page(w *plan.Week) *paper.Spread {
	var names, zones, reading []string
	add := func(to *[]string, words ...string) {
		for _, s := range words {
			if !slices.Contains(*to, s) {
				*to = append(*to, s)
			}
		}
	}
	for _, p := range x.men {
		if name := ink.Name(p.Defender); sideless(name) != x.group {
			add(&names, name)
		}
		for _, t := range p.printed() {
			for _, r := range t.rules {
				add(&zones, groundOf(p.of, r.Then)...)
			}
			for _, r := range readingOf(p.of, &t) {
				if !strings.HasPrefix(r, "Two breaks") { // for the coach: how the engine reads a double move
					add(&reading, r)
				}
			}
		}
	}
	title := ink.Capital(x.group)
	if x.side != "" {
		title += ", " + x.side + " side"
	}
	if len(names) > 0 {
		title += ": " + strings.Join(names, ", ")
	}
	b := &paper.Spread{Head: []paper.Block{paper.H2(title)}, Body: x.calls()}
	if len(zones) > 0 {
		b.Body = append(b.Body, paper.H3("My zones: drop to"))
		for _, z := range zones {
			b.Body = append(b.Body, &paper.Paragraph{Text: landmark(z), Look: paper.Order})
		}
	}
	if len(reading) > 0 {
		b.Body = append(b.Body, paper.N("%s", strings.Join(reading, " ")))
	}
	b.Foot = x.pictures(w)
	return b
}

// landmark is where a zone drops to, without its bounds, which are for the coach.
func landmark(zone string) string {
	name, _, _ := strings.Cut(zone, ":")
	_, drop, _ := strings.Cut(zone, ". Drop ")
	return teach.Short(ink.Capital(name) + ": " + strings.TrimPrefix(drop, "to "))
}

// sideless is a man's name without his side.
func sideless(name string) string {
	return strings.TrimPrefix(strings.TrimPrefix(name, "strong "), "weak ")
}

// head is a call with the side or the man it is about, where the page has more than one.
func (x *packet) head(p *Position) string {
	head, side := strings.ToUpper(ink.Name(p.Call)), ""
	switch {
	case p.Defender == x.group || len(x.men) == 1:
		return head
	case sideless(p.Defender) != x.group:
		side = ink.Name(p.Defender)
	case p.Defender != sideless(p.Defender) && x.side == "":
		side = p.Sides[0] + " side"
	default:
		return head
	}
	return head + ", " + side
}

// called is what the page calls a man: on the page of one side without it.
func (x *packet) called(man string) string {
	if x.side == "" {
		return man
	}
	return sideless(man)
}

// pictures are the three he will see most, each in the call that asks most of him there.
func (x *packet) pictures(w *plan.Week) []paper.Block {
	type seen struct {
		*Shown
		call string
	}
	var all []seen
	for _, p := range x.men {
		for i := range p.Shown {
			all = append(all, seen{&p.Shown[i], p.Call})
		}
	}
	slices.SortStableFunc(all, func(a, b seen) int {
		return cmp.Or(cmp.Compare(b.Plays, a.Plays), cmp.Compare(b.ShortYd, a.ShortYd), cmp.Compare(a.spare(), b.spare()))
	})
	g := &paper.Grid{Columns: pictures}
	var had []int
	for _, s := range all {
		if len(had) == pictures || slices.Contains(had, s.concept) {
			continue
		}
		had = append(had, s.concept)
		ci := slices.IndexFunc(w.Calls, func(c plan.Named) bool { return c.Name == s.call })
		scene := drawing.Call(w.Results[ci][s.concept], drawing.Options{FromDefense: true, Bare: s.Man,
			Close: w.Concepts[s.concept].Runs()})
		call := strings.ToUpper(ink.Name(s.call))
		if s.Check != "" {
			call += ", " + strings.ToUpper(s.Check)
		}
		c := paper.Card{Title: fmt.Sprintf("%s, %s (n = %d%s)", ink.Name(s.Concept), ink.Name(s.SetName), s.Plays,
			assumed(s.Assumed, s.Plays)),
			Blocks: []paper.Block{&paper.Figure{Drawing: &scene}, paper.B("%s: %s", call, x.called(s.Man))}}
		if n := len(s.Do); n > 0 { // what it comes to; how it gets there stands in his rules
			for i, one := range strings.Split(strings.TrimSuffix(s.Do[n-1], "."), "; ") {
				if i > 0 {
					one = also + one
				}
				c.Blocks = append(c.Blocks, &paper.Paragraph{Text: teach.Short(one) + ".", Look: paper.Order})
			}
		}
		g.Cards = append(g.Cards, c)
	}
	if len(g.Cards) == 0 {
		return nil
	}
	return []paper.Block{paper.H3("What I will see most"), g}
}
