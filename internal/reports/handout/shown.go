package handout

import (
	"cmp"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/teach"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
)

// show picks the pictures: those run most, a picture that puts him in conflict
// counting for more by the yards he is short.
func (p *Position) show(w *plan.Week, ci int) {
	if p.rusher { // he reads nobody: only his run fits are told
		for k := range w.Concepts {
			if c := &w.Concepts[k]; c.Runs() {
				p.fit(c, w.Results[ci][k])
			}
		}
		return
	}
	var worst float64
	for k := range w.Concepts {
		c, r := &w.Concepts[k], w.Results[ci][k]
		s, there := p.seen(c, r, "")
		if s.concept = k; s.finding >= 0 {
			if hurt := float64(c.Plays) * s.ShortYd; hurt > worst {
				worst = hurt
				p.Conflict = inConflict(w, ci, k, s.finding)
			}
		}
		if !there {
			continue
		}
		if c.Runs() {
			p.fit(c, r)
		}
		p.Shown = append(p.Shown, s)
		for _, side := range p.Sides {
			if one, there := p.seen(c, r, side); there {
				one.concept = k
				p.bySide[side] = append(p.bySide[side], one)
			}
		}
	}
	p.Shown = asked(p.Shown)
	for side := range p.bySide {
		p.bySide[side] = asked(p.bySide[side])
	}
}

// asked are the pictures that ask most.
func asked(all []Shown) []Shown {
	slices.SortStableFunc(all, func(a, b Shown) int {
		return cmp.Compare(float64(b.Plays)*(1+b.ShortYd), float64(a.Plays)*(1+a.ShortYd))
	})
	return all[:min(len(all), pictures)]
}

// seen is a picture as he sees it who plays on a side, "" for either; false: he is not in it.
func (p *Position) seen(c *plan.Concept, r *stress.Result, side string) (Shown, bool) {
	s := Shown{SetName: c.SetName, Concept: c.Concept, Plays: c.Plays, Assumed: c.Assumed,
		Picture: r.Rep.Picture.String(), Check: r.Rep.Setup.Check, Do: []string{}, finding: -1}
	j := p.man(r, side)
	if f := p.finding(r, side); f >= 0 {
		s.finding, j = f, r.Findings[f].Man
		s.Sentence, s.ShortYd = r.Sentence(&r.Findings[f]), r.Findings[f].Size
	}
	if j < 0 {
		return s, false
	}
	m := &r.Rep.Setup.Men[j]
	s.Man, s.Do = m.Slot.Name, does(m, p.of.Vertical)
	if c.Runs() {
		s.Do = []string{ink.Capital(fitSaid(r, j)) + "."}
	}
	return s, true
}

// isOn reports whether a man is this position's, and on a side unless that is "".
func (p *Position) isOn(m *duty.Man, side string) bool {
	return slices.Contains(p.names, m.Slot.Name) && (side == "" || sideNames[m.Slot.Side] == side)
}

// man finds him in a result: the one to the side of the play first.
func (p *Position) man(r *stress.Result, side string) int {
	found := -1
	for j := range r.Rep.Setup.Men {
		m := &r.Rep.Setup.Men[j]
		if p.isOn(m, side) && (found < 0 || m.Side == r.Rep.Picture.Play) {
			found = j
		}
	}
	return found
}

// finding is his worst two-way threat on a receiver the picture names, -1: none.
func (p *Position) finding(r *stress.Result, side string) int {
	for _, k := range plan.Told(r) {
		f := &r.Findings[k]
		if !f.Single && p.isOn(&r.Rep.Setup.Men[f.Man], side) {
			return k
		}
	}
	return -1
}

// does tells a man's duties in a picture from the snap on.
func does(m *duty.Man, vertical float64) []string {
	var out []string
	for i, sh := range m.Shifts {
		r := &m.Slot.Rules[sh.Rule]
		do := teach.Then(r.Then)
		switch {
		case i == 0 && r.When.Op == call.Else:
			out = append(out, "At the snap: "+do+".")
		case i == 0:
			out = append(out, "At the snap, since "+teach.When(&r.When, vertical)+": "+do+".")
		case r.When.Op == call.Else:
			out = append(out, "Then: "+do+".")
		default:
			out = append(out, "When "+teach.When(&r.When, vertical)+": "+do+".")
		}
	}
	return out
}

func inConflict(w *plan.Week, ci, k, found int) *InConflict {
	c, r := &w.Concepts[k], w.Results[ci][k]
	f := &r.Findings[found]
	out := &InConflict{SetName: c.SetName, Concept: c.Concept, Plays: c.Plays, Assumed: c.Assumed,
		Finding: plan.Tell(r, f), Better: plan.Best(r, f), Stress: r.Stress}
	m := &r.Rep.Setup.Men[f.Man]
	rule := &m.Slot.Rules[m.ShiftAt(f.At).Rule]
	out.Rule = Line{teach.When(&rule.When, w.Calls[ci].Compiled.Call.Vertical), teach.Then(rule.Then)}
	if j, short := plan.Help(r, f); j >= 0 {
		out.Helper, out.HelperShort = r.Defender(j), short
	}
	least := w.Least(k)
	out.LeastCall, out.LeastStress = w.Calls[least].Name, w.Results[least][k].Stress
	out.Points, out.LeastPoints = r.Value.Points, w.Results[least][k].Value.Points
	return out
}
