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
	men   []*Position
}

// packets puts the men of all calls on their pages; those who only ever rush share the last.
func (s *PositionSheet) packets() (out []packet) {
	at := func(group string) *packet {
		i := slices.IndexFunc(out, func(x packet) bool { return x.group == group })
		if i < 0 {
			i, out = len(out), append(out, packet{group: group})
		}
		return &out[i]
	}
	rush := packet{group: "rush"}
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

// Document lays the packet out, one page a man.
func (s *PositionSheet) Document() *paper.Document {
	d := &paper.Document{Name: "position-sheets", Title: "Position packet", Furniture: s.Furniture}
	for _, x := range s.packets() {
		d.Blocks = append(d.Blocks, x.page(s.week))
	}
	if len(s.Positions) == 0 {
		d.Blocks = append(d.Blocks, paper.P("No active calls yet: activate some in the call book."))
	}
	d.Blocks = append(d.Blocks, s.data()...)
	return d
}

func (x *packet) page(w *plan.Week) paper.Block {
	var names, zones, reading []string
	add := func(to *[]string, words ...string) {
		for _, s := range words {
			if !slices.Contains(*to, s) {
				*to = append(*to, s)
			}
		}
	}
	for _, p := range x.men {
		add(&names, ink.Name(p.Defender))
		add(&zones, p.Zones...)
		for _, r := range p.Reading {
			if !strings.HasPrefix(r, "Two breaks") { // for the coach: how the engine reads a double move
				add(&reading, r)
			}
		}
	}
	title := ink.Capital(x.group)
	if len(names) > 1 || names[0] != x.group {
		title += ": " + strings.Join(names, ", ")
	}
	b := &paper.Spread{Head: []paper.Block{paper.H2(title)}, Body: x.calls()}
	if fits := x.fits(); len(fits) > 0 {
		b.Body = append(b.Body, paper.H3("My run fits"))
		for _, f := range fits {
			b.Body = append(b.Body, &paper.Paragraph{Text: f, Look: paper.Order})
		}
	}
	if len(zones) > 0 {
		b.Body = append(b.Body, paper.H3("My zones"))
		for _, z := range zones {
			b.Body = append(b.Body, &paper.Paragraph{Text: teach.Short(ink.Capital(z)), Look: paper.Order})
		}
	}
	if len(reading) > 0 {
		b.Body = append(b.Body, paper.N("%s", strings.Join(reading, " ")))
	}
	b.Foot = x.pictures(w)
	return b
}

// calls are the orders by call; calls that ask the same of him stand together.
func (x *packet) calls() (out []paper.Block) {
	var heads [][]string
	var orders [][]string
	for _, p := range x.men {
		head, said := strings.ToUpper(ink.Name(p.Call)), p.orders()
		if p.Defender != x.group && len(x.men) > 1 {
			head += " (" + ink.Name(p.Defender) + ")"
		}
		i := slices.IndexFunc(orders, func(o []string) bool { return slices.Equal(o, said) })
		if i < 0 {
			i, heads, orders = len(orders), append(heads, nil), append(orders, said)
		}
		heads[i] = append(heads[i], head)
	}
	for i := range heads {
		out = append(out, paper.H3(strings.Join(heads[i], ", ")))
		for _, o := range orders[i] {
			out = append(out, &paper.Paragraph{Text: o, Look: paper.Order})
		}
	}
	return out
}

// orders are what one call asks of a man, one order a line; of a check only what it changes.
func (p *Position) orders() (out []string) {
	for i := range p.Taught {
		t := &p.Taught[i]
		was := &Teaching{}
		if t.Check != "" {
			was = p.before(t)
			head := "Check " + strings.ToUpper(t.Check)
			if s := t.sets(); len(s) > 0 {
				head += " vs " + strings.Join(s, ", ")
			}
			if len(t.Sides) == 1 && len(p.Sides) > 1 {
				head += ", " + t.Sides[0] + " side"
			}
			out = append(out, head+":")
		}
		out = append(out, t.changed(was)...)
	}
	for i := range out {
		out[i] = ink.Capital(teach.Short(out[i]))
	}
	return out
}

// before is the teaching that a check changes, an empty one where the man is new in it.
func (p *Position) before(t *Teaching) *Teaching {
	for i := range p.Taught {
		if b := &p.Taught[i]; b.Check == "" && slices.Contains(b.Sides, t.Sides[0]) {
			return b
		}
	}
	return &Teaching{}
}

// changed are the orders of a teaching, without what is as it was.
func (t *Teaching) changed(was *Teaching) (out []string) {
	same := func(a, b Lineup) bool { return a.When == b.When && a.Where == b.Where }
	if !slices.EqualFunc(t.Align, was.Align, same) {
		for k := range t.Align {
			out = append(out, "Line up "+lineup(t.Align, k))
		}
	}
	if t.Keys != was.Keys && t.Keys != teach.Keys(nil) {
		out = append(out, t.Keys)
	}
	if slices.Equal(t.Rules, was.Rules) {
		out = append(out, "Rules as before.")
	} else {
		for _, r := range t.Rules {
			out = append(out, order(r, len(t.Rules))...)
		}
	}
	if t.Fit != "" && t.Fit != was.Fit {
		out = append(out, t.Fit)
	}
	return out
}

// order is a rule, one order a line: what he has first, then what he does beside it.
func order(r Line, of int) []string {
	out := strings.Split(r.Do, "; ")
	for i := range out[1:] {
		out[i+1] = also + out[i+1] + "."
	}
	if of > 1 {
		out[0] = r.When + ": " + out[0]
	}
	out[0] += "."
	return out
}

// also begins the line of an order that goes with the one above it.
const also = "– and "

// lineup is an alignment as one order: where, and when it counts.
func lineup(as []Lineup, i int) string {
	switch {
	case as[i].When != "":
		return as[i].Where + ", when " + as[i].When + "."
	case len(as) == 1:
		return as[i].Where + "."
	}
	return "otherwise " + as[i].Where + "."
}

// sets are those of theirs in which the check is made.
func (t *Teaching) sets() (out []string) {
	for i := range t.Align {
		for _, s := range t.Align[i].Sets {
			if n := ink.Name(s.SetName); !slices.Contains(out, n) {
				out = append(out, n)
			}
		}
	}
	return out
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
			Blocks: []paper.Block{&paper.Figure{Drawing: &scene}, paper.B("In %s you are the %s.", call, s.Man)}}
		for _, do := range s.Do {
			c.Blocks = append(c.Blocks, paper.P("%s", teach.Short(do)))
		}
		g.Cards = append(g.Cards, c)
	}
	if len(g.Cards) == 0 {
		return nil
	}
	return []paper.Block{paper.H3("What I will see most"), g}
}
