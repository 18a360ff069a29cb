package postgres

import (
	"context"
	"errors"
	"overhang/internal/tags"

	"github.com/jackc/pgx/v5"
)

// list returns the rows of a query, a struct each by the names of its columns.
func list[T any](ctx context.Context, db conn, sql string, args ...any) ([]T, error) {
	rows, err := db.Query(ctx, sql, args...)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowToStructByName[T])
}

// column returns the rows of a query of one column.
func column[T any](ctx context.Context, db conn, sql string, args ...any) ([]T, error) {
	rows, err := db.Query(ctx, sql, args...)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowTo[T])
}

// single returns the one row of a query; pgx.ErrNoRows without it.
func single[T any](ctx context.Context, db conn, sql string, args ...any) (T, error) {
	rows, err := db.Query(ctx, sql, args...)
	if err != nil {
		var none T
		return none, err
	}
	return pgx.CollectExactlyOneRow(rows, pgx.RowToStructByName[T])
}

// one returns the one row of a query, or a NotFound that says missing.
func one[T any](ctx context.Context, db conn, missing, sql string, args ...any) (T, error) {
	v, err := single[T](ctx, db, sql, args...)
	if errors.Is(err, pgx.ErrNoRows) {
		err = tags.Errorf(tags.NotFound, "%s", missing)
	}
	return v, err
}
