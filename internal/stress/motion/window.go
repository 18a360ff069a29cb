package motion

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// A Game is a call played against a picture, as taught.
type Game struct {
	*Play
	Setup  *duty.Setup
	Tracks []Track
	Jammed uint8 // bit i: receiver i is delayed
	// Window[j][i][k] is by how many yards man j misses threat i thrown at
	// release k; negative: to spare. The threat after the last receiver is the
	// inside run. Mirror is the same for the other branch of a route.
	Window [][][]field.Yards
	Run    int // index of the run threat
	run    []Throw
}

// NewGame plays the setup and measures every window.
func NewGame(pl *Play, s *duty.Setup) *Game {
	g := &Game{Play: pl, Setup: s, Run: len(pl.Picture.Receivers)}
	g.Jammed = jams(s)
	g.run = pl.runThrows()
	g.Tracks = make([]Track, len(s.Men))
	g.Window = make([][][]field.Yards, len(s.Men))
	buf := make([]field.Yards, len(s.Men)*(g.Run+1)*len(pl.Releases))
	for j := range s.Men {
		mv := pl.mover(s, &s.Men[j], g.Jammed)
		mv.run(&g.Tracks[j])
		g.Window[j] = make([][]field.Yards, g.Run+1)
		for i := 0; i <= g.Run; i++ {
			g.Window[j][i], buf = buf[:len(pl.Releases)], buf[len(pl.Releases):]
			throws := g.Of(i)
			for k := range throws {
				if throws[k].Live {
					g.Window[j][i][k] = g.window(j, i, k, &throws[k])
				}
			}
		}
	}
	return g
}

// Of returns the throws to a threat: a receiver, or the run.
func (g *Game) Of(i int) []Throw {
	if i == g.Run {
		return g.run
	}
	return g.Throws[g.Jammed>>i&1][i]
}

// jams finds the receivers somebody delays: a bump, or press alignment on him.
func jams(s *duty.Setup) uint8 {
	var out uint8
	for j := range s.Men {
		m := &s.Men[j]
		for _, sh := range m.Shifts {
			for _, d := range sh.Duties {
				if d.Target < 0 || s.Picture.Receivers[d.Target].Back {
					continue
				}
				near := math.Abs(m.At.X-s.Picture.Receivers[d.Target].At.X) < 4
				if d.Verb == call.Bump && sh.From < 1 || m.Technique == "press" && d.Verb != call.HelpOn && near {
					out |= 1 << d.Target
				}
			}
		}
	}
	return out
}

func (pl *Play) mover(s *duty.Setup, m *duty.Man, jammed uint8) *mover {
	mv := &mover{pl: pl, setup: s, m: m, speed: pl.Params.Speed(m.Slot.Body), jammed: jammed, until: pl.Clock.FitUntil}
	if spot, ok := call.Place[m.Slot.Fit]; ok && pl.Clock.FitUntil > 0 {
		mv.fits, mv.fit = true, field.Point{X: float64(m.Side) * spot.X, Y: spot.Y}
	}
	return mv
}

// runThrows makes the inside run a threat: released at the same moment as the
// ball could be thrown, it reaches the line about 0.8 s after the mesh.
func (pl *Play) runThrows() []Throw {
	out := make([]Throw, len(pl.Releases))
	if pl.Clock.Mesh == 0 {
		return out
	}
	for k, t := range pl.Releases {
		spot := field.Point{X: 0, Y: 1}
		at := max(pl.Clock.Mesh+0.8-t, 0.3)
		out[k] = Throw{At: spot, Flight: at, Contest: spot, By: at, Live: true}
	}
	return out
}

// target is where man j must be for a threat: the catch, or his own fit.
func (g *Game) target(j, i int, th *Throw) field.Point {
	if i == g.Run {
		m := &g.Setup.Men[j]
		if p, ok := call.Place[m.Slot.Fit]; ok {
			return field.Point{X: float64(m.Side) * p.X, Y: p.Y}
		}
	}
	return th.Contest
}

// Owes says how a man owes threat i at a moment, for a ball released then: 2
// own, 1 help, 0 nothing.
func (g *Game) Owes(j, i int, t field.Seconds, th *Throw) int {
	m := &g.Setup.Men[j]
	if i == g.Run {
		if g.Clock.Mesh > 0 && call.Inside(m.Slot.Fit) {
			return 2
		}
		return 0
	}
	best := 0
	for _, d := range Duties(m, t) {
		grade := 2
		if d.Help || d.Verb == call.Squeeze {
			grade = 1
		}
		switch {
		case d.Verb == call.InZone:
			if !d.Zone.Holds(th.At) {
				continue
			}
		case d.Target != i || d.Verb == call.Bump:
			continue
		case d.Verb == call.Under && (th.At.Y > 13 || th.At.X*float64(m.Side) < -1):
			continue // deep, or across the ball, he is someone else's
		}
		best = max(best, grade)
	}
	return best
}

// Duties returns what a man owes at a moment.
func Duties(m *duty.Man, t field.Seconds) []duty.Duty {
	k := 0
	for k+1 < len(m.Shifts) && m.Shifts[k+1].From <= t {
		k++
	}
	return m.Shifts[k].Duties
}

