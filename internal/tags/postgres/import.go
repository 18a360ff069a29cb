package postgres

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// An Import is a program that is being made of an export.
type Import struct {
	tx      pgx.Tx
	program uuid.UUID
}

// Import makes a program out of what fill inserts, all or nothing.
func (s *Store) Import(ctx context.Context, fill func(*Import) error) (err error) {
	defer wrap(&err, "Import")
	return s.transact(ctx, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SET LOCAL statement_timeout = 0`); err != nil {
			return err
		}
		return fill(&Import{tx, NewID()})
	})
}

// errTried ends an import that was only tried.
var errTried = errors.New("tried")

// TryImport makes a program of what fill inserts and takes it back: nothing is kept, and the
// error is the one that Import would have.
func (s *Store) TryImport(ctx context.Context, fill func(*Import) error) error {
	err := s.Import(ctx, func(in *Import) error {
		if err := fill(in); err != nil {
			return err
		}
		return errTried
	})
	if errors.Is(err, errTried) {
		return nil
	}
	return err
}

// Columns lists what a table has to be given: see Export.Columns.
func (in *Import) Columns(ctx context.Context, table string) ([]Column, error) {
	return columns(ctx, in.tx, table)
}

// A RowError says which of the rows that were inserted cannot be stored.
type RowError struct {
	Row int // 0: the first of those given
	Err error
}

// Error names the row.
func (e *RowError) Error() string { return fmt.Sprintf("row %d: %v", e.Row, e.Err) }

// Unwrap is what is wrong with it.
func (e *RowError) Unwrap() error { return e.Err }

// Insert stores rows of a table, each a JSON object with the columns named; what
// stands in no column takes its default. A row that cannot be stored is a RowError,
// after which the import can only end.
func (in *Import) Insert(ctx context.Context, table string, columns []string, rows []json.RawMessage) error {
	err := in.insert(ctx, table, columns, rows)
	if err == nil || translate(err) == nil {
		return err
	}
	for i := range rows { // which of them was it?
		if one := in.insert(ctx, table, columns, rows[i:i+1]); one != nil {
			return &RowError{i, translated(one)}
		}
	}
	return err
}

func translated(err error) error {
	if e := translate(err); e != nil {
		return e
	}
	return err
}

func (in *Import) insert(ctx context.Context, table string, columns []string, rows []json.RawMessage) error {
	all, err := json.Marshal(rows)
	if err != nil {
		return err
	}
	return pgx.BeginFunc(ctx, in.tx, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, fmt.Sprintf(`
			INSERT INTO %[1]s (%[2]s, %[3]s)
			SELECT $1, r.%[4]s
			FROM jsonb_array_elements($2::jsonb) WITH ORDINALITY AS e (row, place), jsonb_populate_record(NULL::%[1]s, e.row) r
			ORDER BY e.place`, table, ours(table), strings.Join(columns, ", "), strings.Join(columns, ", r.")), in.program, all)
		return err
	})
}

// ForgetHistory takes away what the triggers wrote in a table of histories while plays and
// calls were inserted: their history comes with them.
func (in *Import) ForgetHistory(ctx context.Context, table string) error {
	_, err := in.tx.Exec(ctx, `DELETE FROM `+pgx.Identifier{table}.Sanitize()+` WHERE program_id = $1`, in.program)
	return err
}

// HasProgram says whether a program of that code is there.
func (in *Import) HasProgram(ctx context.Context, code string) error {
	var there bool
	err := in.tx.QueryRow(ctx, `SELECT EXISTS (SELECT FROM programs WHERE code = $1)`, code).Scan(&there)
	if err == nil && there {
		err = tags.Fieldf(tags.Conflict, "code", "program %q already exists: import under another code", code)
	}
	return err
}
