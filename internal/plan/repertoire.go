package plan

import (
	"context"

	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/fix"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A Repertoire is what an opponent runs in a situation, ready to be played: what a
// call, or a change of one, is weighed over.
type Repertoire struct {
	Concepts []Concept
	specs    []picture.Spec
	pictures []fix.Weighted   // weighed by plays
	asked    [][]stress.Asked // what has to be played to weigh a call against each
	known    map[*picture.Picture]*known
	terms    Terms
	params   *motion.Params
	sum      sum // of the parameters
	faults   fix.Faults
}

// NewRepertoire is one without a concept yet.
func NewRepertoire(level field.Level, terms Terms) *Repertoire {
	params := motion.Defaults(level)
	return &Repertoire{Concepts: []Concept{}, terms: terms, params: &params, sum: sumOf(&params),
		known: map[*picture.Picture]*known{}}
}

// Add puts a concept to it, written as s; the speeds are the level's, and where the spot
// tells no yards to the goal line it is played where he ran it. It fails on a picture the
// engine cannot read.
func (r *Repertoire) Add(c Concept, s picture.Spec) error {
	s.Receiver, s.Back = r.params.Receiver, r.params.Back
	var all []stress.Seen
	for _, x := range r.terms.stretches(&c) {
		on := s
		if on.Spot.YardsToGoal == 0 {
			on.Spot.YardsToGoal = x.yardsToGoal
		}
		pic, err := pictures.ready(on, r.params, r.sum)
		if err != nil {
			return err
		}
		r.known[pic.Picture] = pic
		all = append(all, stress.Seen{Play: pic.Play, Downs: x.downs})
		if len(all) == 1 {
			r.specs = append(r.specs, on)
		}
	}
	all[0].Elsewhere, all[0].Lift = all[1:], c.Results.lift()
	r.Concepts = append(r.Concepts, c)
	r.asked = append(r.asked, all[0].Asked(&r.terms.Setting))
	r.pictures = append(r.pictures, fix.Weighted{Seen: all[0], Weight: float64(c.Plays)})
	return nil
}

// Play sets a call against concept k: what is seen is where he ran it most, the chance is
// over all its plays, each with its own down, distance and field. It fails only when ctx
// ends.
func (r *Repertoire) Play(ctx context.Context, n Named, k int) (*stress.Result, error) {
	return r.play(ctx, new(stress.Evaluator), n, k)
}

func (r *Repertoire) play(ctx context.Context, ev *stress.Evaluator, n Named, k int) (*stress.Result, error) {
	return ev.Weigh(ctx, n.Compiled, &r.pictures[k].Seen, r.terms.Setting)
}

// seen is the smallest difference in points that a page with two decimals can show.
const seen = 0.005

func (r *Repertoire) against(n Named) *fix.Case {
	return &fix.Case{Compiled: n.Compiled, Pictures: r.pictures, Setting: r.terms.Setting, Listed: listed,
		Faults: &r.faults}
}
