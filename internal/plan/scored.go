package plan

import (
	"math"

	"overhang/internal/stress/points"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// Scored holds a number that the plan forecast for each play against what happened: points
// a snap, or the chance of an explosive play.
type Scored struct {
	Plays      int      `json:"plays"`
	Forecast   float64  `json:"mean_forecast"`
	Came       float64  `json:"mean_came"`
	Difference float64  `json:"difference"` // came less forecast, with its 95% interval
	Low        float64  `json:"difference_low"`
	High       float64  `json:"difference_high"`
	Brier      *float64 `json:"brier,omitempty"` // of a chance: mean squared distance
}

// scores are forecasts with what came.
type scores struct{ forecast, came []float64 }

func (s *scores) add(forecast, came float64) {
	s.forecast, s.came = append(s.forecast, forecast), append(s.came, came)
}

// scored sums up, nil of fewer than two plays.
func (s *scores) scored() *Scored {
	n := float64(len(s.came))
	if n < 2 {
		return nil
	}
	out, squares := &Scored{Plays: len(s.came)}, 0.0
	for i, x := range s.came {
		out.Forecast += s.forecast[i] / n
		out.Came += x / n
		squares += (x - s.forecast[i]) * (x - s.forecast[i])
	}
	out.Difference = out.Came - out.Forecast
	half := z95 * math.Sqrt(max(0, squares/n-out.Difference*out.Difference)/(n-1))
	out.Low, out.High = out.Difference-half, out.Difference+half
	return out
}

// chances sums up forecasts of what comes or does not, nil of fewer than two plays. The interval
// is Wilson's of what came (Wilson 1927, by the score), less the forecast: one by the squares
// is too short where few came, and of none that came has no length at all. Chances that differ
// from play to play spread less than one chance does (Hoeffding 1956), so it is not too short.
func (s *scores) chances() *Scored {
	out := s.scored()
	if out == nil {
		return nil
	}
	came, n := make([]bool, len(s.came)), 0
	for i, x := range s.came {
		if came[i] = x > 0; came[i] {
			n++
		}
	}
	r := tendency.RateOf(n, len(came))
	out.Low, out.High = r.Low-out.Forecast, r.High-out.Forecast
	b := tendency.Brier(s.forecast, came)
	out.Brier = &b
	return out
}

// won is what a play was worth in points to the offense, and whether that is known. A ball
// lost lies where the play began: where it was taken nobody tags.
func won(p *tags.Play, set *tags.Settings) (float64, bool) {
	if p.Down == nil || p.DistanceYd == nil || p.GainYd == nil && !p.Touchdown {
		return 0, false
	}
	t, toGoal := worth(set), 60.0 // as the engine takes a place that nobody tagged
	if p.YardsToGoal != nil {
		toGoal = float64(*p.YardsToGoal)
	}
	distance := min(float64(*p.DistanceYd), toGoal)
	before := t.Of(*p.Down, distance, toGoal)
	switch {
	case p.Touchdown:
		return points.Touchdown - before, true
	case p.Result != nil && (*p.Result == "intercepted" || *p.Result == "fumble_lost"):
		return t.Lost(toGoal) - before, true
	}
	return t.After(*p.Down, distance, toGoal, float64(*p.GainYd)) - before, true
}

// exploded is 1 for an explosive play by the program's rule, 0 for another, and whether
// that is known.
func exploded(p *tags.Play, set *tags.Settings) (float64, bool) {
	if p.Called == nil || p.GainYd == nil {
		return 0, false
	}
	if tendency.Explosive(*p.Called == "pass", *p.GainYd, set.ExplosiveRunYd, set.ExplosivePassYd) {
		return 1, true
	}
	return 0, true
}
