package postgres

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// Sums say of every table how many rows it has and what they add up to, and of every part of
// the schema its digest.
type Sums map[string]string

// Snapshot holds the database still for one reader: do is told the snapshot's
// name, under which another connection sees the same (PostgreSQL manual, 9.28.5),
// and the sums at that moment. Writers go on.
func Snapshot(ctx context.Context, url string, do func(snapshot string, sums Sums) error) error {
	c, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	defer c.Close(context.WithoutCancel(ctx))
	tx, err := c.BeginTx(ctx, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly})
	if err != nil {
		return err
	}
	defer tx.Rollback(context.WithoutCancel(ctx))
	var name string
	if err := tx.QueryRow(ctx, `SELECT pg_export_snapshot()`).Scan(&name); err != nil {
		return err
	}
	tables, err := column[string](ctx, tx, `
		SELECT c.oid::regclass::text
		FROM pg_class c
		WHERE c.relkind IN ('r', 'p') AND NOT c.relispartition AND c.relnamespace = 'public'::regnamespace
		ORDER BY 1`)
	if err != nil {
		return err
	}
	sums, err := schemaSums(ctx, tx)
	if err != nil {
		return err
	}
	for _, t := range tables {
		var n int64
		var sum string
		// Of the rows as text, in any order: 64-bit hashes added up as numbers.
		err := tx.QueryRow(ctx, fmt.Sprintf(`SELECT count(*), coalesce(sum(hashtextextended(t::text, 0)), 0)::text FROM %s t`,
			t)).Scan(&n, &sum)
		if err != nil {
			return err
		}
		sums[t] = fmt.Sprintf("%d rows, sum %s", n, sum)
	}
	return do(name, sums)
}

// MakeReady makes the roles that a backup's grants name, and refuses a database
// that holds anything.
func MakeReady(ctx context.Context, url string) error {
	c, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	defer c.Close(context.WithoutCancel(ctx))
	var n int
	if err := c.QueryRow(ctx,
		`SELECT count(*) FROM pg_class WHERE relnamespace = 'public'::regnamespace`).Scan(&n); err != nil {
		return err
	}
	if n > 0 {
		return tags.Errorf(tags.Conflict, "the database is not empty: restore into a new one")
	}
	_, err = c.Exec(ctx, makeRoles)
	return err
}

// makeRoles makes the two roles that a backup's tables belong to or are granted to.
const makeRoles = `
	DO $$
	DECLARE
		r text;
	BEGIN
		FOREACH r IN ARRAY ARRAY['overhang_server', 'overhang_data'] LOOP
			BEGIN
				EXECUTE format('CREATE ROLE %I NOLOGIN NOSUPERUSER NOBYPASSRLS', r);
			EXCEPTION WHEN duplicate_object OR unique_violation THEN NULL;
			END;
		END LOOP;
	END $$;
	GRANT overhang_server TO CURRENT_USER`
