package motion

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// step is the time step of a defender's movement; the state is exact for a
// constant control within it, and a step is cut at every change of duty.
const (
	step    field.Seconds = 0.1
	horizon field.Seconds = 6.5
	frames                = int(horizon/step) + 1
	lag     field.Seconds = 0.2 // the control that is wanted is reached in this time
)

// A Track is where a defender is over time, as taught: a frame a step, as far
// as the play needs.
type Track struct {
	Pos, Vel []field.Point
}

// At returns position and velocity at time t.
func (tr *Track) At(t field.Seconds) (field.Point, field.Point) {
	u := t * (1 / step)
	if u <= 0 {
		return tr.Pos[0], tr.Vel[0]
	}
	i := int(u)
	if last := len(tr.Pos) - 1; i >= last {
		return tr.Pos[last], tr.Vel[last]
	}
	f := u - float64(i)
	return tr.Pos[i].Toward(tr.Pos[i+1], f), tr.Vel[i].Toward(tr.Vel[i+1], f)
}

// A mover plays one man of a setup.
type mover struct {
	pl     *Play
	setup  *duty.Setup
	m      *duty.Man
	speed  field.Speed
	decay  float64 // exp(-step/Tau)
	jammed uint8   // bit i: receiver i is delayed
	until  field.Seconds
	fit    field.Point
	fits   bool
	alone  bool // nobody is in his way
}

// run moves the man through the play and fills his track.
func (mv *mover) run(tr *Track) {
	p, v := mv.m.At, field.Point{}
	shift, shifts := 0, mv.m.Shifts
	for i := range tr.Pos {
		tr.Pos[i], tr.Vel[i] = p, v
		t, left := float64(i)*step, step
		for left > 1e-9 {
			for shift+1 < len(shifts) && shifts[shift+1].From <= t+1e-9 {
				shift++
			}
			dt, decay := left, mv.decay
			if shift+1 < len(shifts) && shifts[shift+1].From < t+dt {
				dt = shifts[shift+1].From - t
			}
			if dt != step {
				decay = math.Exp(-dt / mv.speed.Tau)
			}
			want, most := mv.want(t, p, v, shifts[shift].Duties)
			p, v = advance(mv.speed.Tau, p, v, want, most, dt, decay)
			t, left = t+dt, left-dt
		}
	}
}

// rush runs a rusher at the passer: for the drawing, nothing is measured on him.
func (mv *mover) rush(tr *Track) {
	d := mv.pl.Clock.Passer.Sub(mv.m.At)
	for i := range tr.Pos {
		s := float64(i)*step - mv.pl.Params.Start
		tr.Pos[i] = mv.m.At.Add(d.AtMost(0.5 * mv.speed.Reach(s))) // blocked: half of what he could run
	}
}

// advance moves a man dt seconds with the control that would reach the wanted
// velocity within lag, as far as |u| <= most allows; exact for constant u.
// decay is exp(-dt/tau).
func advance(tau field.Seconds, p, v, want field.Point, most field.YardsPerSecond, dt field.Seconds, decay float64) (field.Point, field.Point) {
	u := v.Add(want.Sub(v).Times(tau / lag)).AtMost(most)
	d := v.Sub(u)
	return p.Add(u.Times(dt)).Add(d.Times(tau * (1 - decay))), u.Add(d.Times(decay))
}

