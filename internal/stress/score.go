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
	Sticks     float64 // per yard of need beyond that of first and ten, for a zone man at a throw that reaches it: he sinks to the sticks
}

// DefaultCurve is the fitted curve.
var DefaultCurve = Curve{Base: 1.70, Separation: 0.045, Most: 6, Depth: -0.093, Man: -0.5, Sticks: -0.044}

// odds returns the logarithm of the odds of a completion; man is how far the
// owner plays man to man, 0 to 1.
func (c Curve) odds(separation, depth field.Yards, man float64, sit Situation) float64 {
	x := c.Base + c.Separation*min(max(separation, 0), c.Most) + c.Depth*max(depth, 0) + c.Man*man
	if long := sit.Need - Usual.Situation.Need; long > 0 {
		x += c.Sticks * long * (1 - man) * min(1, max(0, depth-sit.Need+1))
	}
	return x
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// sharpness is how much the passer prefers the best receiver: assumed.
const sharpness = 4.0

// Of the catches short of what the down needs, half reach it when they are
// afterCatch yards short; afterSpread is the scale of the logistic. Fitted to the
// 4,662 such catches of one professional season (open_plays_2022: centre 5.3, scale
// 5.1 yd; no difference between man and zone, 0.04 with standard error 0.07).
const (
	afterCatch  field.Yards = 5.3
	afterSpread field.Yards = 5.1
)

// enough is the chance that a catch at a depth makes the gain.
func (s Situation) enough(depth field.Yards) float64 {
	short := s.Need - depth
	if short <= 0 {
		return 1
	}
	run := logistic((afterCatch - short) / afterSpread)
	return 1 + min(1, short)*(run-1) // within a yard of the sticks it is not all or nothing
}

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
		best := bestThrow(g, i, sit)
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

// bestThrow returns a receiver's best moment; its success is negative when he
// can never be thrown to.
func bestThrow(g *motion.Game, i int, sit Situation) Throw {
	best, ts := Throw{Receiver: i, Success: -1}, g.Of(i)
	caught, depth := math.Inf(-1), math.Inf(-1) // of the best
	for k := range ts {
		if !ts[k].Live {
			continue
		}
		t := Throw{Receiver: i, Release: g.Releases[k], Depth: ts[k].At.Y, Separation: max(0, g.Open(i, k)+g.Params.Contest)}
		x := DefaultCurve.odds(t.Separation, t.Depth, manShare(g, i, k), sit)
		if x <= caught && t.Depth <= depth {
			continue // no better in either
		}
		t.Complete = logistic(x)
		t.Success = t.Complete * sit.enough(t.Depth)
		if t.Success > best.Success {
			best, caught, depth = t, x, t.Depth
		}
	}
	return best
}

// manShare is how far the owner of a throw plays man to man: among the men who
// owe it most, the nearer count for more, so that a hair's breadth does not
// decide it.
func manShare(g *motion.Game, i, k int) float64 {
	grade := 1
	for _, j := range g.Cover {
		grade = max(grade, g.Owes(j, i, k))
	}
	var room [16]int
	owners, mans := room[:0], 0
	for _, j := range g.Cover {
		if g.Owes(j, i, k) == grade {
			owners = append(owners, j)
			if g.Mans(j, i, k) {
				mans++
			}
		}
	}
	switch mans {
	case 0:
		return 0
	case len(owners):
		return 1
	}
	man, all := 0.0, 0.0
	for _, j := range owners {
		w := math.Exp(-g.Window[j][i][k])
		all += w
		if g.Mans(j, i, k) {
			man += w
		}
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
