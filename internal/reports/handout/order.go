package handout

import (
	"slices"
	"strings"

	"overhang/internal/reports/ink"
	"overhang/internal/reports/teach"
)

// checked begins the line of a check.
const checked = "Check "

// orders are what one call asks of a man, one order a line, and of its checks only what they
// change, those alone that a set of theirs brings.
type orders struct {
	lineup, rules, fits, check []string
	base                       Teaching // his rules are those of
}

func (o *orders) equal(y *orders) bool {
	return slices.Equal(o.lineup, y.lineup) && slices.Equal(o.rules, y.rules) && slices.Equal(o.fits, y.fits) &&
		slices.Equal(o.check, y.check)
}

func (p *Position) orders(told []string) (o orders) {
	taught := p.printed()
	for i := range taught {
		t := &taught[i]
		if t.Check == "" {
			o.base, o.lineup = *t, append(o.lineup, t.lineups()...)
			o.rules = append(o.rules, t.changed(&Teaching{Fit: p.role(t), Align: t.Align})...)
			continue
		}
		was := before(taught, t)
		if len(p.Fits) > 0 {
			was.Fit = t.Fit // his run fits say it
		}
		o.check = append(append(o.check, p.checkHead(t)+":"), t.changed(&was)...)
	}
	o.fits = p.fits(told)
	for _, lines := range [][]string{o.lineup, o.rules, o.fits, o.check} {
		for i := range lines {
			lines[i] = ink.Capital(teach.Short(lines[i]))
		}
	}
	return o
}

// checkHead names a check, the sets it is made against and, where only one of his sides changes, that side.
func (p *Position) checkHead(t *Teaching) string {
	head := checked + strings.ToUpper(t.Check) + " vs " + strings.Join(t.sets(), ", ")
	if len(t.Sides) == 1 && len(p.Sides) > 1 {
		head += ", " + t.Sides[0] + " side"
	}
	return head
}

// role is his run role where his run fits say more: then it is not said twice.
func (p *Position) role(t *Teaching) string {
	if len(p.Fits) > 0 {
		return t.Fit
	}
	return ""
}

// before is the teaching that a check changes, an empty one where the man is new in it.
func before(taught []Teaching, t *Teaching) Teaching {
	for _, b := range taught {
		if b.Check == "" && slices.Contains(b.Sides, t.Sides[0]) {
			return b
		}
	}
	return Teaching{}
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
		out = append(out, ordered(t.Rules)...)
	}
	if t.Fit != "" && t.Fit != was.Fit {
		out = append(out, t.Fit)
	}
	return out
}

// ordered are rules, one order a line: first what goes with every one of them.
func ordered(rules []Line) (out []string) {
	rules = merged(rules)
	if all := withAll(rules); all != "" {
		out = append(out, ink.Capital(all)+".")
		for i := range rules {
			rules[i].Do = strings.TrimSuffix(rules[i].Do, "; "+all)
		}
	}
	for _, r := range rules {
		out = append(out, order(r, len(rules))...)
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

// withAll is what stands last in every one of several rules, or is all of it; "": nothing does.
func withAll(rules []Line) string {
	if len(rules) < 3 {
		return ""
	}
	_, all, _ := strings.Cut(rules[0].Do, "; ")
	if all == "" {
		all = rules[0].Do
	}
	for _, r := range rules {
		if r.Do != all && !strings.HasSuffix(r.Do, "; "+all) {
			return ""
		}
	}
	return all
}

// order is a rule, one order a line: what he has first, and from where; then what he does
// beside it.
func order(r Line, of int) []string {
	out := strings.Split(r.Do, "; ")
	if len(out) > 1 {
		out = fromZone(out)
	}
	if strings.Contains(out[0], across) { // who follows a man across the field helps nobody behind him
		out = slices.DeleteFunc(out, func(s string) bool { return strings.HasPrefix(s, "help on ") })
	}
	for i := range out[1:] {
		out[i+1] = also + out[i+1] + "."
	}
	if of > 1 {
		out[0] = r.When + ": " + out[0]
	}
	out[0] += "."
	return out
}

// fromZone says the zone within the man's order where both are his: "carry #2 from the hook".
func fromZone(out []string) []string {
	for _, way := range []string{"play the ", "help in the "} {
		zone, ok := strings.CutPrefix(out[1], way)
		if ok && (way == "play the " || !strings.HasPrefix(out[0], way) && !strings.HasPrefix(out[0], "play the ")) {
			first, leverage, reads := strings.Cut(out[0], until)
			if out[0] = first + leverage + " from the " + zone; reads {
				out[0] += until
			}
			return slices.Delete(out, 1, 2)
		}
	}
	return out
}

// until is how long he stays with whom he reads.
const until = " until he declares"

// across is how teach names a receiver of the other side.
const across = " on the other side"

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
			out = append(out, "Otherwise "+where+".")
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