// window is by how much man j misses the throw: he breaks on the ball after
// his reaction, with his momentum, or goes on with what he does.
func (g *Game) window(j, i, k int, th *Throw) field.Yards {
	t := g.Releases[k]
	react := g.Params.Late
	if g.Owes(j, i, t, th) > 0 {
		react = g.reaction(j, k)
	} else if g.busy(j, t) {
		react = g.Params.Busy
	}
	return g.miss(j, t, react, g.target(j, i, th), th)
}

// busy says that a man has a receiver of his own to run with: his eyes are on
// him, not on the ball.
func (g *Game) busy(j int, t field.Seconds) bool {
	for _, d := range Duties(&g.Setup.Men[j], t) {
		if d.Target >= 0 && (d.Verb == call.Man || d.Verb == call.Carry) && !g.Picture.Receivers[d.Target].Blocks() {
			return true
		}
	}
	return false
}

// reaction is a man's reaction to the ball: longer the more live throws he owes
// at that moment, by Hick's law (Hick 1952): a + b log2(n).
func (g *Game) reaction(j, k int) field.Seconds {
	n := 0
	for i := 0; i < g.Run; i++ {
		if th := g.Of(i); th != nil && th[k].Live && g.Owes(j, i, g.Releases[k], &th[k]) == 2 {
			n++
		}
	}
	if n < 2 {
		return g.Params.Reaction
	}
	return g.Params.Reaction + g.Params.Choice*math.Log2(float64(n))
}

func (g *Game) miss(j int, t, react field.Seconds, at field.Point, th *Throw) field.Yards {
	p, _ := g.Tracks[j].At(t + th.By)
	chase := at.Dist(p) - g.Params.Contest
	s := th.By - react
	if s <= 0 {
		return chase
	}
	sp := g.Params.Speed(g.Setup.Men[j].Slot.Body)
	p, v := g.Tracks[j].At(t + react)
	return min(chase, at.Dist(p.Add(v.Times(sp.Drift(s))))-sp.Reach(s)-g.Params.Contest)
}

// disc is the set of spots from which a man with this velocity reaches a throw.
func (g *Game) disc(j, i int, t field.Seconds, th *Throw) (centre field.Point, radius field.Yards) {
	sp := g.Params.Speed(g.Setup.Men[j].Slot.Body)
	react := g.Params.Reaction + g.Params.Choice // two to choose from
	s := th.By - react
	_, v := g.Tracks[j].At(t + react)
	return g.target(j, i, th).Sub(v.Times(sp.Drift(s))), sp.Reach(s) + g.Params.Contest
}

// Kappa is how many yards man j misses the worse of two threats from the best
// spot he could have taken, with the velocity he has.
func (g *Game) Kappa(j, i, l, k int) field.Yards {
	a, b := &g.Of(i)[k], &g.Of(l)[k]
	ca, ra := g.disc(j, i, g.Releases[k], a)
	cb, rb := g.disc(j, l, g.Releases[k], b)
	return Kappa(ca, ra, cb, rb)
}

// MirrorKappa is Kappa between a route and its other branch.
func (g *Game) MirrorKappa(j, i, k int) field.Yards {
	t := g.Releases[k]
	ca, ra := g.disc(j, i, t, &g.Of(i)[k])
	cb, rb := g.disc(j, i, t, &g.Mirror[i][k])
	return Kappa(ca, ra, cb, rb)
}

// Kappa returns min over spots p of max(|p-a|-ra, |p-b|-rb): between the discs
// when they are apart, the centre of the smaller when one contains the other.
// For two spots the worse miss is at least half their gap, since the two
// distances add up to at least |a-b|; a point between attains it.
func Kappa(a field.Point, ra field.Yards, b field.Point, rb field.Yards) field.Yards {
	d := a.Dist(b)
	if d < math.Abs(ra-rb) {
		return -min(ra, rb)
	}
	return (d - ra - rb) / 2
}

// par measures the reference man: five yards off with nothing else to do, the
// better of inside and outside shade.
func (pl *Play) par(i int) {
	r := &pl.Picture.Receivers[i]
	set := &duty.Setup{Picture: pl.Picture}
	var tr Track
	for n, shade := range []float64{-1, 1} {
		x, side := r.At.X+shade, 1
		if r.Back {
			x = float64(r.Side) * (3 + shade)
		}
		if x < 0 {
			side = -1
		}
		body := "back"
		if r.Back {
			body = "linebacker"
		}
		m := duty.Man{Slot: &call.Slot{Defender: &call.Defender{Body: body}}, Side: side, At: field.Point{X: x, Y: 5},
			Shifts: []duty.Shift{{Duties: []duty.Duty{{Verb: call.Man, Target: i}}}}}
		set.Men = []duty.Man{m}
		mv := pl.mover(set, &set.Men[0], 0)
		mv.alone = true
		mv.run(&tr)
		g := &Game{Play: pl, Setup: set, Tracks: []Track{tr}}
		for jam := range pl.Throws {
			for k := range pl.Releases {
				th := &pl.Throws[jam][i][k]
				w := g.miss(0, pl.Releases[k], pl.Params.Reaction, th.Contest, th)
				if n == 0 || w < th.Par {
					th.Par = w
				}
			}
		}
	}
}
