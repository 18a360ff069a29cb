package handout

import (
	"fmt"
	"slices"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
)

// men lists the positions of a call, checks with the man they change.
func men(c *plan.Named) []Position {
	var out []Position
	of := func(s *call.Slot) *Position {
		for i := range out {
			if slices.Contains(out[i].names, s.Name) || out[i].Taught[0].taught == s.Defender {
				return &out[i]
			}
		}
		out = append(out, Position{Call: c.Name, CallTitle: c.Compiled.Call.Title, Defender: s.Title(), rusher: true,
			group: groupOf(s), bySide: map[string][]Shown{}, of: c.Compiled.Call,
			Shown: []Shown{}, Fits: []RunFit{}, Zones: []string{}, Reading: []string{}})
		return &out[len(out)-1]
	}
	for i := range c.Compiled.Slots {
		of(&c.Compiled.Slots[i]).teach(c.Compiled, &c.Compiled.Slots[i], nil)
	}
	for i := range c.Compiled.Checks {
		ch := &c.Compiled.Checks[i]
		for k := range ch.Slots {
			of(&ch.Slots[k]).teach(c.Compiled, &ch.Slots[k], ch)
		}
	}
	return out
}

// groupOf is whose page a man is on: his whom the staff names, else those of one job, be it
// a free safety's or a half safety's; who has the back or the hole in man is an inside
// linebacker. Common practice, no source.
func groupOf(s *call.Slot) string {
	if s.Name != s.Taught {
		return s.Title()
	}
	job := s.Defender.Name
	if len(s.Defender.Roles) > 0 {
		job = s.Defender.Roles[0]
	}
	switch job {
	case "man on back":
		return "middle"
	case "hole":
		return "hook"
	}
	words := strings.Fields(job)
	return words[len(words)-1]
}

var sideNames = map[int]string{call.Strong: "strong", call.Weak: "weak"}

// teach adds a slot: to the teaching of its other side, or as a new one.
func (p *Position) teach(plan *call.Compiled, s *call.Slot, ch *call.CompiledCheck) {
	side := sideNames[s.Side]
	if !slices.Contains(p.names, s.Name) {
		p.names = append(p.names, s.Name)
		p.known = append(p.known, s.Name, s.Taught, s.Defender.Name, s.Title())
	}
	if !slices.Contains(p.Sides, side) {
		p.Sides = append(p.Sides, side)
	}
	for i := range p.Taught {
		if p.Taught[i].taught == s.Defender {
			p.Taught[i].Sides = append(p.Taught[i].Sides, side)
			return
		}
	}
	v := plan.Call.Vertical
	t := Teaching{Sides: []string{side}, Keys: teach.Keys(usedKeys(s.Reads, s.Rules)), Fit: teach.Fit(s.Fit),
		taught: s.Defender, rules: s.Rules, reads: s.Reads}
	if ch != nil {
		t.Check, t.When = ch.Name, teach.Check(&ch.When, v)
	}
	for i := range s.Align {
		at := s.Align[i].Align
		l := Lineup{Where: teach.Align(&at), Sets: []Stand{}}
		at.Missing = 0
		l.bare = teach.Align(&at)
		if s.Align[i].When.Op != call.Else {
			l.When = teach.When(&s.Align[i].When, v)
		}
		t.Align = append(t.Align, l)
	}
	for i := range s.Rules {
		r := &s.Rules[i]
		t.Rules = append(t.Rules, Line{teach.When(&r.When, v), teach.Then(r.Then)})
		for _, z := range groundOf(plan.Call, r.Then) {
			if !slices.Contains(p.Zones, z) {
				p.Zones = append(p.Zones, z)
			}
		}
		p.rusher = p.rusher && r.Then[0].Verb == call.Rush
	}
	for _, n := range readingOf(plan.Call, &t) {
		if !slices.Contains(p.Reading, n) {
			p.Reading = append(p.Reading, n)
		}
	}
	p.Taught = append(p.Taught, t)
}

// usedKeys are the keys some rule of the man uses: what he need not read he is not told to.
func usedKeys(reads []call.Who, rules []call.CompiledRule) (out []call.Who) {
	var said []call.Who
	for i := range rules {
		said = append(said, saidIn(&rules[i].When)...)
		for _, d := range rules[i].Then {
			if d.Verb != call.InZone && d.Verb != call.Hold && d.Verb != call.Rush {
				said = append(said, d.Who)
			}
		}
	}
	for _, k := range reads {
		if slices.Contains(said, k) {
			out = append(out, k)
		}
	}
	return out
}

// saidIn are the receivers that a condition names.
func saidIn(c *call.Cond) (said []call.Who) {
	switch c.Op {
	case call.Else, call.And, call.Or, call.Not, call.Set:
	case call.Crosses:
		said = append(said, c.Who, c.With)
	default:
		said = append(said, c.Who)
	}
	for i := range c.Kids {
		said = append(said, saidIn(&c.Kids[i])...)
	}
	return said
}

// readingOf says how the words of a teaching are meant, as far as it uses them.
func readingOf(c *call.Call, t *Teaching) []string {
	var b strings.Builder
	for _, r := range t.Rules {
		b.WriteString(r.When + "; " + r.Do + "; ")
	}
	for _, a := range t.Align {
		b.WriteString(a.When + "; ")
	}
	words, out := b.String(), []string{}
	if strings.Contains(words, "#") {
		out = append(out, "Count from the sideline in on your side; a back who releases counts last.")
	}
	v := teach.Yards(c.Vertical)
	if strings.Contains(words, v) {
		if c.Under < c.Vertical {
			out = append(out, fmt.Sprintf("Breaks between %g and %s are gray: be ready for both.", c.Under, v))
		}
		out = append(out, "Two breaks before "+v+": play the second.")
	}
	return out
}

// groundOf are the zones that duties name.
func groundOf(c *call.Call, ds []call.Duty) (out []string) {
	for i := range ds {
		if ds[i].Zone != "" {
			z, _ := c.Zone(ds[i].Zone)
			out = append(out, teach.Zone(ds[i].Zone, z))
		}
	}
	return out
}
