package postgres

import (
	"context"
	"errors"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

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

// LockedPlan reads the plan against an opponent that was locked last; NotFound where none is.
func (s *Store) LockedPlan(ctx context.Context, program, opponent uuid.UUID) (tags.Plan, error) {
	const last = `SELECT id FROM plans WHERE program_id = $1 AND opponent_id = $2 AND locked_at IS NOT NULL
		ORDER BY locked_at DESC, id DESC LIMIT 1` // by plans_label_key: an opponent has a handful
	var id uuid.UUID
	switch err := s.db.QueryRow(ctx, last, program, opponent).Scan(&id); {
	case errors.Is(err, pgx.ErrNoRows):
		return tags.Plan{}, tags.Errorf(tags.NotFound, "no plan against that opponent is locked")
	case err != nil:
		return tags.Plan{}, err
	}
	return s.Plan(ctx, program, id)
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
