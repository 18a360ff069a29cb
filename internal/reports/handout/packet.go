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
		if name := ink.Name(p.Defender); sideless(name) != x.group {
			add(&names, name)
		}
		add(&zones, p.Zones...)
		for _, r := range p.Reading {
			if !strings.HasPrefix(r, "Two breaks") { // for the coach: how the engine reads a double move
				add(&reading, r)
			}
		}
	}
	title := ink.Capital(x.group)
	if len(names) > 0 {
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
	return teach.Short(ink.Capital(name) + ": drop " + drop)
}

// sideless is a man's name without his side.
func sideless(name string) string {
	return strings.TrimPrefix(strings.TrimPrefix(name, "strong "), "weak ")
}

// calls are the orders by call; calls that ask the same of him stand together, and what is
// played as in a call above is not said twice.
func (x *packet) calls() (out []paper.Block) {
	type page struct {
		heads       []string
		base, check []string
	}
	var all []page
	for _, p := range x.men {
		base, check := p.orders()
		head := x.head(p)
		same := func(o page) bool { return slices.Equal(o.base, base) }
		i := slices.IndexFunc(all, func(o page) bool { return same(o) && slices.Equal(o.check, check) })
		if i < 0 {
			i, all = len(all), append(all, page{base: base, check: check})
		}
		all[i].heads = append(all[i].heads, head)
	}
	for i, o := range all {
		as := slices.IndexFunc(all, func(y page) bool { return slices.Equal(y.base, o.base) })
		if as < i && len(o.base) > 2 {
			o.base = []string{"Play it like " + all[as].heads[0] + "."}
		}
		out = append(out, paper.H3(strings.Join(o.heads, "; ")))
		for _, line := range slices.Concat(o.base, o.check) {
			look := paper.Order
			if strings.HasPrefix(line, checked) {
				look = paper.Strong
			}
			out = append(out, &paper.Paragraph{Text: line, Look: look})
		}
	}
	return out
}

// head is a call with the side or the man it is about, where the page has more than one.
func (x *packet) head(p *Position) string {
	head, side := strings.ToUpper(ink.Name(p.Call)), ""
	switch {
	case p.Defender == x.group || len(x.men) == 1:
		return head
	case sideless(p.Defender) != x.group:
		side = ink.Name(p.Defender)
	case p.Defender != sideless(p.Defender):
		side = p.Sides[0] + " side"
	}
	return head + ", " + side
}

// checked begins the line of a check.
const checked = "Check "

// orders are what one call asks of a man, one order a line, and of its checks only what they
// change, those alone that a set of theirs brings.
func (p *Position) orders() (base, check []string) {
	for i := range p.Taught {
		t := &p.Taught[i]
		if t.Check == "" {
			base = append(base, t.changed(&Teaching{Fit: p.role(t)})...)
			continue
		}
		sets := t.sets()
		if len(sets) == 0 {
			continue
		}
		head := checked + strings.ToUpper(t.Check) + " vs " + strings.Join(sets, ", ")
		if len(t.Sides) == 1 && len(p.Sides) > 1 {
			head += ", " + t.Sides[0] + " side"
		}
		check = append(append(check, head+":"), t.changed(p.before(t))...)
	}
	for _, lines := range [][]string{base, check} {
		for i := range lines {
			lines[i] = ink.Capital(teach.Short(lines[i]))
		}
	}
	return base, check
}

// role is his run role where his run fits say more: then it is not said twice.
func (p *Position) role(t *Teaching) string {
	if len(p.Fits) > 0 {
		return t.Fit
	}
	return ""
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
	if now := t.lineups(); !slices.Equal(now, was.lineups()) {
		out = append(out, now...)
	}
	if t.Keys != was.Keys && t.Keys != teach.Keys(nil) && len(t.Rules) > 1 {
		out = append(out, t.Keys)
	}
	if slices.Equal(t.Rules, was.Rules) {
		out = append(out, "Rules as before.")
	} else {
		rules := merged(t.Rules)
		for _, r := range rules {
			out = append(out, order(r, len(rules))...)
		}
	}
	if t.Fit != "" && t.Fit != was.Fit {
		out = append(out, t.Fit)
	}
	return out
}

// merged makes one of rules that follow each other and ask the same: whichever fits first.
func merged(rules []Line) (out []Line) {
	for _, r := range rules {
		if n := len(out) - 1; n >= 0 && out[n].Do == r.Do && r.When != teach.Otherwise {
			out[n].When += "; or " + r.When
			continue
		}
		out = append(out, r)
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

// lineups say where he lines up, one order a line: against the sets they show, all ways where
// none of these is his.
func (t *Teaching) lineups() (out []string) {
	as := slices.DeleteFunc(slices.Clone(t.Align), func(l Lineup) bool { return len(l.Sets) == 0 })
	if len(as) == 0 {
		as = t.Align
	}
	for i := range as {
		where := as[i].Where
		if !slices.ContainsFunc(as[i].Sets, func(s Stand) bool { return s.missing }) {
			where = as[i].bare
		}
		switch last := len(out) - 1; {
		case len(as) == 1:
			out = append(out, "Line up "+where+".")
		case last >= 0 && strings.HasPrefix(out[last], "Line up "+where+", when "):
			out[last] = strings.TrimSuffix(out[last], ".") + ", or " + as[i].When + "."
		case as[i].When != "":
			out = append(out, "Line up "+where+", when "+as[i].When+".")
		default:
			out = append(out, "Line up otherwise "+where+".")
		}
	}
	return out
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
			Blocks: []paper.Block{&paper.Figure{Drawing: &scene}, paper.B("%s: you are the %s.", call, s.Man)}}
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
