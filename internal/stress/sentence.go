package stress

import (
	"fmt"
	"math"
	"strconv"

	"overhang/internal/stress/field"
)

// Threat returns how a coach names a threat of this result: "#2 corner",
// "backside #1 go" for the other side, "B1 flat" for a back, "the run".
func (r *Result) Threat(i int) string {
	g := r.Rep
	if i == NoThreat {
		return ""
	}
	if i == g.Run {
		return "the run"
	}
	return r.receiver(i) + " " + g.Picture.Receivers[i].Route.Name
}

// receiver names a receiver by his number on his side, a back by his name.
func (r *Result) receiver(i int) string {
	rec := &r.Rep.Picture.Receivers[i]
	switch {
	case rec.Back:
		return rec.Name
	case rec.Side != r.Rep.Picture.Play:
		return "backside #" + strconv.Itoa(rec.Number)
	}
	return "#" + strconv.Itoa(rec.Number)
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
	when := fmt.Sprintf("thrown between %.1f and %.1f seconds", f.From, f.To)
	if f.From == f.To {
		when = fmt.Sprintf("thrown at %.1f seconds", f.From)
	}
	said := r.told(f) + ", " + when
	if f.Weak {
		said += ", as long as the QB can wait"
	}
	if f.Twin {
		said += "; same on the other side"
	}
	return said + "."
}

// told is a finding without its moments.
func (r *Result) told(f *Finding) string {
	who, open, size := r.Defender(f.Man), r.on(f.Open), yards(f.Size)
	switch {
	case f.Kind == Uncovered:
		return fmt.Sprintf("Nobody has %s: %s open, and the %s is nearest", open, size, who)
	case f.Other == f.Open:
		return fmt.Sprintf("The %s has %s alone with the wrong leverage: it can break either way and is %s open", who, open,
			size)
	case f.Wrong:
		return fmt.Sprintf("The %s has %s with the wrong leverage, and %s trades places with %s (%s): %s is %s open", who,
			open, r.on(f.Other), r.receiver(f.Open), f.Kind, r.receiver(f.Open), size)
	case f.Single:
		return fmt.Sprintf("The %s has %s alone and is late: %s open, %s more than good man coverage gives up", who, open,
			size, yards(f.Over))
	case f.Choice:
		return fmt.Sprintf("The %s can't split %s and %s (%s): the best spot still leaves one of them %s open", who, open,
			r.on(f.Other), f.Kind, size)
	case f.Kind == RunPass:
		return fmt.Sprintf("The %s has a run fit and %s: fit the run, and it is %s open", who, open, size)
	}
	return fmt.Sprintf("The %s is caught between %s and %s (%s): %s is %s open", who, open, r.on(f.Other), f.Kind,
		r.receiver(f.Open), size)
}

// on names a threat in a sentence: "#2 on the corner", so that no route is taken for a man.
func (r *Result) on(i int) string {
	if i == NoThreat || i == r.Rep.Run {
		return r.Threat(i)
	}
	return r.receiver(i) + " on the " + r.Rep.Picture.Receivers[i].Route.Name
}

// yards writes a length to a tenth: "4 yards", "2.2 yards".
func yards(y field.Yards) string {
	tenth := strconv.FormatFloat(math.Round(10*y)/10, 'f', -1, 64)
	if tenth == "1" {
		return "1 yard"
	}
	return tenth + " yards"
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
