package stress

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// outleveraged is a throw to a man who has the receiver to himself and was on the wrong side of
// the break: it may be met in time for the down, but it is caught further from him than one good
// man would be, on the better side. Behind the line what counts is where it is met.
func (f *finder) outleveraged(i, k int) {
	g := f.g
	th := &g.Of(i)[k]
	over := g.Separation(i, k) - th.ParGap
	if th.Early || th.At.Y <= 0 || over <= f.tune.Margin+f.tune.Least {
		return
	}
	for _, j := range g.Cover {
		if g.Mans(j, i, k) && g.Gap[j][i][k] <= g.Separation(i, k) && f.beaten(j, i) {
			x := Finding{Man: j, Kind: Leverage, Open: i, Other: NoThreat, Over: over - f.tune.Margin, Single: true}
			f.add(f.through(x, k), k)
		}
	}
}

// beaten says that a man has the receiver from before he could break, and stands on the wrong side
// when he does.
func (f *finder) beaten(j, i int) bool {
	r := &f.g.Picture.Receivers[i]
	fork, turn := r.Fork()
	if math.IsInf(fork, 1) || !committed(&f.g.Setup.Men[j], i, r, fork) {
		return false
	}
	p, _ := f.g.Tracks[j].At(fork)
	by := (r.Path.At(fork).X - p.X) * float64(r.Side) // he is inside by so much
	return turn == picture.Out && by > 0.5 || turn == picture.In && by < -0.5
}

// mirror is the two-way threat of one route: man to man on the wrong side of a
// break that could go either way then. Its size is the miss that is measured, all of it: the
// good man it is held against stands on the right side.
func (f *finder) mirror(j, i, k int) (Finding, bool) {
	g, t := f.g, f.g.Releases[k]
	r := &g.Picture.Receivers[i]
	m := &g.Setup.Men[j]
	fork, turn := r.Fork()
	if t > fork+0.25 || !committed(m, i, r, fork) || !wrongSide(m, r, turn) {
		return Finding{}, false
	}
	between, open := g.MirrorBetween(j, i, k), g.Open(i, k)
	if min(between, g.Without(j, i, k)) <= f.tune.Least || open <= f.tune.Least {
		return Finding{}, false
	}
	return f.through(Finding{Man: j, Kind: Leverage, Open: i, Other: i, Over: open, Between: between}, k), true
}

// through tells the throw to a man on the wrong side as an exchange where he had to go through
// another receiver, too, who kept him from both branches of the route, or who lined up beside his
// own and cost him all of it: who is in his way says more then than that he was inside.
func (f *finder) through(x Finding, k int) Finding {
	other, kept := f.traded(x.Man, x.Open, k)
	if other < 0 {
		return x
	}
	in := kept >= f.tune.Kept
	if x.Single {
		in = f.beside(x.Open, other) && f.g.HeldUp(x.Man, x.Open, k) >= x.Over
	}
	if in {
		x.Kind, x.Other, x.Single = Exchange, other, false
	}
	return x
}

// beside says that two receivers line up in a stack or a bunch.
func (f *finder) beside(i, l int) bool {
	rs := f.g.Picture.Receivers
	return rs[i].At.Dist(rs[l].At) <= f.tune.Traffic
}

// wrongSide says that a man has his leverage away from the break, or that the
// receiver may yet break either way: an option, a second move, a release out
// of the backfield.
func wrongSide(m *duty.Man, r *picture.Receiver, t picture.Turn) bool {
	if r.Route.Mirror || len(r.Path.Breaks) > 1 {
		return true
	}
	inside := math.Abs(m.At.X) < math.Abs(r.At.X)
	return inside && t == picture.Out || !inside && t == picture.In
}

// committed says that a man plays the receiver man to man when he could still
// break either way: from the snap, or, on a double move, from its first part on.
func committed(m *duty.Man, i int, r *picture.Receiver, last field.Seconds) bool {
	at := field.Seconds(0)
	if len(r.Path.Breaks) > 1 {
		at = last
	}
	for _, d := range m.Owed(at) {
		if d.Verb == call.Man && d.Target == i {
			return true
		}
	}
	return false
}