// want returns the velocity his duties ask for, and the speed he may use.
func (mv *mover) want(t field.Seconds, p, v field.Point, ds []duty.Duty) (field.Point, field.YardsPerSecond) {
	if t < mv.pl.Params.Start {
		return field.Point{}, mv.speed.Max
	}
	if mv.fits && t < mv.until {
		most := 0.7
		if mv.m.At.Y > 7 {
			most = 0.35 // a deep man settles and comes up only when he is sure
		}
		return chase(p, mv.fit, field.Point{}, 0.6).AtMost(most * mv.speed.Max), mv.speed.Max
	}
	var man, zone *duty.Duty
	for i := range ds {
		d := &ds[i]
		switch d.Verb {
		case call.Man, call.Under, call.Carry, call.Read:
			if man == nil && d.Target >= 0 && !mv.pl.Picture.Receivers[d.Target].Blocks() {
				man = d
			}
		case call.InZone:
			if zone == nil || zone.Help && !d.Help {
				zone = d
			}
		case call.Rush:
			return chase(p, mv.pl.Clock.Passer, field.Point{}, 0.5).AtMost(mv.speed.Max), mv.speed.Max
		}
	}
	squeezed := target(ds, call.Squeeze)
	switch {
	case man != nil && squeezed >= 0:
		return mv.between(t, p, man.Target, squeezed), mv.speed.Max
	case man != nil && zone != nil && (man.Verb == call.Read || man.Verb == call.Under && mv.passed(t, man.Target)):
		return mv.zone(t, p, zone, ds), mv.speed.Max
	case man != nil:
		return mv.man(t, p, man), mv.traffic(t, p, man)
	case zone != nil:
		return mv.zone(t, p, zone, ds), mv.speed.Max
	}
	for i := range ds {
		if d := &ds[i]; (d.Verb == call.HelpOn || d.Verb == call.Squeeze) && d.Target >= 0 {
			return mv.help(t, p, d), mv.speed.Max
		}
	}
	return field.Point{}, mv.speed.Max
}

func target(ds []duty.Duty, v call.Verb) int {
	for i := range ds {
		if ds[i].Verb == v {
			return ds[i].Target
		}
	}
	return -1
}

// passed says that a receiver has crossed the ball: an underneath man hands
// him on there.
func (mv *mover) passed(t field.Seconds, i int) bool {
	rp, _ := mv.sees(i, t, onMan)
	return rp.X*float64(mv.m.Side) < 0
}

// between sinks under the receiver he squeezes, on the side of the one he
// owes, no deeper than eleven yards, until the ball is thrown.
func (mv *mover) between(t field.Seconds, p field.Point, own, other int) field.Point {
	a, av := mv.sees(own, t, onMan)
	b, bv := mv.sees(other, t, onMan)
	goal := b.Add(bv.Times(0.5)).Toward(a.Add(av.Times(0.5)), 0.3)
	goal.Y = min(b.Y+0.5*bv.Y-1, 11)
	return chase(p, goal, field.Point{}, 0.6).AtMost(mv.speed.Max)
}

// chase closes the gap to a moving goal in about T seconds.
func chase(p, goal, goalVel field.Point, T field.Seconds) field.Point {
	return goalVel.Add(goal.Sub(p).Times(1 / T))
}

// A glimpse is where a receiver seems to be, and how fast.
type glimpse struct{ pos, vel field.Point }

// sees returns where a receiver seems to be: as he was age seconds ago, carried
// on. Looks at whole steps are kept in the play's tables.
func (mv *mover) sees(i int, t field.Seconds, eyes int) (pos, vel field.Point) {
	u := t * (1 / step)
	k := int(u + 0.5)
	if d := u - float64(k); d < 1e-6 && d > -1e-6 && k < frames {
		g := &mv.pl.seen[eyes][mv.jammed>>i&1][i][k]
		return g.pos, g.vel
	}
	g := mv.pl.look(i, t-mv.delay(i), mv.pl.age(eyes))
	return g.pos, g.vel
}

// Where a defender's eyes are: on his man, or on the passer.
const (
	onMan = iota
	onPasser
)

func (pl *Play) age(eyes int) field.Seconds {
	if eyes == onMan {
		return pl.Params.Perception
	}
	return pl.Params.ZoneEyes
}

func (pl *Play) look(i int, t, age field.Seconds) glimpse {
	path := pl.Picture.Receivers[i].Path
	vel := path.VelAt(t - age)
	return glimpse{path.At(t - age).Add(vel.Times(age)), vel}
}

