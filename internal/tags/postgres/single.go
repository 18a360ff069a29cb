package postgres

import (
	"context"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// Opponent reads an opponent of a program by its identity.
func (s *Store) Opponent(ctx context.Context, program, id uuid.UUID) (tags.Opponent, error) {
	return s.Opponents().Get(ctx, program, id)
}

// Game reads a game of a program by its identity.
func (s *Store) Game(ctx context.Context, program, id uuid.UUID) (tags.Game, error) {
	return s.Games().Get(ctx, program, id)
}

// Plan reads a plan of a program by its identity.
func (s *Store) Plan(ctx context.Context, program, id uuid.UUID) (tags.Plan, error) {
	return s.Plans().Get(ctx, program, id)
}

// CallsOf lists the calls of a program in the order they were stored, all of them or
// the active ones; at most 500.
func (s *Store) CallsOf(ctx context.Context, program uuid.UUID, activeOnly bool) ([]tags.Call, error) {
	p := Page{Limit: 500}
	if activeOnly {
		p.Filters = map[string]string{"active": "true"}
	}
	return s.Calls().List(ctx, program, p)
}
