package motion

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// man is man-to-man technique: keep leverage, give ground and match as the
// cushion closes; after the break, intercept rather than chase.
func (mv *mover) man(t field.Seconds, p field.Point, d *duty.Duty) field.Point {
	r := &mv.pl.Picture.Receivers[d.Target]
	seen := mv.sees(d.Target, t, onMan)
	rp, rv, broke := seen.pos, seen.vel, seen.broke
	lev := leverage(d, r, mv.m.At)
	if d.Trail || mv.m.Technique == "trail" {
		want := chase(p, rp.Add(field.Point{X: lev * 0.8, Y: -0.6}), rv, 0.4)
		if rp.Y < p.Y {
			want.Y = max(want.Y, 0.8*rv.Y) // he does not come up to a man who is coming to him
		}
		return want.AtMost(mv.body.speed.Max)
	}
	if broke == 1 {
		return mv.intercept(p, rp, rv)
	}
	cushion := p.Y - rp.Y
	goal := field.Point{X: rp.X + lev*mv.shade(r), Y: p.Y}
	if d.Verb == call.Read && rp.X*float64(mv.m.Side) < 0 {
		goal.X = (mv.m.At.X + rp.X) / 2 // he cheats to a man of the other side, and goes when he declares
	}
	want := field.Point{X: rv.X + (goal.X-p.X)/0.5}
	turn := 2.5 + turnAhead*max(0, rv.Y)
	switch {
	case cushion > turn:
		want.Y = 1
	case cushion > 1.5:
		k := (turn - cushion) / (turn - 1.5)
		want.Y = 1 + k*(rv.Y-1)
	default:
		want.Y = rv.Y + (1-cushion)/0.5
	}
	if d.Verb == call.Under {
		want.Y = rv.Y + (rp.Y-1-p.Y)/0.5
	}
	if r.Back {
		want = closing(want, cushion, rv)
	}
	want = want.AtMost(mv.body.speed.Max)
	if broke > 0 {
		want = want.Toward(mv.intercept(p, rp, rv), broke)
	}
	return want
}

// mostShade is how far to the side of a receiver a man keeps at most; at least a yard when
// he has leverage. Common practice, no source.
const mostShade field.Yards = 2

// shade is how far beside his receiver a man keeps: as far as he lined up.
func (mv *mover) shade(r *picture.Receiver) field.Yards {
	return max(1, min(mostShade, math.Abs(mv.m.At.X-r.At.X)))
}

// turnAhead is how long before a receiver is on him a man turns and runs, so as to be at
// speed when he is level. Chosen with the figures of the package documentation.
const turnAhead field.Seconds = 0.4

// closing is how a man on a back comes up: he waits at his depth while the back is still
// to release, then closes to two yards. Common practice, no source.
func closing(want field.Point, cushion field.Yards, rv field.Point) field.Point {
	const released field.YardsPerSecond = 1.5
	if rv.Dot(rv) < released*released {
		want.Y = 0
		return want
	}
	want.Y = rv.Y - (cushion - 2)
	return want
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
	match := chase(p, rp, rv, 0.4).AtMost(mv.body.speed.Max)
	near := clamp(2 - gap.Len()) // matching within a yard, intercepting from two on
	if near == 1 {
		return match
	}
	vm := mv.body.speed.Max * 0.95
	a := rv.Dot(rv) - vm*vm
	b := 2 * gap.Dot(rv)
	c := gap.Dot(gap)
	T := 2.5
	if disc := b*b - 4*a*c; disc >= 0 && a < -1e-9 {
		T = min(T, max(0.05, (-b-math.Sqrt(disc))/(2*a)))
	}
	return rp.Add(rv.Times(T)).Sub(p).Times(1/T).AtMost(mv.body.speed.Max).Toward(match, near)
}
