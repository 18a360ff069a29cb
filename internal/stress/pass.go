package stress

import (
	"math"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// Numbers of a pass's end, fitted to tables of one professional season (open plays 2022,
// in ../shared/data/value) that know nothing of where men stand: what differs between
// calls comes out of who arrives, and of who sees the ball. At other levels assumed. Those of
// the run after the catch were fitted together to the means, ends at the catch, gains of twenty
// and chances a yard of that season by depth and coverage: nine means within .49 yd (rms), gains of
// twenty within .012. No other season's table was at hand.
const (
	tackle     = 0.18   // chance a yard that a man who is there stops the runner
	rally      = 0.0087 // of every man who saw the ball leave, wherever he is, a yard
	atOnce     = 0.20   // chance to be stopped where he caught it by a man at no distance, falling by e in
	atOnceYd   = 4.1    // so many yards;
	atOnceAir  = 0.046  // more a yard of air: deep balls are caught falling and among men;
	standing   = 0.61   // more when he stands, or comes back, to catch it;
	trailing   = 4.5    // yards that a man with his back to the ball counts as further away
	beaten     = 3.8    // tries in which a man who is there and misses loses e of his chance
	turnBack   = 1.9    // s later starts a man with his back to the ball
	upfield    = 0.55   // s to turn upfield after a catch
	carrier    = 0.97   // share of his speed that a runner among tacklers has
	armLength  = 1.0    // yd
	tips       = 0.010  // interceptions of any throw,
	tipsAir    = 0.0010 // more a yard of air
	eyes       = 0.030  // of a man over the catch who sees the ball, at 12 yards of air
	eyesYd     = 2.5    // falling by e in so many yards
	sackShare  = 0.19   // of pressured dropbacks
	sackYd     = 7      // lost by a sack
	scrambleAt = 0.035  // scrambles with every eye on the passer,
	turned     = 0.05   // more with every back turned
	hurry      = 0.22   // a second by which pressure makes late throws rarer
	hurryFrom  = field.Seconds(1.5)
	usualPress = 0.34
	daring     = 0.10 // a yard of air by which throws to a covered man are rarer than their worth says,
	daringYd   = 2.0  // falling by e in so many yards between him and the nearest man beyond
	nobodyNear = 5.0  // a distance at which he is alone
)

// passOutcome is how the pass ends: the rush gets there, the passer runs, or he throws.
func (r *Result) passOutcome(ts []Throw) *Outcome {
	press := r.Pressure()
	if last := r.Rep.Clock.Last; last < 2 {
		press *= last / 2.7 // the ball is out before they are there
	}
	sack, scramble := sackShare*press, scrambleAt+turned*r.backsTurned()
	o := r.thrownAt(ts, press, 1-sack-scramble)
	o.Sack, o.Scramble = sack, scramble
	o.add(-sackYd, sack)
	for n, p := range scrambleRun {
		o.add(n, scramble*p)
	}
	return o
}

// thrownAt is how the throws end, each by the passer's choice among them; with pressure
// the later ones are rarer. In all they come to a chance.
func (r *Result) thrownAt(ts []Throw, press, chance float64) *Outcome {
	o, total := &Outcome{}, 0.0
	shares := hurried(ts, press)
	for _, x := range shares {
		total += x
	}
	if total == 0 {
		o.Incomplete = chance
		o.add(0, chance)
		return o
	}
	for n := range ts {
		r.thrown(o, &ts[n], chance*shares[n]/total)
	}
	if o.Intercepted > 0 {
		o.deep /= o.Intercepted
	}
	return o
}

// hurried are the shares of the throws under pressure, which do not come to one. Deep ones
// are rarer than where passers throw alone would have it, so that one throw in eight goes
// twenty yards and more, as in open plays 2022 (without it, one in four); but a man whom
// nobody is near is thrown to however deep he is.
func hurried(ts []Throw, press float64) []float64 {
	out := make([]float64, len(ts))
	for n := range ts {
		late := max(0, ts[n].Release-hurryFrom) * press / usualPress
		shy := daring * max(0, ts[n].Depth) * math.Exp(-max(0, ts[n].Separation-nobodyNear)/daringYd)
		out[n] = ts[n].Share * math.Exp(-hurry*late-shy)
	}
	return out
}

// scrambleRun is how far a scramble gets: seven yards on average. Open plays 2022, rounded.
var scrambleRun = func() (p [31]float64) {
	for n := range p {
		p[n] = math.Exp(-float64(n)/7.5) * (1 - math.Exp(-1/7.5)) / (1 - math.Exp(-31/7.5))
	}
	return p
}()

// backsTurned is the share of the men in coverage who do not see the passer when he
// would run, half-way through the clock.
func (r *Result) backsTurned() float64 {
	g := r.Rep
	if len(g.Cover) == 0 {
		return 0
	}
	n, k := 0, len(g.Releases)/2
	for _, j := range g.Cover {
		if !g.Sees(j, k) {
			n++
		}
	}
	return float64(n) / float64(len(g.Cover))
}

// thrown adds the ends of one throw.
func (r *Result) thrown(o *Outcome, t *Throw, chance float64) {
	e := r.endOf(t)
	picked := min(e.picked, 1-t.Complete)
	o.Intercepted += chance * picked
	o.deep += chance * picked * t.Depth
	o.Incomplete += chance * (1 - t.Complete - picked)
	o.add(0, chance*(1-t.Complete-picked))
	o.Caught += chance * t.Complete
	air := int(math.Round(t.Depth))
	for n, p := range e.after {
		o.add(air+n, chance*t.Complete*p)
	}
}

// An end is what becomes of a throw that is caught, or seen by the wrong men: it hangs on
// receiver and release alone, not on what the down asks for.
type end struct {
	receiver, k int
	picked      float64
	after       [longest + 1]float64
}

// endOf works an end out once a result.
func (r *Result) endOf(t *Throw) *end {
	for i := range r.ends {
		if e := &r.ends[i]; e.receiver == t.Receiver && e.k == t.K {
			return e
		}
	}
	men := r.Rep.Arrivals(t.Receiver, t.K)
	r.ends = append(r.ends, end{t.Receiver, t.K, interception(men, t.Depth), r.afterCatch(t, men)})
	return &r.ends[len(r.ends)-1]
}

// interception rises with depth, and with men near the catch who see the ball.
func interception(men []motion.Arrival, air field.Yards) float64 {
	see := 0.0
	for i := range men {
		if men[i].Sees {
			see += math.Exp(-men[i].Distance / eyesYd)
		}
	}
	return tips + max(0, air)*(tipsAir+eyes/12*see)
}

// longest is how far a run after the catch is followed, yards.
const longest = 45

// afterCatch is how far the runner gets: chances by yards after the catch. Every man
// runs to meet him as soon as he has seen it; the runner takes the best of five ways.
func (r *Result) afterCatch(t *Throw, men []motion.Arrival) (best [longest + 1]float64) {
	if r.chase == nil {
		r.chase = &chase{}
	}
	c, most, took := r.chase, -1.0, 0.0
	c.begin(r.Rep, t, men)
	for _, way := range ways {
		if mean := c.along(way, most); mean > most || mean == most && way < took {
			most, took, best = mean, way, c.ends
		}
	}
	return best
}

// beatenBy is the share of his chance that is left to a man after so many quarters of a try.
var beatenBy = func() (p [4*longest + 5]float64) {
	for n := range p {
		p[n] = math.Exp(-float64(n) / 4 / beaten)
	}
	return p
}()

// ways a runner may turn upfield, yards across for each yard down: that first which is best most often.
var ways = [5]float64{0, -0.5, 0.5, -1, 1}

// A chase is a catch and the men who run to meet the runner, whichever way he takes.
type chase struct {
	from        field.Point
	men         []chaser
	speed       field.YardsPerSecond // the runner's
	turns       field.Seconds        // he takes to turn upfield
	atOnce      float64              // chance to be stopped where he caught it
	others      float64              // a yard, of every man who saw the ball leave
	further     field.Yards          // than a yard he gets at most on average, when nobody meets him
	left, right field.Yards          // sidelines
	ends        [longest + 1]float64 // of the way looked at: chances by yards
}

// A chaser is one of them.
type chaser struct {
	at    field.Point
	max   field.YardsPerSecond
	late  field.Seconds // he starts, with his back to the ball
	gains field.Seconds // he takes to his speed, in all
	tried float64       // on the way looked at
	first int           // the yard before which he is too far away
}

// begin works out what is the same on all ways.
func (c *chase) begin(g *motion.Rep, t *Throw, men []motion.Arrival) {
	c.from, c.speed, c.men, c.others = t.At, carrier*g.Params.Receiver.Max, c.men[:0], 0
	c.left, c.right = -g.Picture.Spot.Sideline(-1), g.Picture.Spot.Sideline(1)
	near := math.Inf(1)
	for i := range men {
		a := &men[i]
		m, d := chaser{at: a.At, max: a.Speed.Max, gains: a.Speed.Tau / 2}, a.Distance
		if a.Sees {
			c.others += rally
		} else {
			d += trailing
			m.late = turnBack
		}
		near, c.men = min(near, d), append(c.men, m)
	}
	still := 1 - min(1, g.Picture.Receivers[t.Receiver].Path.VelAt(t.Release+t.Flight).Len()/5)
	c.turns = upfield * (1 + still)
	c.atOnce = min(0.9, (atOnce+atOnceAir*max(0, t.Depth)+standing*still)*math.Exp(-near/atOnceYd))
	c.further = min(longest, (1-c.others)/c.others)
}

// along fills in where the runner is stopped on a way, and returns how far he gets on average;
// it gives up as soon as that cannot be more than most.
func (c *chase) along(way, most float64) (mean field.Yards) {
	step := math.Hypot(1, way)
	for i := range c.men {
		c.men[i].start(c, step)
	}
	c.ends = [longest + 1]float64{c.atOnce}
	left := 1 - c.atOnce
	for n := 1; ; n++ {
		yd := float64(n)
		at := c.from.Add(field.Point{X: way * yd, Y: yd})
		if at.X < c.left || at.X > c.right || n == longest || left < 0.004 {
			c.ends[n] = left
			return mean + yd*left
		}
		if mean+left*min(longest, yd+c.further) < most-1e-9 {
			return mean
		}
		free, clock := 1-c.others, c.turns+yd*step/c.speed
		for i := range c.men {
			if m := &c.men[i]; n >= m.first {
				try := m.met(at, clock)
				free *= 1 - tackle*try*beatenBy[int(m.tried*4)]
				m.tried += try
			}
		}
		c.ends[n] = left * (1 - free)
		mean += yd * c.ends[n]
		left *= free
	}
}

// start puts a man where he is at the catch; he is too far away for as long as he would be if the
// runner came straight at him.
func (m *chaser) start(c *chase, step field.Yards) {
	short := c.from.Dist(m.at) - armLength - m.max*max(0, c.turns-m.late-m.gains) - justMissed
	m.tried, m.first = 0, int(short/(step+m.max*step/c.speed))
}

// justMissed is how far away a man is not to have met the runner at all, nearly: see met.
const justMissed field.Yards = 1.137

// met is how surely a man has met the runner by then, 0 to 1: not all or nothing within half a yard.
func (m *chaser) met(at field.Point, clock field.Seconds) float64 {
	x := (m.max*max(0, clock-m.late-m.gains) - (m.at.Dist(at) - armLength)) / 0.5
	return min(1, max(0, 0.5+0.22*x)) // a straight line is near enough to the logistic, and quick
}
