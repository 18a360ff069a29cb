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
	x += c.Sticks * sit.long() * (1 - man) * past(depth, sit.Need)
	return x
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// sharpness is how much the passer prefers the best receiver: assumed.
const sharpness = 4.0

// lookOff is by how much, for each yard that more than on first and ten is needed, the
// log odds of throwing that far fall against a zone man more than against man to man,
// beyond what separation and depth do: he sees the ball, and sits at the sticks. Set so
// that the gap grows from 4 to 15 yd of need about as in one professional season
// (open_plays_2022, 17,745 targets: by 0.64, from 0.54 to 1.18).
const lookOff = 0.15

// past is how far a depth is past a need, 0 to 1: within a yard it is not all or nothing.
func past(depth, need field.Yards) float64 { return min(1, max(0, depth-need+1)) }

// The log odds that a catch short of what the down needs is run that far: by how much
// it is short, and by how much more than on first and ten is needed, since the defence
// then rallies from the sticks; a man who plays man to man runs with his back to it.
// Fitted to the 6,152 such catches of one professional season (open_plays_2022); standard
// errors 0.05, 0.008, 0.013 and 0.022 (of man's 0.159). That they hold at other levels is
// an assumption.
const (
	afterCatch = 1.135
	perShort   = -0.114 // a yard
	perLong    = -0.210 // a yard
	perLongMan = 0.051  // added to it when the owner plays man
)

// enough is the chance that a catch at a depth makes the gain; man is how far the owner
// plays man to man.
func (s Situation) enough(depth field.Yards, man float64) float64 {
	short := s.Need - depth
	if short <= 0 {
		return 1
	}
	run := logistic(afterCatch + perShort*short + (perLong+perLongMan*man)*s.long())
	return 1 + min(1, short)*(run-1) // within a yard of the sticks it is not all or nothing
}

// long is by how much more is needed than on first and ten.
func (s Situation) long() field.Yards { return max(0, s.Need-Usual.Situation.Need) }

// A Throw is what the score says of one receiver.
type Throw struct {
	Receiver   int
	Release    field.Seconds
	Separation field.Yards // of the nearest man at the catch
	Depth      field.Yards
	Complete   float64 // chance of a catch
	Success    float64 // chance of enough
	Share      float64 // of the passer's choice
	man        float64 // how far the owner plays man to man
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
		off := lookOff * sit.long() * (1 - best.man) * past(best.Depth, sit.Need)
		best.Share = math.Exp(sharpness*best.Complete*(1+max(best.Depth, 0)/25) - off)
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
		t.man = manShare(g, i, k)
		x := DefaultCurve.odds(t.Separation, t.Depth, t.man, sit)
		if x <= caught && t.Depth <= depth {
			continue // no better in either
		}
		t.Complete = logistic(x)
		t.Success = t.Complete * sit.enough(t.Depth, t.man)
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
