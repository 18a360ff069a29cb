package motion

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// An Arrival is where a man is when a ball arrives, having broken on it as soon as he
// could, or gone on with what he did when that brings him nearer.
type Arrival struct {
	Man      int // index into the setup's men
	At, Vel  field.Point
	Distance field.Yards // from the catch
	Sees     bool        // his eyes were on the passer, or he had the play in front of him, at the release
	Owes     int         // 2 own, 1 help, 0 nothing
	Speed    field.Speed // how he runs
}

// Arrivals lists the men who do not rush, in the order of the setup, when the ball thrown
// to receiver i at release k is caught.
func (g *Rep) Arrivals(i, k int) []Arrival {
	th := &g.Of(i)[k]
	out := make([]Arrival, 0, len(g.Cover))
	for _, j := range g.Cover {
		a := Arrival{Man: j, Sees: g.Sees(j, k), Owes: g.Owes(j, i, k), Speed: g.bodies[j].speed}
		a.At, a.Vel = g.arrive(j, k, g.reactions(j, k, i), th)
		a.Distance = a.At.Dist(th.At)
		out = append(out, a)
	}
	return out
}

// arrive is where man j is, and how fast, when the ball comes down.
func (g *Rep) arrive(j, k int, after field.Seconds, th *Throw) (p, v field.Point) {
	t := g.Releases[k]
	p, v = g.Tracks[j].At(t + th.Flight)
	s := th.Flight - after
	if s <= 0 {
		return p, v
	}
	from := g.Tracks[j].reacted(t, after)
	sp := g.bodies[j].speed
	drift := g.bodies[j].drift(s)
	coast := from.p.Add(from.v.Times(drift))
	way := th.At.Sub(coast)
	ran := way.AtMost(sp.Max * (s - drift)) // with the constant control that takes him there, or toward it
	if q := coast.Add(ran); q.Dist(th.At) < p.Dist(th.At) {
		u := field.Point{}
		if s > drift {
			u = ran.Times(1 / (s - drift))
		}
		decay := math.Exp(-s / sp.Tau)
		return q, from.v.Times(decay).Add(u.Times(1 - decay))
	}
	return p, v
}

// gap is how far man j is from the catch when the ball comes down; arrive says where.
func (g *Rep) gap(j int, from *reaction, th *Throw) field.Yards {
	p := g.Tracks[j].where(&th.caught)
	stay := th.At.Dist(p)
	s := th.Flight - from.after
	if s <= 0 {
		return stay
	}
	drift := g.bodies[j].drift(s)
	return max(0, min(stay, th.At.Dist(from.p.Add(from.v.Times(drift)))-g.bodies[j].speed.Max*(s-drift)))
}

// Sees says that man j could see the ball leave at release k, more than not.
func (g *Rep) Sees(j, k int) bool { return g.Sight(j, k) > 0.5 }

// Sight says how far man j could see the ball leave at release k, 0 to 1: his eyes are on
// the passer, or on a man whom he has in front of him. A man who runs with a receiver level
// with him or deeper has his back to it.
func (g *Rep) Sight(j, k int) float64 { return g.men[j].eyes[k] }

// onTop is by how much a man who watches a receiver must be deeper than he to see the ball
// over him; half of it, half as well. Common practice, no source.
const onTop field.Yards = 2

func (g *Rep) sees(j int, t field.Seconds, owed []duty.Duty) float64 {
	for n := range owed {
		d := &owed[n]
		switch d.Verb {
		case call.Man, call.Carry, call.Under, call.Read:
		default:
			continue
		}
		if d.Target < 0 || g.Picture.Receivers[d.Target].Blocks() {
			continue
		}
		p, _ := g.Tracks[j].At(t)
		at := g.Picture.Receivers[d.Target].Path.At(t - g.delayOf(d.Target))
		return clamp((p.Y - at.Y) / onTop)
	}
	return 1
}
