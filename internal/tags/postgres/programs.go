package postgres

import (
	"context"
	"fmt"
	"slices"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"overhang/internal/tags"
)

// Program returns the program with a code, or a NotFound.
func (s *Store) Program(ctx context.Context, code string) (_ tags.Program, err error) {
	defer wrap(&err, "Program(%s)", code)
	if !tags.Storable(code) {
		return tags.Program{}, tags.Errorf(tags.NotFound, "there is no program %q", code)
	}
	ps, err := s.programs(ctx, `WHERE code = $1`, code)
	if err == nil && len(ps) == 0 {
		err = tags.Errorf(tags.NotFound, "there is no program %q", code)
	}
	if err != nil {
		return tags.Program{}, err
	}
	return ps[0], nil
}

// Programs lists all programs by code.
func (s *Store) Programs(ctx context.Context) (_ []tags.Program, err error) {
	defer wrap(&err, "Programs")
	return s.programs(ctx, "")
}

// programs lists those a condition names, by code.
func (s *Store) programs(ctx context.Context, where string, args ...any) ([]tags.Program, error) {
	return list[tags.Program](ctx, s.db, `
		SELECT id, version, updated_at, code, name, level, invented, settings
		FROM programs `+where+`
		ORDER BY code`, args...)
}

// EnsureProgram returns the program with p's code, making it when it is missing.
func (s *Store) EnsureProgram(ctx context.Context, p tags.Program) (_ tags.Program, err error) {
	defer wrap(&err, "EnsureProgram(%s)", p.Code)
	if p.Settings.DistanceBands == nil {
		p.Settings = tags.DefaultSettings()
	}
	if err := p.Validate(); err != nil {
		return p, err
	}
	_, err = s.db.Exec(ctx, `
		INSERT INTO programs (id, code, name, level, invented, settings)
		VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (code) DO NOTHING`, NewID(), p.Code, p.Name, p.Level, p.Invented, p.Settings)
	if err != nil {
		return p, err
	}
	return s.Program(ctx, p.Code)
}

// knownOpponents refuses men whose opponent the program has not, each by its field.
func knownOpponents(ctx context.Context, tx pgx.Tx, program string, men []tags.OurMan) error {
	if !slices.ContainsFunc(men, func(m tags.OurMan) bool { return m.Opponent != "" }) {
		return nil
	}
	codes, err := column[string](ctx, tx, `
		SELECT o.code FROM opponents o JOIN programs p ON p.id = o.program_id WHERE p.code = $1`, program)
	if err != nil {
		return err
	}
	bad := &tags.Error{Kind: tags.Invalid, Msg: "the program is not valid"}
	for i, m := range men {
		if m.Opponent != "" && !slices.Contains(codes, m.Opponent) {
			bad.Fields = append(bad.Fields, tags.FieldError{Field: fmt.Sprintf("settings.our_men[%d].opponent", i),
				Msg: fmt.Sprintf("%q is no opponent of the program", m.Opponent)})
		}
	}
	if len(bad.Fields) > 0 {
		return bad
	}
	return nil
}

// ReplaceProgram stores a program's name, level and settings over the version seen:
// Stale, with what is there now, when somebody else was faster. Its code stays.
func (s *Store) ReplaceProgram(ctx context.Context, code string, seen int64,
	p tags.Program) (_ tags.Program, err error) {
	defer wrap(&err, "ReplaceProgram(%s)", code)
	p.Code = code
	if err := p.Validate(); err != nil {
		return p, err
	}
	err = s.transact(ctx, func(tx pgx.Tx) error {
		if err := knownOpponents(ctx, tx, code, p.Settings.OurMen); err != nil {
			return err
		}
		tag, err := tx.Exec(ctx, `
			UPDATE programs
			SET version = version + 1, updated_at = now(), name = $3, level = $4, settings = $5
			WHERE code = $1 AND version = $2`, code, seen, p.Name, p.Level, p.Settings)
		return missing(tag, err)
	})
	if err != nil && err != pgx.ErrNoRows {
		return p, err
	}
	now, e := s.Program(ctx, code)
	if e == nil && err != nil {
		return now, Stale[tags.Program](seen, now)
	}
	return now, e
}

// missing turns a statement that found no row into pgx.ErrNoRows.
func missing(tag pgconn.CommandTag, err error) error {
	if err == nil && tag.RowsAffected() == 0 {
		return pgx.ErrNoRows
	}
	return err
}
