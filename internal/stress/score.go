package stress

import (
	"math"

	"overhang/internal/stress/field"
)

// A ToGain is what the down asks for.
type ToGain struct {
	Need field.Yards // the gain that is a success
	// Down, and the yards to the next one and to the goal line; 0 is not told.
	Down        int
	Distance    field.Yards
	YardsToGoal field.Yards
}

// Curve is the chance of a catch as a logistic of separation and depth, beside the rush: what
// differs between coverages must come out of where the men are, and how many come. It was fitted
// to 30,172 targets of tracked receivers (weekly means; nflverse, CC BY 4.0). A yard is
// worth less the more of them there are: twice the log likelihood is 13.4 more than that of
// a straight line, and highest for a Bend of 3. That it holds at other levels is an
// assumption.
type Curve struct {
	Base       float64
	Separation float64     // log odds of the first yard between the catch and the nearest man, as the ball arrives
	Bend       field.Yards // a yard is worth e times less after so many
	Air        float64     // per yard of air
	Day        float64     // yards a second of flight by which a man's one day differs from his usual: see tabled.among
	Read       float64     // what a yard is worth to the passer, in the log: by it he chooses days; see Curve.better
}

// DefaultCurve is the fitted curve. Day is assumed: with it throws of 1.4 s differ by 2.3
// yards of standard deviation, as tracked throws do. Read is Passer.Taste by the slope of the
// curve in the log, which is 0.68 a yard from the man 15 yards downfield, 0.40 two yards from him
// at 11.
var DefaultCurve = Curve{Base: -0.195, Separation: 0.691, Bend: 3, Air: -0.046, Day: 0.9, Read: 0.6}

// covered are the log odds of a catch at so many yards of air with a man on the receiver.
func (c *Curve) covered(air field.Yards) float64 { return c.Base + c.Air*air }

// gain is what a separation is worth in log odds.
func (c *Curve) gain(separation field.Yards) float64 {
	return c.Separation * c.Bend * (1 - math.Exp(-max(separation, 0)/c.Bend))
}

// Separation is looked at in steps, to eight yards: beyond, a yard is worth nothing.
const step, steps = 0.5, 16

// A tabled is a curve with what each step of separation is worth worked out once.
type tabled struct {
	Curve
	worth [steps]float64
}

func (c *Curve) table() (s tabled) {
	s.Curve = *c
	fall, worth := math.Exp(-step/c.Bend), c.gain(step)
	for n := range s.worth {
		s.worth[n] = worth
		worth *= fall
	}
	return s
}

// matters is how near a man must be to count.
const matters field.Yards = 14

// among is the chance of a catch among men who usually are so far from it when the ball
// arrives: the gaps at release k of a row a man; odds are the log odds of a catch with a man on
// him; read is how much the passer reads each man (torn), nil: nobody. One throw differs from the next: how
// far a man is has a logistic distribution about his usual distance, wider the longer the ball
// flies, and the nearest of them all counts; so a second man who arrives is worth something beside
// the first.
func (s *tabled) among(rows [][]field.Yards, k int, flight field.Seconds, odds float64,
	read []float64) float64 {
	away, end := certain, steps
	scale, better := s.spread(flight), s.better(flight)
	for n, row := range rows {
		if d := row[k]; d < matters {
			if n < len(read) {
				d += better * read[n]
			}
			end = beyond(&away, end, d, scale)
		}
	}
	for n := range end {
		odds += away[n] * s.worth[n]
	}
	return logistic(odds)
}

// certain is by step the chance that everybody is further than its middle where nobody is near, and
// middles are those.
var certain, middles = func() (away, at [steps]float64) {
	for n := range away {
		away[n], at[n] = 1, (float64(n)+0.5)*step
	}
	return away, at
}()

// spread is the scale of the logistic distribution of where a man is after such a flight.
func (c *Curve) spread(flight field.Seconds) field.Yards { return max(c.Day*flight, 0.05) }

// beyond takes into account a man who usually is d away: in the first steps he is further
// for certain, from some step on he never is. It returns from which step on it is certain that
// somebody is nearer; it was end.
func beyond(away *[steps]float64, end int, d field.Yards, scale float64) int {
	// Eight scales nearer than he is he is further for certain; a tenth of a step is left for rounding.
	for n := max(0, int((d-8*scale)/step+0.4)); n < end; n++ {
		u := ((d-middles[n])/scale + 8) * 16
		if u <= 0 {
			return n
		}
		if k := int(u); k < len(logistics)-1 {
			away[n] *= logistics[k] + (u-float64(k))*(logistics[k+1]-logistics[k])
		}
	}
	return end
}

// logistics is the logistic from -8 on in sixteenths (error under 1e-4): it is asked hundreds
// of times a play.
var logistics = func() (p [257]float64) {
	for k := range p {
		p[k] = logistic(float64(k)/16 - 8)
	}
	return p
}()

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// The log odds that a catch short of what the down needs is run that far: by how much
// it is short, and by how much more than on first and ten is needed, since the defense
// then rallies from the sticks. Fitted to the 4,616 such catches of one professional
// season (open_plays_2022, no screens, first to third down). That they hold at other
// levels is an assumption.
const (
	afterCatch = 1.22
	perShort   = -0.154 // a yard
	perLong    = -0.191 // a yard
)

// enough is the chance that a catch at a depth makes the gain.
func (s ToGain) enough(depth field.Yards) float64 {
	short := s.Need - depth
	if short <= 0 {
		return 1
	}
	run := logistic(afterCatch + perShort*short + perLong*s.long())
	return 1 + min(1, short)*(run-1) // within a yard of the sticks it is not all or nothing
}

// long is by how much more is needed than on first and ten.
func (s ToGain) long() field.Yards { return max(0, s.Need-Usual.ToGain.Need) }

// A Throw is what the score says of one receiver at his best moment. Where everybody is
// when the ball comes down: Rep.Arrivals(Receiver, K).
type Throw struct {
	Receiver   int
	K          int // index of the release
	Release    field.Seconds
	Flight     field.Seconds
	At         field.Point // the catch
	Separation field.Yards // of the nearest man at the catch when the ball arrives
	Depth      field.Yards // yards of air
	Complete   float64     // chance of a catch
	Success    float64     // chance of enough, over the moments
	Share      float64     // of the passer's choice
	Moments    []Moment    // when else he might be thrown to; Success is the mean over them
}

// A Moment is one release of a throw, and how likely it is the one, of 1.
type Moment struct {
	K     int
	Share float64
}

// stressOf is the chance that the play is a success for the offense: the
// passer's choice over receivers, softened as passers do. A picture without a
// live throw (a run) has none.
func stressOf(ts []Throw) float64 {
	s := 0.0
	for _, t := range ts {
		s += t.Share * t.Success
	}
	return s
}
