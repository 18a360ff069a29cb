// Package duty is the rule layer: it sets a call against a picture and says
// who owes whom, and when, before any geometry.
//
// Routes run in time order; every break and every crossing of a reader's
// threshold is an event; a defender's rules are judged at the events of his
// keys and change what he owes one reaction later.
package duty

import (
	"math"
	"slices"
	"strconv"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// Reaction is the time from a receiver's declaration to the change of what a
// reader owes: measured median 0.2 s from break to turn (motion_metrics).
const Reaction field.Seconds = 0.2

// A Duty is what one defender owes, with its target in the picture.
type Duty struct {
	Verb     call.Verb
	Help     bool
	Trail    bool
	Leverage int8
	Target   int        // index of a receiver, -1 for none
	Zone     *call.Rect // nil for none
}

// Same says that two duties ask the same.
func Same(a, b Duty) bool {
	if a.Zone != b.Zone && (a.Zone == nil || b.Zone == nil || *a.Zone != *b.Zone) {
		return false
	}
	a.Zone = b.Zone
	return a == b
}

// A Shift is what a man owes from a moment on.
type Shift struct {
	From   field.Seconds
	Rule   int // index of his rule
	Duties []Duty
}

// A Man is a defender set against a picture.
type Man struct {
	Slot      *call.Slot
	Side      int // sign of x of his own side
	At        field.Point
	Align     int // index of the alignment that counts here
	Technique string
	Shifts    []Shift
	Keys      uint8 // bit i: he reads receiver i
}

// A Setup is a call set against a picture: every man with his timeline.
type Setup struct {
	Compiled *call.Compiled
	Picture  *picture.Picture
	Strong   int         // sign of x of the strong side
	Reading  field.Yards // the depth that counts as vertical
	Check    string
	Men      []Man
	named    named
	told     told
}

// StrongSide returns the sign of the side with more receivers; balance decides
// a tie: +1 puts it to the play side.
func StrongSide(p *picture.Picture, balance int) int {
	switch d := p.Count(p.Play) - p.Count(-p.Play); {
	case d > 0:
		return p.Play
	case d < 0:
		return -p.Play
	}
	return balance * p.Play
}

// New sets a plan against a picture; balance (+1 or -1) is where the strong
// side lies when both have as many receivers. reading is the depth threshold
// that counts as vertical: the call's own, or its under threshold for the
// other reading of the gray band.
func New(compiled *call.Compiled, p *picture.Picture, balance int, reading field.Yards) *Setup {
	return Again(&Setup{}, compiled, p, balance, reading)
}

// Again is New in the room of a setup that nobody looks at any more, or that is the same.
func Again(s *Setup, compiled *call.Compiled, p *picture.Picture, balance int, reading field.Yards) *Setup {
	strong := StrongSide(p, balance)
	if s.Compiled == compiled && s.Picture == p && s.Strong == strong && s.Reading == reading {
		return s // a picture on another down
	}
	n := len(compiled.Slots)
	*s = Setup{Compiled: compiled, Picture: p, Strong: strong, Reading: reading, Men: s.Men[:0], named: namedIn(p),
		told: told{shifts: slices.Grow(s.told.shifts[:0], 2*n), duties: slices.Grow(s.told.duties[:0], 3*n)}}
	r := reader{s, reading, &s.told}
	slots := compiled.Slots
	for i := range compiled.Checks {
		if ch := &compiled.Checks[i]; r.fact(&ch.When, s.Strong) {
			slots = ch.All
			s.Check = ch.Name
			break
		}
	}
	s.Men = slices.Grow(s.Men, len(slots))
	for i := range slots {
		s.Men = append(s.Men, r.man(&slots[i]))
	}
	return s
}

// A reader judges conditions for the men of one setup.
type reader struct {
	*Setup
	reading field.Yards
	*told
}

// told is the room for what all men of a setup are told: one piece, since many
// small ones cost as much as judging the rules.
type told struct {
	shifts  []Shift
	duties  []Duty
	crossed [6]crossed // the depth last asked for, by receiver
}

// A crossed is when a receiver crosses a depth.
type crossed struct {
	depth field.Yards
	at    field.Seconds
}

func (r reader) man(slot *call.Slot) Man {
	m := Man{Slot: slot, Side: slot.Side * r.Strong}
	for i := range slot.Align {
		if a := &slot.Align[i]; r.fact(&a.When, m.Side) {
			m.At, m.Align, m.Technique = r.place(&a.Align, m.Side), i, a.Technique
			break
		}
	}
	var room [24]field.Seconds
	times := append(room[:0], 0)
	for i := range slot.Asks {
		times = r.events(&slot.Asks[i], m.Side, times)
	}
	for _, w := range slot.Names {
		if k := r.find(w, m.Side); k >= 0 {
			m.Keys |= 1 << k
		}
	}
	slices.Sort(times)
	first := len(r.shifts)
	for i, t := range times {
		if i > 0 && t == times[i-1] {
			continue
		}
		k := r.rule(slot, m.Side, t)
		if n := len(r.shifts); n > first && r.shifts[n-1].Rule == k {
			continue
		}
		from := t + Reaction
		if t == 0 {
			from = 0
		}
		r.shifts = append(r.shifts, Shift{from, k, r.owed(slot.Rules[k].Then, m.Side)})
	}
	m.Shifts = slices.Clip(r.shifts[first:])
	return m
}

// rule returns the first rule that holds at time t.
func (r reader) rule(slot *call.Slot, side int, t field.Seconds) int {
	for k := range slot.Rules {
		if r.holds(&slot.Rules[k].When, side, t) {
			return k
		}
	}
	return len(slot.Rules) - 1
}

func (r reader) owed(then []call.Duty, side int) []Duty {
	first := len(r.duties)
	for i := range then {
		d := &then[i]
		o := Duty{Verb: d.Verb, Target: -1, Help: d.Help, Leverage: d.Leverage, Trail: d.Trail}
		switch {
		case d.Zone != "":
			own := side
			if d.FarZone {
				own = -side
			}
			o.Zone = d.Area.Side(own)
		case d.Verb != call.Hold && d.Verb != call.Rush: // those name nobody
			o.Target = r.find(d.Who, side)
		}
		r.duties = append(r.duties, o)
	}
	return slices.Clip(r.duties[first:])
}

// named are the receivers by side, left first, and by number, 0 the back unless he stays in: the index of each and
// one more, 0 where there is none.
type named [2][6]int8

func namedIn(p *picture.Picture) (out named) {
	for i := range p.Receivers {
		rec := &p.Receivers[i]
		of := &out[(rec.Side+1)/2]
		if rec.Number > 0 && of[rec.Number] == 0 {
			of[rec.Number] = int8(i + 1)
		}
		if rec.Back && !rec.Blocks() && of[0] == 0 {
			of[0] = int8(i + 1)
		}
	}
	return out
}

// find returns the receiver a word names from a side, or -1.
func (s *Setup) find(w call.Who, side int) int {
	if w.Far {
		side = -side
	}
	return int(s.named[(side+1)/2][w.Number]) - 1
}

// OnLandmark reports whether the landmark of man j's alignment is there: where it is
// not he stands as his alignment says for that.
func (s *Setup) OnLandmark(j int) bool {
	m := &s.Men[j]
	a := m.Slot.Align[m.Align].Align
	there := a
	there.Offset, there.Missing = 0, 0
	away := there
	away.Missing = 1
	r := reader{Setup: s}
	return r.place(&there, m.Side) == r.place(&away, m.Side)
}

// place turns an alignment into a spot.
func (r reader) place(a *call.Align, side int) field.Point {
	s := float64(side)
	own := func(n int) (float64, bool) { // distance from the ball of #n on his side
		if i := r.Picture.At(side, n); i >= 0 {
			return s * r.Picture.Receivers[i].At.X, true
		}
		return 0, false
	}
	x, ok := 0.0, true
	switch a.On {
	case "ball":
	case "end man":
		x = r.EndMan(side)
	case "hash":
		x = field.Width/2 - r.Picture.Spot.Level.Hash() - s*r.Picture.Spot.FromMiddle
	case "back":
		ok = false
		for i := range r.Picture.Receivers {
			if rec := &r.Picture.Receivers[i]; rec.Back {
				x, ok = s*rec.At.X, true
				break
			}
		}
	case "apex":
		if x, ok = own(2); ok {
			x = (x + r.EndMan(side)) / 2
		}
	default:
		n, _ := strconv.Atoi(a.On[1:])
		x, ok = own(n)
	}
	if !ok {
		return field.Point{X: s * a.Missing, Y: a.Depth}
	}
	return field.Point{X: s * (x + a.Offset), Y: a.Depth}
}

// Tackle is how far from the ball the tackle stands. An underneath man hands on there who leaves his
// ground inside, to the middle: he walls in and carries to him (trade notes 3.3 and 3.4).
const Tackle field.Yards = 3.2

// EndMan is where the end man on the line stands on a side: the tackle, or the
// tight end next to him.
func (s *Setup) EndMan(side int) field.Yards {
	for i := range s.Picture.Receivers {
		if rec := &s.Picture.Receivers[i]; rec.Attached && rec.Side == side {
			return math.Abs(rec.At.X)
		}
	}
	return Tackle
}
