package stress

import (
	"math"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// Passer is how a passer chooses: the log of a throw's share grows with its worth.
type Passer struct {
	Taste float64 // how much he prefers the better throw
	Far   float64 // what a yard downfield is worth beside a catch
	Wait  float64 // by how much a second later is worth less, in the log
	Watch float64 // the same for a man who sees the ball right at the catch
	Near  float64 // yards: how near he must be
}

// DefaultPasser holds the choices made on three seasons; see the package documentation.
var DefaultPasser = Passer{Taste: 2.5, Far: 0.1, Wait: 0.6, Watch: 0.4, Near: 5}

// throws rates each receiver at his best moment, and says how often he is thrown to.
func throws(g *motion.Rep, sit ToGain) []Throw {
	var out []Throw
	total := 0.0
	for i := 0; i < g.Run; i++ {
		best, worth := bestThrow(g, i, sit)
		if worth == 0 {
			continue
		}
		best.Share = math.Pow(worth, DefaultPasser.Taste)
		total += best.Share
		out = append(out, best)
	}
	for i := range out {
		out[i].Share /= total
	}
	return out
}

// bestThrow returns a receiver's best moment for the passer and what it is worth to him, 0
// when he can never be thrown to. The moment itself is soft: its neighbors, nearly as good,
// are nearly as likely, so that a hair's breadth decides nothing.
func bestThrow(g *motion.Rep, i int, sit ToGain) (best Throw, most float64) {
	var room [40]struct{ worth, success float64 }
	of, first := g.Of(i), true
	for k := range of {
		if !of[k].Live || g.Releases[k] < g.Clock.Rhythm-1e-9 || k >= len(room) {
			continue
		}
		t := rate(g, i, k, sit)
		w := DefaultPasser.worth(g, &t)
		room[k].worth, room[k].success = w, t.Success
		if w > most || first {
			best, most, first = t, w, false
		}
	}
	if most == 0 {
		return best, 0
	}
	total, success := 0.0, 0.0
	for k := range of {
		if k < len(room) && room[k].worth > 0 {
			x := room[k].worth / most
			x *= x * x
			x *= x
			x *= x // to the twelfth
			room[k].worth = x
			total, success = total+x, success+x*room[k].success
		}
	}
	best.Success = success / total
	for k := range of {
		if k < len(room) && room[k].worth > 0.02*total {
			best.Moments = append(best.Moments, Moment{k, room[k].worth / total})
		}
	}
	return best, most
}

// rate says what the throw to receiver i at release k is worth, no matter who is chosen.
func rate(g *motion.Rep, i, k int, sit ToGain) Throw {
	th := &g.Of(i)[k]
	t := Throw{Receiver: i, K: k, Release: g.Releases[k], Flight: th.Flight, At: th.At, Depth: th.At.Y,
		Separation: g.Separation(i, k)}
	var room [11]field.Yards
	t.Complete = DefaultCurve.Among(g.Gaps(room[:0], i, k), t.Flight, t.Depth)
	t.Success = t.Complete * sit.enough(t.Depth)
	return t
}

// worth is what a throw is worth to the passer: the chance of the catch, what it gains,
// the time he must wait, and the men near the catch who see the ball.
func (p *Passer) worth(g *motion.Rep, t *Throw) float64 {
	watched := 0.0
	for _, j := range g.Cover {
		if d := g.Gap[j][t.Receiver][t.K]; d < p.Near {
			watched += (1 - d/p.Near) * g.Sight(j, t.K)
		}
	}
	return t.Complete * (1 + p.Far*max(t.Depth, 0)) * math.Exp(-p.Wait*t.Release-p.Watch*watched)
}
