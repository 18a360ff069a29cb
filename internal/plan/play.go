package plan

import (
	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// picture is the concept as the engine reads it, the ball in the middle.
func (c *Concept) picture(p *motion.Params) (*picture.Picture, error) {
	return picture.New(picture.Spec{Set: c.SetName, Family: c.Family, Concept: c.Concept, Routes: c.Routes,
		Receiver: p.Receiver, Back: p.Back, Spot: field.Spot{Level: p.Level}})
}

// Picture is the concept as the engine reads it. It fails with a tags.Error of
// kind Conflict when the engine knows its set or a route of it not.
func (c *Concept) Picture(level field.Level) (*picture.Picture, error) {
	params := motion.Defaults(level)
	pic, err := c.picture(&params)
	if err != nil {
		return nil, tags.Errorf(tags.Conflict, "the engine cannot read the picture: %v", err)
	}
	return pic, nil
}

// Play sets one call against one concept as the board does. It fails as Picture does.
func Play(call Named, c *Concept, level field.Level, sit stress.Situation) (*stress.Result, error) {
	pic, err := c.Picture(level)
	if err != nil {
		return nil, err
	}
	params := motion.Defaults(level)
	set := stress.Usual
	set.Situation = sit
	return stress.Evaluate(call.Plan, stress.Prepare(pic, &params), set), nil
}

// A Better says what the same men could do about a finding: by how much the most
// open throw is missed when the finding is worst, as taught and if they were free
// to choose who takes what once the threats have declared.
type Better struct {
	ReleaseS float64 `json:"release_s"`
	TaughtYd float64 `json:"taught_yd"`
	BestYd   float64 `json:"best_yd"` // never more than TaughtYd
}

// Best looks for the better choice at a finding's release, nil when no throw is
// live then.
func Best(r *stress.Result, f *stress.Finding) *Better {
	for _, a := range r.BestAnswers(motion.Boost{}) {
		if a.Release == f.At {
			return &Better{a.Release, a.Taught, a.Best}
		}
	}
	return nil
}
