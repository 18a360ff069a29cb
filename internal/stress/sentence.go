package stress

import (
	"fmt"
	"strconv"
)

// Threat returns how a coach names a threat of this result: "#2 corner", "B1
// over" for the other side, "back flat", "the run".
func (r *Result) Threat(i int) string {
	g := r.Rep
	if i == NoThreat {
		return ""
	}
	if i == g.Run {
		return "the run"
	}
	rec := &g.Picture.Receivers[i]
	name := "#" + strconv.Itoa(rec.Number)
	switch {
	case rec.Back:
		name = rec.Name
	case rec.Side != g.Picture.Play:
		name = "back side #" + strconv.Itoa(rec.Number)
	}
	return name + " " + rec.Route.Name
}

// Defender returns the name of a man of this result.
func (r *Result) Defender(j int) string { return r.Rep.Setup.Men[j].Slot.Name }

// Rule returns the rule a man is under when a finding is at its worst.
func (r *Result) Rule(f *Finding) string {
	m := &r.Rep.Setup.Men[f.Man]
	rule := m.Slot.Rules[m.ShiftAt(f.At).Rule].Rule
	if rule.When == "else" {
		return rule.Then
	}
	return rule.When + ": " + rule.Then
}

// Sentence says a finding as a coach would.
func (r *Result) Sentence(f *Finding) string {
	when := fmt.Sprintf("thrown from %.1f to %.1f s", f.From, f.To)
	if f.From == f.To {
		when = fmt.Sprintf("thrown at %.1f s", f.From)
	}
	said := r.told(f) + ", " + when
	if f.Weak {
		said += ", the last moment there is"
	}
	if f.Twin {
		said += "; the same on the other side"
	}
	return said + "."
}

// told is a finding without its moments.
func (r *Result) told(f *Finding) string {
	who, open, size := r.Defender(f.Man), r.Threat(f.Open), fmt.Sprintf("%.1f yd", f.Size)
	switch {
	case f.Kind == Uncovered:
		return fmt.Sprintf("Nobody owes %s: open by %s, the nearest is the %s", open, size, who)
	case f.Other == f.Open:
		return fmt.Sprintf("The %s has %s alone with his leverage on the wrong side: it can break either way and is open "+
			"by %s", who, open, size)
	case f.Single:
		return fmt.Sprintf("The %s has %s alone and is late: open by %s, %.1f more than one good man would leave", who,
			open, size, f.Over)
	case f.Choice:
		return fmt.Sprintf("The %s is between %s and %s (%s): no spot covers both, from the best one of them is open by %s",
			who, open, r.Threat(f.Other), f.Kind, size)
	case f.Kind == RunPass:
		return fmt.Sprintf("The %s fits the run and owes %s: open by %s", who, open, size)
	}
	return fmt.Sprintf("The %s is between %s and %s (%s): %s is open by %s", who, open, r.Threat(f.Other), f.Kind, open,
		size)
}

// Named says that the picture names the receiver: the go that every picture
// carries on the other side is not named.
func (r *Result) Named(i int) bool {
	return i == r.Rep.Run || i >= 0 && r.Rep.Picture.Receivers[i].Named
}

// Playside says that a finding's open throw is to the side the play is run to.
func (r *Result) Playside(f *Finding) bool {
	if f.Open == r.Rep.Run {
		return true
	}
	rec := &r.Rep.Picture.Receivers[f.Open]
	return rec.Named && rec.Side == r.Rep.Picture.Play
}