// glance fills the tables of sees.
func (pl *Play) glance() {
	for eyes := range pl.seen {
		for jam := range pl.seen[eyes] {
			pl.seen[eyes][jam] = make([][]glimpse, len(pl.Picture.Receivers))
			for i := range pl.Picture.Receivers {
				g := make([]glimpse, frames)
				for k := range g {
					g[k] = pl.look(i, float64(k)*step-float64(jam)*pl.Params.Jam, pl.age(eyes))
				}
				pl.seen[eyes][jam][i] = g
			}
		}
	}
}

func (mv *mover) delay(i int) field.Seconds {
	if mv.jammed&(1<<i) != 0 {
		return mv.pl.Params.Jam
	}
	return 0
}

// broke says whether he has seen the receiver's route break.
func (mv *mover) broke(i int, t, age field.Seconds) bool {
	bs := mv.pl.Picture.Receivers[i].Path.Breaks
	return len(bs) > 0 && t >= bs[0].T+mv.delay(i)+age
}

// man is man-to-man technique: keep leverage, give ground and match as the
// cushion closes; after the break, intercept rather than chase.
func (mv *mover) man(t field.Seconds, p field.Point, d *duty.Duty) field.Point {
	r := &mv.pl.Picture.Receivers[d.Target]
	rp, rv := mv.sees(d.Target, t, onMan)
	lev := leverage(d, r, mv.m.At)
	if d.Trail || mv.m.Technique == "trail" {
		want := chase(p, rp.Add(field.Point{X: lev * 0.8, Y: -0.6}), rv, 0.4)
		if rp.Y < p.Y {
			want.Y = max(want.Y, 0.8*rv.Y) // he does not come up to a man who is coming to him
		}
		return want.AtMost(mv.speed.Max)
	}
	if mv.broke(d.Target, t, mv.pl.Params.Perception) {
		return mv.intercept(p, rp, rv)
	}
	cushion := p.Y - rp.Y
	goal := field.Point{X: rp.X + lev*1.0, Y: p.Y}
	if d.Verb == call.Read && rp.X*float64(mv.m.Side) < 0 {
		goal.X = (mv.m.At.X + rp.X) / 2 // he cheats to a man of the other side, and goes when he declares
	}
	want := field.Point{X: rv.X + (goal.X-p.X)/0.5}
	switch {
	case cushion > 4:
		want.Y = 1
	case cushion > 1.5:
		k := (4 - cushion) / 2.5
		want.Y = 1 + k*(rv.Y-1)
	default:
		want.Y = rv.Y + (1-cushion)/0.5
	}
	if d.Verb == call.Under {
		want.Y = rv.Y + (rp.Y-1-p.Y)/0.5
	}
	return want.AtMost(mv.speed.Max)
}

// leverage is the sign of x from the receiver to where the defender wants to be.
func leverage(d *duty.Duty, r *picture.Receiver, at field.Point) float64 {
	side := 1.0
	if r.At.X < 0 {
		side = -1
	}
	switch {
	case d.Leverage != 0:
		return side * float64(d.Leverage)
	case at.X > r.At.X+0.25:
		return 1
	case at.X < r.At.X-0.25:
		return -1
	}
	return 0
}

// intercept runs to where the receiver will be when he can be met; close to
// him it matches his speed instead.
func (mv *mover) intercept(p, rp, rv field.Point) field.Point {
	gap := rp.Sub(p)
	if gap.Len() < 1.5 {
		return chase(p, rp, rv, 0.4).AtMost(mv.speed.Max)
	}
	vm := mv.speed.Max * 0.95
	a := rv.Dot(rv) - vm*vm
	b := 2 * gap.Dot(rv)
	c := gap.Dot(gap)
	T := 2.5
	if disc := b*b - 4*a*c; disc >= 0 && a < -1e-9 {
		T = min(T, max(0.05, (-b-math.Sqrt(disc))/(2*a)))
	}
	return rp.Add(rv.Times(T)).Sub(p).Times(1 / T).AtMost(mv.speed.Max)
}

