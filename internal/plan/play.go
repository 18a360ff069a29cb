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
