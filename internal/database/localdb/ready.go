package localdb

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
)

// ready waits until the server takes our password.
func (s *Server) ready(ctx context.Context, patience time.Duration) error {
	deadline := time.Now().Add(patience)
	for {
		err := s.Exec(ctx, "postgres", "SELECT 1")
		if err == nil {
			return nil
		}
		select {
		case <-s.done: // nil when attached: blocks, as it should
			return errors.New("the server ended")
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(30 * time.Millisecond):
		}
		if time.Now().After(deadline) {
			return fmt.Errorf("no answer within %v: %w", patience, err)
		}
	}
}

// Exec runs one statement in a database.
func (s *Server) Exec(ctx context.Context, database, sql string) error {
	ctx, cancel := context.WithTimeout(ctx, 30*time.Second)
	defer cancel()
	c, err := pgx.Connect(ctx, s.URL(database))
	if err != nil {
		return err
	}
	defer c.Close(ctx)
	_, err = c.Exec(ctx, sql)
	return err
}

// Ensure makes a database where it is missing.
func (s *Server) Ensure(ctx context.Context, database string) error {
	c, err := pgx.Connect(ctx, s.URL("postgres"))
	if err != nil {
		return err
	}
	defer c.Close(ctx)
	var there bool
	if err := c.QueryRow(ctx, "SELECT EXISTS (SELECT FROM pg_database WHERE datname = $1)",
		database).Scan(&there); err != nil || there {
		return err
	}
	_, err = c.Exec(ctx, "CREATE DATABASE "+pgx.Identifier{database}.Sanitize())
	return err
}
