package postgres

import (
	"context"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// Shares lists what a program gave and was given. It looks through the walls: the other side's
// name is another program's.
func (s *Store) Shares(ctx context.Context, program uuid.UUID) (out tags.Shares, err error) {
	defer wrap(&err, "Shares")
	err = s.db.QueryRow(ctx, `SELECT EXISTS (SELECT FROM associations WHERE program_id = $1)`, program).
		Scan(&out.Association)
	if err != nil {
		return out, err
	}
	const side = `
		SELECT p.code, p.name, h.given_at
		FROM shares h JOIN programs p ON p.id = `
	if out.Given, err = list[tags.Share](ctx, s.db, side+`h.association_id WHERE h.program_id = $1 ORDER BY p.code`,
		program); err != nil {
		return out, err
	}
	out.Received, err = list[tags.Share](ctx, s.db, side+`h.program_id WHERE h.association_id = $1 ORDER BY p.code`,
		program)
	return out, err
}

// OpenAssociation says whether a program takes shares. One that no longer does gives back those
// it was given.
func (s *Store) OpenAssociation(ctx context.Context, program uuid.UUID, open bool) (err error) {
	defer wrap(&err, "OpenAssociation")
	change := `DELETE FROM associations WHERE program_id = $1`
	if open {
		change = `INSERT INTO associations (program_id) VALUES ($1) ON CONFLICT DO NOTHING`
	}
	_, err = s.db.Exec(ctx, change, program)
	return err
}

// GiveShare lets an association count a program's plays. A program that takes no shares is
// answered as one that never was: nobody learns of it. It looks through the walls.
func (s *Store) GiveShare(ctx context.Context, program uuid.UUID, association string) (err error) {
	defer wrap(&err, "GiveShare")
	missing := tags.Errorf(tags.NotFound, "there is no association %q: its owner has to open it for shares first",
		association)
	if !tags.Storable(association) {
		return missing
	}
	tag, err := s.db.Exec(ctx, `
		INSERT INTO shares (program_id, association_id)
		SELECT $1, a.program_id
		FROM associations a JOIN programs p ON p.id = a.program_id
		WHERE p.code = $2
		ON CONFLICT (program_id, association_id) DO UPDATE SET given_at = shares.given_at`, program, association)
	if err == nil && tag.RowsAffected() == 0 {
		return missing
	}
	return err
}

// TakeShare takes a share back: questions that begin afterwards do not count it. It looks
// through the walls.
func (s *Store) TakeShare(ctx context.Context, program uuid.UUID, association string) (err error) {
	defer wrap(&err, "TakeShare")
	missing := tags.Errorf(tags.NotFound, "no share is given to %q", association)
	if !tags.Storable(association) {
		return missing
	}
	tag, err := s.db.Exec(ctx, `
		DELETE FROM shares h USING programs p
		WHERE h.program_id = $1 AND p.id = h.association_id AND p.code = $2`, program, association)
	if err == nil && tag.RowsAffected() == 0 {
		return missing
	}
	return err
}

// SharedCells counts the plays of each program that shares them with p by dimensions, all by
// p's cut points: a list of cells a program. Which programs share is asked behind p's wall at
// every question and kept nowhere, so a share that was taken back is not counted, whatever
// plays are still in memory. Each program is then counted behind its own wall.
func (s *Store) SharedCells(ctx context.Context, p tags.Program, by []string) (_ [][]tags.Cell, err error) {
	defer wrap(&err, "SharedCells(%v)", by)
	givers, err := column[uuid.UUID](ctx, s.db,
		`SELECT program_id FROM shares WHERE association_id = $1 ORDER BY program_id`, p.ID)
	if err != nil {
		return nil, err
	}
	out := make([][]tags.Cell, len(givers))
	for i, id := range givers {
		ctx, of := InProgram(ctx, id), tags.Program{Meta: tags.Meta{ID: id}, Settings: p.Settings}
		t, err := s.tendency(ctx, &of, by, nil)
		if err != nil {
			return nil, err
		}
		out[i] = t.Cells
	}
	return out, nil
}
