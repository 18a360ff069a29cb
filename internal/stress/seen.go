package stress

import (
	"context"

	"overhang/internal/stress/call"
	"overhang/internal/stress/motion"
)

// A Down is a situation in which a picture was seen, and on how many plays.
type Down struct {
	Situation
	Plays float64 // only the ratios matter
}

// A Seen is a picture with the downs it was run on: one picture ready to be played for
// each stretch of the field, since near the goal line the field ends.
type Seen struct {
	Play      *motion.Play // where it was seen most
	Downs     []Down       // there; none: the situation of the setting
	Elsewhere []Seen       // on other stretches; of these nothing is elsewhere
}

// plays is how often it was seen on this stretch.
func (s *Seen) plays() (n float64) {
	for i := range s.Downs {
		n += s.Downs[i].Plays
	}
	return max(n, 1e-9)
}

// Weigh plays a call against a picture on every stretch of the field where it was seen,
// once each, and judges every down by what it asks for. The result is that of the
// stretch where it was seen most; its Stress is the mean over all downs. It is good until
// the next Evaluate. It fails only when ctx ends.
func (e *Evaluator) Weigh(ctx context.Context, plan *call.Plan, s *Seen, set Setting) (*Result, error) {
	sum, total := 0.0, 0.0
	for i := range s.Elsewhere {
		o := &s.Elsewhere[i]
		r, err := e.Evaluate(ctx, plan, o.Play, set)
		if err != nil {
			return nil, err
		}
		sum, total = sum+o.plays()*r.over(o.Downs), total+o.plays()
	}
	r, err := e.Evaluate(ctx, plan, s.Play, set)
	if err != nil {
		return nil, err
	}
	if r.Stress = r.over(s.Downs); total > 0 {
		r.Stress = (sum + s.plays()*r.Stress) / (total + s.plays())
	}
	return r, nil
}

// Weigh plays a call against a picture with the downs it was seen on.
func Weigh(ctx context.Context, plan *call.Plan, s *Seen, set Setting) (*Result, error) {
	return new(Evaluator).Weigh(ctx, plan, s, set)
}

// over is the mean chance of success over downs; without any it is that of the result.
func (r *Result) over(downs []Down) float64 {
	if len(downs) == 0 {
		return r.Stress
	}
	sum, total := 0.0, 0.0
	known := map[Situation]float64{}
	for _, d := range downs {
		x, ok := known[d.Situation]
		if !ok {
			x = stressOf(throws(r.Game, d.Situation))
			known[d.Situation] = x
		}
		sum, total = sum+d.Plays*x, total+d.Plays
	}
	return sum / total
}
