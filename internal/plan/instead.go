package plan

import (
	"context"
	"slices"

	"overhang/internal/stress"
	"overhang/internal/stress/fix"
)

// Instead is another call where no change of one helps: what both give up in points a
// snap, to the picture and over everything they run.
type Instead struct {
	Call      string  `json:"call"`
	Before    float64 `json:"gives_up_before"`
	After     float64 `json:"gives_up_after"`
	AllBefore float64 `json:"all_gives_up_before"`
	AllAfter  float64 `json:"all_gives_up_after"`
}

// Instead finds the call that is best against concept k; nil when none gives up less than
// n by more than rounding. It fails only when ctx ends.
func (r *Repertoire) Instead(ctx context.Context, n Named, k int, others []Named) (*Instead, error) {
	var ev stress.Evaluator
	points := func(c Named) (float64, error) {
		x, err := r.play(ctx, &ev, c, k)
		if err != nil {
			return 0, err
		}
		return x.Value.Points, nil
	}
	before, err := points(n)
	if err != nil {
		return nil, err
	}
	out := &Instead{Before: before, After: before}
	for _, c := range others {
		x, err := points(c)
		if err != nil {
			return nil, err
		}
		if x < out.After-fix.Rounding {
			out.Call, out.After = c.Name, x
		}
	}
	if out.Call == "" {
		return nil, nil
	}
	best := others[slices.IndexFunc(others, func(c Named) bool { return c.Name == out.Call })]
	if out.AllBefore, err = r.over(ctx, &ev, n); err == nil {
		out.AllAfter, err = r.over(ctx, &ev, best)
	}
	return out, err
}

// over is what a call gives up over everything, by plays.
func (r *Repertoire) over(ctx context.Context, ev *stress.Evaluator, c Named) (float64, error) {
	sum, plays := 0.0, 0.0
	for i := range r.pictures {
		x, err := r.play(ctx, ev, c, i)
		if err != nil {
			return 0, err
		}
		sum, plays = sum+r.pictures[i].Weight*x.Value.Points, plays+r.pictures[i].Weight
	}
	return sum / plays, nil
}
