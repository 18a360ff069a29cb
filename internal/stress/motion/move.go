package motion

import (
	"math"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

const (
	horizon field.Seconds = 6.5 // nobody is followed longer
	lag     field.Seconds = 0.2 // the control that is wanted is reached in this time
)

// coarse is how many steps one frame spans once every ball is in the air: from
// then on a defender's own course only says where he goes on to.
const coarse = 3

// A raster is how the frames of tracks lie in time.
type raster struct {
	rate float64 // steps a second
	fine int     // frames that are a step apart
}

// A moment is a time by the frames of a track: the share of the way from a frame to the next.
type moment struct {
	frame int
	share float64
}

// moment returns when a time after the snap is.
func (r *raster) moment(t field.Seconds) moment {
	u := t * r.rate
	if f := float64(r.fine); u > f {
		u = f + (u-f)*(1.0/coarse)
	}
	i := int(u)
	return moment{i, u - float64(i)}
}

// A Track is where a defender is over time, as taught: a frame a step while balls
// can be thrown, then a frame every third step, as far as the play needs.
type Track struct {
	Pos, Vel []field.Point
	raster
}

// At returns position and velocity at time t.
func (tr *Track) At(t field.Seconds) (field.Point, field.Point) {
	if t <= 0 {
		return tr.Pos[0], tr.Vel[0]
	}
	m, last := tr.moment(t), len(tr.Pos)-1
	if m.frame >= last {
		return tr.Pos[last], tr.Vel[last]
	}
	return tr.Pos[m.frame].Toward(tr.Pos[m.frame+1], m.share), tr.Vel[m.frame].Toward(tr.Vel[m.frame+1], m.share)
}

// where is At of a moment after the snap, without the velocity.
func (tr *Track) where(m *moment) field.Point {
	if last := len(tr.Pos) - 1; m.frame >= last {
		return tr.Pos[last]
	}
	return tr.Pos[m.frame].Toward(tr.Pos[m.frame+1], m.share)
}

// time returns when frame i is, and how long until the next.
func (pl *Play) time(i int) (t, dt field.Seconds) {
	h := pl.Params.Step
	if i < pl.fine {
		return float64(i) * h, h
	}
	return float64(pl.fine+coarse*(i-pl.fine)) * h, coarse * h
}

// A mover plays one man of a setup.
type mover struct {
	pl     *Play
	room   *Scratch // nil: he remembers nothing
	setup  *duty.Setup
	m      *duty.Man
	body   *body
	jammed uint8         // bit i: receiver i is delayed
	start  field.Seconds // his first step
	until  field.Seconds
	fit    field.Point
	fits   bool
	alone  bool       // nobody is in his way
	frame  int        // whose whole step he is in, -1 within a cut one
	off    [6]glimpse // looks within a cut step, by receiver
	far    prospects  // the same with his eyes on the passer
	// Traffic: who has the other receivers, how much of his speed bodies cost in this step,
	// and the time they cost him so far.
	fellows fellows
	slowed  float64
	lost    field.Seconds
}

// run moves the man through the play and fills his track.
func (mv *mover) run(tr *Track) {
	tr.raster = mv.pl.raster
	p, v := mv.m.At, field.Point{}
	shift, shifts := 0, mv.m.Shifts
	told := mv.orders(shifts[0].Duties)
	var room [20]field.Seconds
	kinks, kink := mv.kinks(room[:0]), 0
	var cut pace
	for i := range tr.Pos {
		tr.Pos[i], tr.Vel[i] = p, v
		t, step := mv.pl.time(i)
		if t+step <= mv.start { // before his first step
			p = p.Add(field.Point{}) // as a step at rest leaves him: no zero with a sign
			continue
		}
		left, whole := step, &mv.body.pace[0]
		if i >= mv.pl.fine {
			whole = &mv.body.pace[1]
		}
		for left > 1e-9 {
			for shift+1 < len(shifts) && shifts[shift+1].From <= t+1e-9 {
				shift++
				told = mv.orders(shifts[shift].Duties)
			}
			c, dt := whole, left
			for kink < len(kinks) && kinks[kink] <= t+1e-9 {
				kink++
			}
			if kink < len(kinks) && kinks[kink] < t+dt {
				dt = kinks[kink] - t
			}
			if shift+1 < len(shifts) && shifts[shift+1].From < t+dt {
				dt = shifts[shift+1].From - t
			}
			mv.frame = i
			if dt != step {
				cut, mv.frame = mv.pace(dt), -1
				c = &cut
			}
			// Looked at half-way, so that what he sees is not half a step old.
			want, most := mv.want(t+dt/2, p.Add(v.Times(dt/2)), &told)
			p, v = advance(c, p, v, want, most)
			mv.lost += mv.slowed * dt
			t, left = t+dt, left-dt
		}
	}
}

// kinks lists the moments at which what he sees changes its course: he begins to
// take in a break, and has taken it in. A step is cut there.
func (mv *mover) kinks(out []field.Seconds) []field.Seconds {
	age := mv.pl.Params.ZoneEyes
	var on uint8 = 0xff
	if !zones(mv.m) {
		age, on = mv.pl.Params.Perception, mv.m.Keys
	}
	for _, i := range mv.pl.runs {
		if bs := mv.pl.Picture.Receivers[i].Path.Breaks; len(bs) > 0 && (on>>i&1 == 1 || mv.alone) {
			at := bs[0].T + mv.delay(i) + age
			out = append(out, at, at+lag)
		}
	}
	slices.Sort(out)
	return out
}

// zones says that a zone is among a man's duties.
func zones(m *duty.Man) bool {
	for i := range m.Shifts {
		for _, d := range m.Shifts[i].Duties {
			if d.Verb == call.InZone {
				return true
			}
		}
	}
	return false
}

// rush runs a rusher at the passer: for the drawing, nothing is measured on him.
func (mv *mover) rush(tr *Track) {
	tr.raster = mv.pl.raster
	d := mv.pl.Clock.Passer.Sub(mv.m.At)
	for i := range tr.Pos {
		t, _ := mv.pl.time(i)
		s := t - mv.pl.Params.Start
		tr.Pos[i] = mv.m.At.Add(d.AtMost(mv.pl.Params.Fit.Rush * mv.body.speed.Reach(s)))
	}
}

// pace holds what hangs on the length of a step alone.
type pace struct {
	dt     field.Seconds
	decay  float64       // exp(-dt/tau): what is left of the momentum
	settle float64       // exp(-dt/lag): what is left of the gap to the wanted velocity
	undo   float64       // the control is so many times what it makes of a velocity
	drift  field.Seconds // how long the momentum carries him
}

func paceOf(dt, tau field.Seconds) pace {
	decay := math.Exp(-dt / tau)
	return pace{dt, decay, math.Exp(-dt / lag), 1 / (1 - decay), tau * (1 - decay)}
}

// A stride is the pace of men of a class in a cut step.
type stride struct {
	tau field.Seconds
	pace
}

// pace is that of a cut step. The same breaks cut the steps of many men, so the last ones are kept.
func (mv *mover) pace(dt field.Seconds) pace {
	tau := mv.body.speed.Tau
	if mv.room == nil {
		return paceOf(dt, tau)
	}
	kept := &mv.room.store.strides
	s := &kept[math.Float64bits(dt)*0x9e3779b97f4a7c15>>32%uint64(len(kept))]
	if s.dt != dt || s.tau != tau {
		*s = stride{tau, paceOf(dt, tau)}
	}
	return s.pace
}

// advance moves a man one step with the constant control that closes the gap to
// the wanted velocity with time constant lag, as far as |u| <= most allows; the
// state is exact for that control, whatever the step.
func advance(c *pace, p, v, want field.Point, most field.YardsPerSecond) (field.Point, field.Point) {
	goal := want.Add(v.Sub(want).Times(c.settle))
	u := goal.Sub(v.Times(c.decay)).Times(c.undo).AtMost(most)
	d := v.Sub(u)
	return p.Add(u.Times(c.dt)).Add(d.Times(c.drift)), u.Add(d.Times(c.decay))
}

// orders is what a man's duties come to for his feet.
type orders struct {
	rush      bool
	man, zone *duty.Duty // nil: none
	help      *duty.Duty
	squeezed  int         // receiver, -1: none
	leverage  float64     // the sign of x from the man's receiver to where he wants to be,
	beside    field.Yards // and so far from him
	trails    bool        // him, a step behind
	targets   uint8       // bit i: receiver i is named by a duty of his
	course    *course     // nil: none is kept
}

func (mv *mover) orders(ds []duty.Duty) orders {
	o := orders{squeezed: -1}
	for i := range ds {
		d := &ds[i]
		if d.Target >= 0 && d.Verb != call.Bump {
			o.targets |= 1 << d.Target
		}
		switch d.Verb {
		case call.Man, call.Under, call.Carry, call.Read:
			if o.man == nil && d.Target >= 0 && !mv.pl.Picture.Receivers[d.Target].Blocks() {
				o.man, o.trails = d, d.Trail || mv.m.Technique == "trail"
				r := &mv.pl.Picture.Receivers[d.Target]
				o.leverage = mv.pl.Params.Man.leverage(d, r, mv.m.At)
				o.beside = o.leverage * mv.shade(r)
			}
		case call.InZone:
			if o.zone == nil || o.zone.Help && !d.Help {
				o.zone = d
			}
		case call.Rush:
			o.rush = true
		case call.HelpOn, call.Squeeze:
			if o.help == nil && d.Target >= 0 {
				o.help = d
			}
			if d.Verb == call.Squeeze && o.squeezed < 0 {
				o.squeezed = d.Target
			}
		}
	}
	if o.zone != nil && mv.room != nil {
		named := o.targets
		if o.zone.Zone.Sink == 0 {
			named = 0 // a deep zone looks at everybody alike
		}
		o.course = mv.room.course(o.zone.Zone, named, mv.jammed)
	}
	return o
}

// want returns the velocity his orders ask for, and the speed he may use.
func (mv *mover) want(t field.Seconds, p field.Point, o *orders) (field.Point, field.YardsPerSecond) {
	mv.slowed = 0
	if t < mv.start {
		return field.Point{}, mv.body.speed.Max
	}
	if mv.fits && t < mv.until && !mv.hasOwn(o) {
		return mv.fill(p), mv.body.speed.Max
	}
	man := o.man
	switch {
	case o.rush:
		goal := mv.pl.Clock.Passer
		return chase(p, goal, field.Point{}, mv.pl.Params.Fit.Comes).AtMost(mv.body.speed.Max), mv.body.speed.Max
	case man != nil && o.squeezed >= 0:
		return mv.between(t, p, man.Target, o.squeezed), mv.body.speed.Max
	case man != nil && o.zone != nil && man.Verb == call.Under && mv.passed(t, man.Target):
		return mv.zone(t, p, o), mv.body.speed.Max
	case man != nil:
		seen := mv.sees(man.Target, t)
		want := mv.man(seen, p, o)
		return want, mv.traffic(t, seen, p, want, man)
	case o.zone != nil:
		return mv.zone(t, p, o), mv.body.speed.Max
	case o.help != nil:
		return mv.help(t, p, o.help), mv.body.speed.Max
	}
	return field.Point{}, mv.body.speed.Max
}

// fill is how a man goes to his fit while the runner may have the ball: a deep man settles, and
// comes up only when he is sure.
func (mv *mover) fill(p field.Point) field.Point {
	f := &mv.pl.Params.Fit
	most := f.Share
	if mv.m.At.Y > f.Deep {
		most = f.DeepShare
	}
	return chase(p, mv.fit, field.Point{}, f.Close).AtMost(most * mv.body.speed.Max)
}

// hasOwn says that a man has a receiver of his own who releases: man comes before fit,
// unless his fit is inside, where he must take the run first.
func (mv *mover) hasOwn(o *orders) bool {
	return o.man != nil && o.man.Verb == call.Man && !call.Inside(mv.m.Slot.Fit)
}

// passed says that a receiver is inside of the tackle: an underneath man hands him on there, or
// has not met him yet.
func (mv *mover) passed(t field.Seconds, i int) bool {
	return mv.sees(i, t).pos.X*float64(mv.m.Side) < duty.Tackle
}

// between sinks under the receiver he squeezes, on the side of the one he
// owes, until the ball is thrown.
func (mv *mover) between(t field.Seconds, p field.Point, own, other int) field.Point {
	a, b := mv.sees(own, t), mv.sees(other, t)
	h := &mv.pl.Params.Help
	goal := b.pos.Add(b.vel.Times(h.Lead)).Toward(a.pos.Add(a.vel.Times(h.Lead)), h.Between)
	goal.Y = min(b.pos.Y+h.Lead*b.vel.Y-h.Beneath, h.Sink)
	return chase(p, goal, field.Point{}, h.Middle).AtMost(mv.body.speed.Max)
}

// chase closes the gap to a moving goal in about T seconds.
func chase(p, goal, goalVel field.Point, T field.Seconds) field.Point {
	return goalVel.Add(goal.Sub(p).Times(1 / T))
}