// traffic slows a man defender who runs through another receiver's path.
func (mv *mover) traffic(t field.Seconds, p field.Point, d *duty.Duty) field.YardsPerSecond {
	rp, _ := mv.sees(d.Target, t, onMan)
	if mv.alone || p.Dist(rp) < 1 {
		return mv.speed.Max
	}
	for _, i := range mv.pl.runs {
		if i == d.Target {
			continue
		}
		q := mv.pl.Picture.Receivers[i].Path.At(t - mv.delay(i))
		if q.Dist(p) < 1.6 && q.Sub(p).Dot(rp.Sub(p)) > 0 {
			return 0.3 * mv.speed.Max
		}
	}
	return mv.speed.Max
}

// zone drops to the landmark, works to the one threat in the zone, or stands
// where the worst of several is least bad, no deeper than the sink depth.
func (mv *mover) zone(t field.Seconds, p field.Point, z *duty.Duty, ds []duty.Duty) field.Point {
	rect := &z.Zone
	deep := rect.Sink == 0
	lo, hi := field.Point{X: math.Inf(1), Y: math.Inf(1)}, field.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	n, declared := 0, false
	for _, i := range mv.pl.runs {
		rp, rv := mv.sees(i, t, onPasser)
		ahead, broke := 0.5, mv.broke(i, t, mv.pl.Params.ZoneEyes)
		if deep || !broke {
			ahead = 1 // a man on his stem is met where he will be
		}
		q := rp.Add(rv.Times(ahead))
		if deep {
			if q.Y < rect.Y0-4 || q.X < rect.X0-1 || q.X > rect.X1+1 {
				continue
			}
		} else if !rect.Holds(q) && !targets(ds, i) {
			continue
		}
		n++
		declared = broke
		lo = field.Point{X: min(lo.X, q.X), Y: min(lo.Y, q.Y)}
		hi = field.Point{X: max(hi.X, q.X), Y: max(hi.Y, q.Y)}
	}
	goal := rect.Mark
	switch {
	case n == 0:
	case deep:
		goal = field.Point{X: (lo.X + hi.X) / 2, Y: max(hi.Y+1, rect.Mark.Y)}
		if n == 1 {
			goal.X = rect.Mark.X + 0.75*(goal.X-rect.Mark.X)
		}
	case n == 1 && !declared: // wall him, do not run with him
		goal = field.Point{X: rect.Mark.X + 0.8*(lo.X-rect.Mark.X), Y: rect.Mark.Y}
	case n == 1:
		goal = rect.Mark.Toward(lo, 0.8)
	default:
		goal = lo.Toward(hi, 0.5)
		goal.Y = min(goal.Y, rect.Sink)
	}
	return chase(p, goal, field.Point{}, 0.7).AtMost(mv.speed.Max)
}

func targets(ds []duty.Duty, i int) bool {
	for k := range ds {
		if ds[k].Target == i && ds[k].Verb != call.Bump {
			return true
		}
	}
	return false
}

// help robs or squeezes a receiver from where he is: inside and on top of him,
// not as tight as man to man.
func (mv *mover) help(t field.Seconds, p field.Point, d *duty.Duty) field.Point {
	rp, rv := mv.sees(d.Target, t, onMan)
	in := 4.0
	if rp.X > 0 {
		in = -4
	}
	goal := field.Point{X: rp.X + in, Y: max(rp.Y+3, mv.m.At.Y)}
	if d.Verb == call.Squeeze {
		goal = field.Point{X: rp.X - in/4, Y: max(rp.Y-2, p.Y)}
	}
	return chase(p, goal, rv.Times(0.5), 0.8).AtMost(mv.speed.Max)
}
