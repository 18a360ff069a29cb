package call

import "strings"

// A Pace is how a man of ours runs beside the man he has to cover.
type Pace string

// Paces that a staff can give a man; without one he is even.
const (
	Slower  Pace = "slower"  // half a step
	Quicker Pace = "quicker" // half a step
)

// Paces are the men who are not even with theirs: by the name a call gives a man or by the
// staff's word for him, small letters, with his side or without (both sides).
type Paces map[string]Pace

// Pacing is the call played by a staff's own men. It moves their speeds and nothing else.
// The second is whether any man of the call, or of a check of it, is not even.
func (p *Compiled) Pacing(by Paces) (*Compiled, bool) {
	if len(by) == 0 {
		return p, false
	}
	out := p.copied()
	out.Call.paces = by
	if !out.pace() {
		return p, false
	}
	return out, true
}

// pace makes every man run as the staff says, and reports whether one is not even.
func (p *Compiled) pace() (some bool) {
	for _, s := range p.everyone() {
		s.Runs = s.Body
		if x := p.Call.paces.of(s); x != "" {
			s.Runs, some = s.Body+" "+string(x), true
		}
	}
	return some
}

// of is a man's pace, "" even: with his side before without, in the call's word or the
// staff's.
func (by Paces) of(s *Slot) Pace {
	side := sideWord(s.Side) + " "
	taught, said := strings.ToLower(s.Taught), strings.ToLower(s.Name)
	base := strings.TrimPrefix(strings.TrimPrefix(taught, "strong "), "weak ")
	for _, name := range []string{taught, side + base, said, base, strings.TrimPrefix(said, side)} {
		if x := by[name]; x != "" {
			return x
		}
	}
	return ""
}
