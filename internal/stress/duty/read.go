package duty

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// fact judges a condition that is fixed at the snap.
func (r reader) fact(c *call.Cond, side int) bool { return r.holds(c, side, 0) }

// holds judges a condition for a man of a side at time t.
func (r reader) holds(c *call.Cond, side int, t field.Seconds) bool {
	switch c.Op {
	case call.Else:
		return true
	case call.And:
		for i := range c.Kids {
			if !r.holds(&c.Kids[i], side, t) {
				return false
			}
		}
		return true
	case call.Or:
		for i := range c.Kids {
			if r.holds(&c.Kids[i], side, t) {
				return true
			}
		}
		return false
	case call.Not:
		return !r.holds(&c.Kids[0], side, t)
	case call.Set:
		if c.Away {
			side = -side
		}
		return c.Fact.Holds(r.Setup, side)
	case call.Crosses:
		return r.crossing(c, side) <= t
	}
	k := r.find(c.Who, side)
	return r.state(k, t, r.threshold(c))&c.States != 0
}

// inward is how far toward the ball a receiver must have come to be the one who crosses:
// an arrow of #2 under a go of #1 is no crossing of #1's (trade notes 3.3; the measure is
// common practice, no source).
const inward field.Yards = 1.5

// shows is how long after they pass it is told: out of a stack they pass at the line.
// Common practice, no source.
const shows field.Seconds = 0.5

// crossing is when the two receivers of a condition change places, +Inf when they
// do not, when the first does not come inside, or when one of them is past the threshold
// by then.
func (r reader) crossing(c *call.Cond, side int) field.Seconds {
	a, b := r.find(c.Who, side), r.find(c.With, side)
	if a < 0 || b < 0 {
		return math.Inf(1)
	}
	p, q := r.Picture.Receivers[a].Path, r.Picture.Receivers[b].Path
	t := p.Passes(q)
	if !math.IsInf(t, 1) && math.Abs(p.At(0).X)-math.Abs(p.At(t+shows).X) < inward {
		return math.Inf(1)
	}
	if v := r.threshold(c); p.Crosses(v) < t || q.Crosses(v) < t {
		return math.Inf(1)
	}
	return t
}

func (r reader) threshold(c *call.Cond) field.Yards {
	if c.Before > 0 {
		return c.Before
	}
	return r.reading
}

// ShowsRun says that a family shows a run action to the defense.
func ShowsRun(f picture.Family) bool {
	switch f {
	case picture.PlayAction, picture.Boot, picture.RPO, picture.Draw, picture.Run:
		return true
	}
	return false
}

// Fact judges a condition about the set from a side.
func (s *Setup) Fact(c *call.Cond, side int) bool { return reader{Setup: s}.fact(c, side) }

// Count is how many receivers of a side the call counts; with Backs, Bunched, TightEnd,
// StrongSide and ShowsRun it is what a fact of the rule language is judged by.
func (s *Setup) Count(side int) int { return s.Picture.Count(side) }

// Backs is how many stand in the backfield.
func (s *Setup) Backs() int { return len(s.Picture.Set.Backfield) }

// Bunched reports whether the side shows a bunch or a stack.
func (s *Setup) Bunched(side int) bool { return s.Picture.Bunched(side) }

// TightEnd reports whether somebody is attached to the line on the side.
func (s *Setup) TightEnd(side int) bool { return s.EndMan(side) > 3.5 }

// StrongSide is the sign of x of the side the call takes for the strong one.
func (s *Setup) StrongSide() int { return s.Strong }

// ShowsRun reports whether the backfield shows a run action.
func (s *Setup) ShowsRun() bool { return ShowsRun(s.Picture.Family) }

// state returns what a reader with threshold v has seen receiver k do by t.
func (r reader) state(k int, t field.Seconds, v field.Yards) call.State {
	if k < 0 {
		return call.Absent
	}
	rec := &r.Picture.Receivers[k]
	var s call.State
	if rec.Attached {
		s = call.Attached
	}
	if rec.Blocks() {
		return s | call.Blocks
	}
	return s | seen(rec.Path, t, r.crosses(k, v))
}

// Seen returns what the path shows by time t to a reader with threshold v.
func Seen(p *picture.Path, t field.Seconds, v field.Yards) call.State {
	return seen(p, t, p.Crosses(v))
}

// crosses is when receiver k crosses v; most rules of a call ask for the same depth.
func (r reader) crosses(k int, v field.Yards) field.Seconds {
	if r.told == nil {
		return r.Picture.Receivers[k].Path.Crosses(v)
	}
	c := &r.crossed[k]
	if c.depth != v {
		c.depth, c.at = v, r.Picture.Receivers[k].Path.Crosses(v)
	}
	return c.at
}

// seen is Seen by a reader whose threshold the path crosses then.
func seen(p *picture.Path, t, cross field.Seconds) call.State {
	var s call.State
	early := false
	for i := range p.Breaks {
		b := &p.Breaks[i]
		if b.T > t {
			break
		}
		switch {
		case i == 0 && b.T < cross:
			early = true
			s = short(b)
		case early && b.Turn == picture.Up:
			s = call.TurnedUp
		case early && i > 0 && s != call.TurnedUp:
			s = short(b)
		case !early:
			s = call.Vertical | [...]call.State{0, call.DeepOut, call.DeepIn, call.DeepStop, 0}[b.Turn]
		}
	}
	if s == 0 && cross <= t {
		s = call.Vertical
	}
	if s == 0 {
		s = call.Undeclared
	}
	return s
}

// short is what a break before the threshold shows: an in that climbs is a slant besides.
func short(b *picture.Break) call.State {
	s := [...]call.State{0, call.OutBreak, call.InBreak, call.StopBreak, call.TurnedUp}[b.Turn]
	if b.Climbs && s == call.InBreak {
		s |= call.Slanted
	}
	return s
}

// events adds the times at which what is asked of a receiver can change.
func (r reader) events(c *call.Cond, side int, times []field.Seconds) []field.Seconds {
	if c.Op == call.Crosses {
		return finite(times, r.crossing(c, side))
	}
	k := r.find(c.Who, side)
	if k < 0 || r.Picture.Receivers[k].Blocks() {
		return times
	}
	p := r.Picture.Receivers[k].Path
	for i := range p.Breaks {
		times = append(times, p.Breaks[i].T)
	}
	return finite(times, r.crosses(k, r.threshold(c)))
}

// finite adds a time that ever comes.
func finite(times []field.Seconds, t field.Seconds) []field.Seconds {
	if math.IsInf(t, 1) {
		return times
	}
	return append(times, t)
}
