package postgres

import (
	"context"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// A Column is one column of a table as others see it.
type Column struct {
	Name string
	Kind string // string, integer, number, boolean, datetime, uuid, object, array (both JSON)
	Null bool   // it may be unknown
}

// exported lists what a program owns, parents first, and in which order its rows
// go out. What lets people in (members, tokens, invitations, links for players with what was
// answered by them) is no part of it, nor are the answers kept for an Idempotency-Key, which repeat rows, nor
// what tells servers that a game was touched.
var exported = []struct{ table, order string }{
	{"programs", "id"},
	{"seasons", "id"},
	{"opponents", "id"},
	{"games", "id"},
	{"films", "id"},
	{"words", "alias_of IS NOT NULL, id"},
	{"calls", "id"},
	{"plays", "id"},
	{"clips", "id"},
	{"blind_tags", "id"},
	{"call_versions", "call_id, version"},
	{"plans", "id"},
	{"play_changes", "id"},
	{"merges", "id"},
	{"deletions", "id"},
	{"deleted_rows", "deletion_id, kind, id"},
}

// Exported lists the tables of an export, parents first.
func Exported() []string {
	var out []string
	for _, x := range exported {
		out = append(out, x.table)
	}
	return out
}

// ours is the column that says whose row of a table it is.
func ours(table string) string {
	if table == "programs" {
		return "id"
	}
	return "program_id"
}

// An Export is one moment of a program.
type Export struct {
	tx      pgx.Tx
	program uuid.UUID
}

// Export hands out one moment of a program, whatever is written meanwhile. It may
// take as long as the context lets it.
func (s *Store) Export(ctx context.Context, program uuid.UUID, do func(*Export) error) (err error) {
	defer wrap(&err, "Export")
	return s.export(ctx, program, pgx.ReadOnly, do)
}

// RemoveProgram exports a program and then deletes it for good. When anybody wrote
// to it meanwhile, or do fails, it stays.
func (s *Store) RemoveProgram(ctx context.Context, program uuid.UUID, do func(*Export) error) (err error) {
	defer wrap(&err, "RemoveProgram")
	return s.export(ctx, program, pgx.ReadWrite, func(e *Export) error {
		if err := do(e); err != nil {
			return err
		}
		// In a repeatable read a cascade that meets a row younger than the export fails.
		// A season goes after its games.
		for _, of := range []string{`DELETE FROM opponents WHERE program_id = $1`, `DELETE FROM programs WHERE id = $1`} {
			if _, err := e.tx.Exec(ctx, of, program); err != nil {
				return err
			}
		}
		return nil
	})
}

func (s *Store) export(ctx context.Context, program uuid.UUID, mode pgx.TxAccessMode, do func(*Export) error) error {
	tx, err := s.pool.BeginTx(ctx, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: mode})
	if err != nil {
		return err
	}
	defer tx.Rollback(context.WithoutCancel(ctx))
	if _, err := tx.Exec(ctx,
		`SELECT set_config('TimeZone', 'UTC', true), set_config('statement_timeout', '0', true)`); err != nil {
		return err
	}
	if err := do(&Export{tx, program}); err != nil {
		return err
	}
	return tx.Commit(ctx)
}

// Columns lists the columns of a table that go out: not whose it is, nor an
// identity that the database gives, whose order the rows have.
func (e *Export) Columns(ctx context.Context, table string) ([]Column, error) {
	return columns(ctx, e.tx, table)
}

func columns(ctx context.Context, tx pgx.Tx, table string) ([]Column, error) {
	rows, err := tx.Query(ctx, `
		SELECT a.attname::text,
			CASE
				WHEN b.typcategory = 'A' THEN 'array'
				WHEN b.typname IN ('int2', 'int4', 'int8') THEN 'integer'
				WHEN b.typcategory = 'N' THEN 'number'
				WHEN b.typcategory = 'B' THEN 'boolean'
				WHEN b.typname = 'timestamptz' THEN 'datetime'
				WHEN b.typname = 'uuid' THEN 'uuid'
				WHEN b.typname = 'jsonb' THEN 'object'
				WHEN b.typcategory = 'S' THEN 'string'
				ELSE 'unknown ' || b.typname
			END,
			NOT a.attnotnull
		FROM pg_attribute a
		JOIN pg_type y ON y.oid = a.atttypid
		JOIN pg_type b ON b.oid = coalesce(nullif(y.typbasetype, 0), y.oid)
		WHERE a.attrelid = $1::text::regclass AND a.attnum > 0 AND NOT a.attisdropped AND a.attidentity = '' AND a.attname <> $2
		ORDER BY a.attnum`, table, ours(table))
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowToStructByPos[Column])
}

// Rows hands out the rows of a table, each as the texts of its columns; nil is
// unknown. The texts are good until each returns.
func (e *Export) Rows(ctx context.Context, table string, cs []Column, each func([][]byte) error) error {
	var texts []string
	for _, c := range cs {
		texts = append(texts, "to_jsonb(t."+c.Name+") #>> '{}'")
	}
	rows, err := e.tx.Query(ctx, fmt.Sprintf(`
		SELECT %s
		FROM %s t
		WHERE t.%s = $1
		ORDER BY %s`, strings.Join(texts, ", "), table, ours(table), orderOf(table)), e.program)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := each(rows.RawValues()); err != nil {
			return err
		}
	}
	return rows.Err()
}

// orderOf is the order in which a table is exported.
func orderOf(table string) string {
	for _, x := range exported {
		if x.table == table {
			return x.order
		}
	}
	return ""
}
