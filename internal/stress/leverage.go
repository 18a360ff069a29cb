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
	fork, _ := r.Fork()
	return f.across(j, i) && committed(&f.g.Setup.Men[j], i, r, fork)
}

// across says that receiver i breaks away from man j, to the side that he is not on.
func (f *finder) across(j, i int) bool {
	r := &f.g.Picture.Receivers[i]
	fork, turn := r.Fork()
	if math.IsInf(fork, 1) {
		return false
	}
	p, _ := f.g.Tracks[j].At(fork)
	by := (r.Path.At(fork).X - p.X) * float64(r.Side) // he is inside by so much
	return turn == picture.Out && by > 0.5 || turn == picture.In && by < -0.5
}

// takenIn is how long a break takes to be taken in once it can be seen (motion).
const takenIn field.Seconds = 0.2

// mirror is the two-way threat of one route: man to man on the wrong side of a
// break that could go either way then. Its size is the miss that is measured, all of it: the
// good man it is held against stands on the right side.
func (f *finder) mirror(j, i, k int) (Finding, bool) {
	g, t := f.g, f.g.Releases[k]
	r := &g.Picture.Receivers[i]
	m := &g.Setup.Men[j]
	fork, turn := r.Fork()
	if t > fork+g.Params.Perception+takenIn || !committed(m, i, r, fork) || !wrongSide(m, r, turn) {
		return Finding{}, false
	}
	between, open := g.MirrorBetween(j, i, k), g.Open(i, k)
	if min(between, g.Without(j, i, k)) <= f.tune.Least || open <= f.tune.Least {
		return Finding{}, false
	}
	return f.through(Finding{Man: j, Kind: Leverage, Open: i, Other: i, Over: open, Between: between}, k), true
}

// through tells the throw to a man on the wrong side as an exchange where the receiver trades places
// with another (trade notes 0.2, K6): who comes across his way belongs to it as much as his leverage.
func (f *finder) through(x Finding, k int) Finding {
	if other := f.trades(x.Open, k); other >= 0 {
		x.Kind, x.Other, x.Wrong, x.Single = Exchange, other, true, false
	}
	return x
}

// trades is the receiver with whom receiver i trades places before the ball of release k comes down: they pass
// near each other, going opposite ways, of several the one who comes across most, or out of a stack or a
// bunch, where he meets him first; -1: nobody.
func (f *finder) trades(i, k int) int {
	g := f.g
	other, best, p := -1, math.Inf(-1), g.Picture.Receivers[i].Path
	for l := range g.Picture.Receivers {
		q, at := g.Picture.Receivers[l].Path, g.Passes[i][l]
		if l == i || g.Of(l) == nil || at > g.Releases[k]+g.Of(i)[k].Flight {
			continue
		}
		by, v, w := math.Inf(-1), p.VelAt(at).X, q.VelAt(at).X
		switch apart := math.Abs(p.At(at).Y - q.At(at).Y); {
		case v*w < 0 && apart <= near:
			by = math.Abs(v - w)
		case f.beside(i, l) && apart <= f.tune.Traffic:
			by = -at
		}
		if by > best {
			best, other = by, l
		}
	}
	return other
}

// near is how far apart upfield two receivers may pass: a post over a wheel does. Common practice, no source.
const near field.Yards = 6

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
