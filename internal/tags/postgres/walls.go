package postgres

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Walled opens a second pool on the same database whose connections see the
// rows of one program only: the one InProgram put into the context. The wall is
// the database's (row-level security under a role that owns nothing); with no
// program in the context a statement finds nothing. Close it after use.
func (s *Store) Walled(ctx context.Context) (*Store, error) {
	cfg := s.pool.Config()
	cfg.ConnConfig.RuntimeParams["role"] = "overhang_server"
	cfg.PrepareConn = tell
	db, err := pgxpool.NewWithConfig(ctx, cfg)
	if err != nil {
		return nil, err
	}
	w := &Store{db: db, pool: db}
	if err := w.Ping(ctx); err != nil {
		db.Close()
		return nil, err
	}
	return w, nil
}

type programKey struct{}

// InProgram returns a context in which a walled store sees that program.
func InProgram(ctx context.Context, program uuid.UUID) context.Context {
	return context.WithValue(ctx, programKey{}, program)
}

// tell says to a connection which program it is about to serve, none included:
// it may have served another before.
func tell(ctx context.Context, c *pgx.Conn) (bool, error) {
	id := ""
	if p, ok := ctx.Value(programKey{}).(uuid.UUID); ok {
		id = p.String()
	}
	_, err := c.Exec(ctx, "SELECT set_config('overhang.program', $1, false)", id)
	return err == nil, err
}

// Bare lists the tables keyed by program that the server's role may touch and
// that have no wall; there should be none.
func (s *Store) Bare(ctx context.Context) (_ []string, err error) {
	defer wrap(&err, "Bare")
	rows, err := s.db.Query(ctx, `
		SELECT c.relname
		FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attname = 'program_id' AND NOT a.attisdropped
		WHERE c.relkind IN ('r', 'p') AND c.relnamespace = 'public'::regnamespace AND NOT c.relrowsecurity
			AND has_table_privilege('overhang_server', c.oid, 'SELECT, INSERT, UPDATE, DELETE')
		ORDER BY 1`)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowTo[string])
}
