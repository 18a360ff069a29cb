package plan

import (
	"context"

	"overhang/internal/stress"
	"overhang/internal/stress/answer"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A Repertoire is what an opponent runs in a situation, ready to be played: what a
// call, or a change of one, is weighed over.
type Repertoire struct {
	Concepts []Concept
	specs    []picture.Spec
	pictures []answer.Weighted // weighed by plays
	setting  stress.Setting
	params   motion.Params
}

// NewRepertoire is one without a concept yet.
func NewRepertoire(level field.Level, set stress.Setting) *Repertoire {
	return &Repertoire{Concepts: []Concept{}, setting: set, params: motion.Defaults(level)}
}

// Add puts a concept to it, written as s; the speeds are the level's. It fails on a
// picture the engine cannot read.
func (r *Repertoire) Add(c Concept, s picture.Spec) error {
	s.Receiver, s.Back = r.params.Receiver, r.params.Back
	pic, err := picture.New(s)
	if err != nil {
		return err
	}
	r.Concepts, r.specs = append(r.Concepts, c), append(r.specs, s)
	r.pictures = append(r.pictures, answer.Weighted{Play: stress.Prepare(pic, &r.params), Weight: float64(c.Plays)})
	return nil
}

// Play sets a call against concept k. It fails only when ctx ends.
func (r *Repertoire) Play(ctx context.Context, n Named, k int) (*stress.Result, error) {
	return stress.Evaluate(ctx, n.Plan, r.pictures[k].Play, r.setting)
}

func (r *Repertoire) against(n Named) *answer.Case {
	return &answer.Case{Plan: n.Plan, Pictures: r.pictures, Setting: r.setting}
}
