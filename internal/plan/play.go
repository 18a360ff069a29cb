package plan

import (
	"cmp"
	"context"

	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// spec is the concept as it is written for the engine, the ball in the middle.
func (c *Concept) spec(level field.Level) picture.Spec {
	return picture.Spec{Set: cmp.Or(c.Drawn, c.SetName), Family: c.Family, Concept: c.Concept, Routes: c.Routes,
		Spot: field.Spot{Level: level}}
}

// read makes a picture of what is written, with the speeds of a level.
func read(s picture.Spec, level field.Level) (*picture.Picture, error) {
	p := motion.Defaults(level)
	s.Receiver, s.Back = p.Receiver, p.Back
	pic, err := picture.New(s)
	if err != nil {
		return nil, tags.Errorf(tags.Conflict, "the play can't be drawn as tagged: %v", err)
	}
	return pic, nil
}

// Picture is the concept as the engine reads it. It fails with a tags.Error of
// kind Conflict when the engine knows its set or a route of it not.
func (c *Concept) Picture(level field.Level) (*picture.Picture, error) {
	return read(c.spec(level), level)
}

// Play sets one call against one concept as the board does. It fails as Picture does,
// and when ctx ends.
func Play(ctx context.Context, call Named, c *Concept, level field.Level, terms Terms) (*stress.Result, error) {
	run := NewRepertoire(level, terms)
	if err := run.Add(*c, c.spec(level)); err != nil {
		return nil, tags.Errorf(tags.Conflict, "the play can't be drawn as tagged: %v", err)
	}
	return run.Play(ctx, call, 0)
}
