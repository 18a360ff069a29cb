package stress

import (
	"math"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// Numbers of the rush. How likely it gets there hangs on men against men; on a throw also on
// how long it has had. Fitted to one professional season (open plays 2022): of all
// dropbacks; and to 13,502 throws within 3.6 s, by men who rush and time to throw (log odds
// -1.25 at four men and 2.5 s, 0.44 a man, 2.8 a factor e of time; standard errors 0.02, 0.03, 0.10),
// with a third of a man beside the five linemen assumed to stay in on average.
const (
	pressedAt   = -0.17 // log odds of pressure at as many rushers as protectors
	pressedMan  = 0.35  // more a man
	hitAt       = -0.68 // the same of a throw at 2.5 s
	hitMan      = 0.44
	hitLate     = 2.8   // in the log of the time
	hitUsual    = 0.285 // of all throws: what a curve fitted to all of them has in it already
	hitClock    = 0.45  // s by which passers here are quicker than charted ones (median 2.2, there 2.65)
	offBackFoot = -0.5  // log odds of a catch under pressure beside route and air: -0.47 within 3 s, -0.55 to 3.6 (0.05)
)

// extra is how many more rush than protect: the five linemen and the backs who stay in
// beside them. Mostly it is less than nothing.
func extra(g *motion.Rep) float64 {
	rushers, protect := 0, 5
	for j := range g.Setup.Men {
		if motion.Rushes(&g.Setup.Men[j]) {
			rushers++
		}
	}
	for i := range g.Picture.Receivers {
		if x := &g.Picture.Receivers[i]; x.Blocks() && x.Back {
			protect++
		}
	}
	return float64(rushers - protect)
}

// Pressure is the chance that the rush gets to the passer on a dropback.
func (r *Result) Pressure() float64 { return logistic(pressedAt + pressedMan*extra(r.Rep)) }

// A rush is all that a throw's odds under it hang on: how many more come than protect, and when
// the ball can be thrown.
type rush struct {
	more        float64
	first, last field.Seconds
}

// underRush is by how much a throw at each release is likelier to be caught than with the usual
// rush in the passer's face, in log odds: he throws an early ball off his front foot. A board asks
// for the same few again and again.
func (x *rater) underRush(g *motion.Rep) []float64 {
	men := extra(g)
	of := rush{men, g.Clock.First, g.Clock.Last}
	if out, ok := x.rushes[of]; ok {
		return out
	}
	if x.rushes == nil {
		x.rushes = map[rush][]float64{}
	}
	out := make([]float64, len(g.Releases))
	x.rushes[of] = out
	for k, t := range g.Releases {
		out[k] = offBackFoot * (hit(men, t+hitClock) - hitUsual)
	}
	return out
}

// hit is the chance that a throw is made under pressure, by the men more than protect and the
// time to throw as it is charted.
func hit(extra float64, charted field.Seconds) float64 {
	return logistic(hitAt + hitMan*extra + hitLate*math.Log(charted/2.5))
}
