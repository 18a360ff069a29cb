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
func (mv *mover) man(seen *glimpse, p field.Point, o *orders) field.Point {
	d, mp := o.man, &mv.pl.Params.Man
	rp, rv, broke := seen.pos, seen.vel, seen.broke
	if o.trails {
		want := chase(p, rp.Add(field.Point{X: o.leverage * mp.Hip.X, Y: mp.Hip.Y}), rv, mp.Match)
		if rp.Y < p.Y {
			want.Y = max(want.Y, mp.Give*rv.Y) // he does not come up to a man who is coming to him
		}
		return want.AtMost(mv.body.speed.Max)
	}
	if broke == 1 {
		return mv.intercept(p, rp, rv)
	}
	cushion := p.Y - rp.Y
	goal := field.Point{X: rp.X + o.beside, Y: p.Y}
	if d.Verb == call.Read && rp.X*float64(mv.m.Side) < 0 {
		goal.X = (mv.m.At.X + rp.X) / 2 // he cheats to a man of the other side, and goes when he declares
	}
	want := field.Point{X: rv.X + (goal.X-p.X)/mp.Keep}
	turn := mp.Turn + mp.Ahead*max(0, rv.Y)
	switch {
	case cushion > turn:
		want.Y = mp.Backs
	case cushion > mp.Level:
		k := (turn - cushion) / (turn - mp.Level)
		want.Y = mp.Backs + k*(rv.Y-mp.Backs)
	default:
		want.Y = rv.Y + (mp.Cushion-cushion)/mp.Keep
	}
	if d.Verb == call.Under {
		want.Y = rv.Y + (rp.Y-mp.Cushion-p.Y)/mp.Keep
	}
	if mv.pl.Picture.Receivers[d.Target].Back {
		want = mp.closing(want, cushion, rv)
	}
	want = want.AtMost(mv.body.speed.Max)
	if broke > 0 {
		want = want.Toward(mv.intercept(p, rp, rv), broke)
	}
	return want
}

// shade is how far beside his receiver a man keeps: as far as he lined up.
func (mv *mover) shade(r *picture.Receiver) field.Yards {
	mp := &mv.pl.Params.Man
	return max(mp.Least, min(mp.Most, math.Abs(mv.m.At.X-r.At.X)))
}

// closing is how a man on a back comes up: he waits at his depth while the back is still
// to release, then closes.
func (mp *Man) closing(want field.Point, cushion field.Yards, rv field.Point) field.Point {
	if rv.Dot(rv) < mp.Released*mp.Released {
		want.Y = 0
		return want
	}
	want.Y = rv.Y - (cushion - mp.Back)
	return want
}

// leverage is the sign of x from the receiver to where the defender wants to be.
func (mp *Man) leverage(d *duty.Duty, r *picture.Receiver, at field.Point) float64 {
	side := 1.0
	if r.At.X < 0 {
		side = -1
	}
	switch {
	case d.Leverage != 0:
		return side * float64(d.Leverage)
	case at.X > r.At.X+mp.Beside:
		return 1
	case at.X < r.At.X-mp.Beside:
		return -1
	}
	return 0
}

// intercept runs to where the receiver will be when he can be met; close to
// him it matches his speed instead.
func (mv *mover) intercept(p, rp, rv field.Point) field.Point {
	mp, gap := &mv.pl.Params.Man, rp.Sub(p)
	match := chase(p, rp, rv, mp.Match).AtMost(mv.body.speed.Max)
	near := clamp(mp.Near - gap.Len()) // from a yard nearer than that on he matches only
	if near == 1 {
		return match
	}
	vm := mv.body.speed.Max * mp.Cut
	a := rv.Dot(rv) - vm*vm
	b := 2 * gap.Dot(rv)
	c := gap.Dot(gap)
	T := mp.Far
	if disc := b*b - 4*a*c; disc >= 0 && a < -1e-9 {
		T = min(T, max(0.05, (-b-math.Sqrt(disc))/(2*a)))
	}
	return rp.Add(rv.Times(T)).Sub(p).Times(1/T).AtMost(mv.body.speed.Max).Toward(match, near)
}
