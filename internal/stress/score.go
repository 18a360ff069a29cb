package stress

import (
	"math"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A Situation is what the down asks for.
type Situation struct {
	Need field.Yards // the gain that is a success
}

// Curve is the completion chance as a logistic of what the play shows. The
// coefficients were fitted on one season of professional charting (targeted
// route by coverage; see the package documentation); that they hold at other
// levels is an assumption.
type Curve struct {
	Base       float64
	Separation float64 // per yard of separation at arrival, up to Most
	Most       field.Yards
	Depth      float64 // per yard of catch depth
	Man        float64 // when the owner plays man
}

// DefaultCurve is the fitted curve.
var DefaultCurve = Curve{Base: 1.70, Separation: 0.045, Most: 6, Depth: -0.093, Man: -0.5}

// Chance returns the completion chance of a throw; man is how far the owner
// plays man to man, 0 to 1.
func (c Curve) Chance(separation, depth field.Yards, man float64) float64 {
	x := c.Base + c.Separation*min(max(separation, 0), c.Most) + c.Depth*max(depth, 0) + c.Man*man
	return 1 / (1 + math.Exp(-x))
}

// Constants of the passer's choice and the run after the catch: assumed.
const (
	sharpness  = 4.0 // how much the best receiver is preferred
	afterCatch = 2.0 // yards gained after a catch with nobody near
	afterRate  = 0.5 // more yards for each yard of separation
	afterSlack = 2.0 // spread of the run after the catch
)

// A Throw is what the score says of one receiver.
type Throw struct {
	Receiver   int
	Release    field.Seconds
	Separation field.Yards // of the nearest man at the catch
	Depth      field.Yards
	Complete   float64 // chance of a catch
	Success    float64 // chance of enough
	Share      float64 // of the passer's choice
}

// throws rates each receiver at his best moment.
func throws(g *motion.Game, sit Situation) []Throw {
	var out []Throw
	total := 0.0
	for i := 0; i < g.Run; i++ {
		best := Throw{Receiver: i, Success: -1}
		for k, th := range g.Of(i) {
			if !th.Live {
				continue
			}
			t := rate(g, i, k, sit)
			if t.Success > best.Success {
				best = t
			}
		}
		if best.Success < 0 {
			continue
		}
		best.Share = math.Exp(sharpness * best.Complete * (1 + max(best.Depth, 0)/25))
		total += best.Share
		out = append(out, best)
	}
	for i := range out {
		out[i].Share /= total
	}
	return out
}

func rate(g *motion.Game, i, k int, sit Situation) Throw {
	th := &g.Of(i)[k]
	t := Throw{Receiver: i, Release: g.Releases[k], Depth: th.At.Y, Separation: max(0, g.Open(i, k)+g.Params.Contest)}
	t.Complete = DefaultCurve.Chance(t.Separation, t.Depth, manShare(g, i, k))
	gain := th.At.Y + afterCatch + afterRate*min(t.Separation, 6)
	t.Success = t.Complete / (1 + math.Exp((sit.Need-gain)/afterSlack))
	return t
}

// manShare is how far the owner of a throw plays man to man: among the men who
// owe it most, the nearer count for more, so that a hair's breadth does not
// decide it.
func manShare(g *motion.Game, i, k int) float64 {
	grade := 1
	for _, j := range g.Cover {
		grade = max(grade, g.Owes(j, i, k))
	}
	man, all := 0.0, 0.0
	for _, j := range g.Cover {
		if g.Owes(j, i, k) == grade {
			w := math.Exp(-g.Window[j][i][k])
			all += w
			if g.Mans(j, i, k) {
				man += w
			}
		}
	}
	if all == 0 {
		return 0
	}
	return man / all
}

// stressOf is the chance that the play is a success for the offence: the
// passer's choice over receivers, softened as passers do. A picture without a
// live throw (a run) has none.
func stressOf(ts []Throw) float64 {
	s := 0.0
	for _, t := range ts {
		s += t.Share * t.Success
	}
	return s
}
