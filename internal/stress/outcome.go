package stress

import (
	"math"

	"overhang/internal/stress/points"
)

// An Outcome is how a play ends, as chances that come to one. Yards holds where the ball
// kept by the offense ends up, an incompletion at 0 and a sack behind the line.
type Outcome struct {
	Sack        float64
	Scramble    float64
	Incomplete  float64
	Intercepted float64
	Caught      float64
	Yards       [fewest + mostYards + 1]float64 // by yards gained, from -fewest
	deep        float64                         // mean air of what is intercepted
}

const (
	fewest    = 15
	mostYards = 100
)

// add puts a chance on a gain.
func (o *Outcome) add(gain int, chance float64) {
	o.Yards[min(max(gain+fewest, 0), len(o.Yards)-1)] += chance
}

// A Value is what a play gives up on one down, or on average over several.
type Value struct {
	Points    float64 // expected points after less before: what it gives up a snap
	Success   float64 // chance of the gain the down asks for
	Explosive float64 // chance of a gain that counts as explosive
	Touchdown float64
	Turnover  float64
	Gain      float64 // mean yards
}

func (v *Value) plus(w float64, o Value) {
	v.Points += w * o.Points
	v.Success += w * o.Success
	v.Explosive += w * o.Explosive
	v.Touchdown += w * o.Touchdown
	v.Turnover += w * o.Turnover
	v.Gain += w * o.Gain
}

// season is the table of points of a program that said nothing of its kicking.
var season = points.Season(points.Settings{})

// whole is where a play is taken to be whose place nobody tagged: a drive's middle. Assumed.
const whole = 60

// On values an outcome on a down.
func (o *Outcome) On(s ToGain, set *Setting) (v Value) {
	pts := set.Points
	if pts == nil {
		pts = season
	}
	down, distance, toGoal := s.Down, s.Distance, s.YardsToGoal
	if toGoal == 0 {
		toGoal = whole
	}
	if down == 0 || distance == 0 {
		down, distance = 1, min(10, toGoal)
	}
	before := pts.Of(down, distance, toGoal)
	for i, p := range o.Yards {
		if p == 0 {
			continue
		}
		gain := math.Min(float64(i-fewest), toGoal)
		v.Gain += p * gain
		v.Points += p * (pts.After(down, distance, toGoal, gain) - before)
		if gain >= s.Need || gain >= toGoal {
			v.Success += p
		}
		if gain >= set.explosive() {
			v.Explosive += p
		}
		if gain >= toGoal {
			v.Touchdown += p
		}
	}
	v.Turnover = o.Intercepted
	v.Points += o.Intercepted * (pts.Lost(min(toGoal-min(o.deep, toGoal-1)+returned, 99)) - before)
	return v
}

// returned is how far an interception is run back on average. From memory.
const returned = 8

// explosive is what counts as explosive under a setting; 16 yards where it does not say.
func (s *Setting) explosive() float64 {
	if s.Explosive == 0 {
		return 16
	}
	return s.Explosive
}
