package motion

import (
	"math"

	"overhang/internal/stress/field"
)

// A disc is the set of spots from which a man with the velocity he has reaches a throw.
type disc struct {
	center field.Point
	radius field.Yards
	known  bool
}

// spots are the discs of one release of a play, by man and threat, as far as asked for.
type spots struct {
	of      *Rep
	release int
	discs   []disc
}

// disc is the set of spots from which a man with this velocity reaches a throw.
func (g *Rep) disc(j, i int, t field.Seconds, th *Throw) disc {
	sp := g.bodies[j].speed
	react := g.Params.Reaction + g.Params.Choice // two to choose from
	s := th.By - react
	_, v := g.Tracks[j].At(t + react)
	drift := g.bodies[j].drift(s)
	return disc{g.target(j, i, th).Sub(v.Times(drift)), max(0, sp.Max*(s-drift)) + g.Params.Contest, true}
}

// spot is the disc of man j for threat i at release k. A finder asks for those of one release
// again and again.
func (g *Rep) spot(j, i, k int) *disc {
	s := &g.room.spots
	if s.of != g || s.release != k {
		s.discs = grown(s.discs, len(g.Setup.Men)*(g.Run+1))
		clear(s.discs)
		s.of, s.release = g, k
	}
	d := &s.discs[j*(g.Run+1)+i]
	if !d.known {
		*d = g.disc(j, i, g.Releases[k], &g.Of(i)[k])
	}
	return d
}

// Between is how many yards man j misses the worse of two threats from the best
// spot he could have taken, with the velocity he has.
func (g *Rep) Between(j, i, l, k int) field.Yards {
	a, b := g.spot(j, i, k), g.spot(j, l, k)
	return Between(a.center, a.radius, b.center, b.radius)
}

// MirrorBetween is Between between a route and its other branch.
func (g *Rep) MirrorBetween(j, i, k int) field.Yards {
	a, b := g.spot(j, i, k), g.disc(j, i, g.Releases[k], &g.Mirror[i][k])
	return Between(a.center, a.radius, b.center, b.radius)
}

// Between returns min over spots p of max(|p-a|-ra, |p-b|-rb): between the discs
// when they are apart, the center of the smaller when one contains the other.
// For two spots the worse miss is at least half their gap, since the two
// distances add up to at least |a-b|; a point between attains it.
func Between(a field.Point, ra field.Yards, b field.Point, rb field.Yards) field.Yards {
	d := a.Dist(b)
	if d < math.Abs(ra-rb) {
		return -min(ra, rb)
	}
	return (d - ra - rb) / 2
}
