package postgres

import (
	"context"
	"errors"
	"fmt"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Walled opens a second pool on the same database that sees the rows of one
// program only: the one InProgram put into the context. The wall is the
// database's (row-level security under a role that owns nothing); with no program in
// the context a statement finds nothing. Close it after use.
func (s *Store) Walled(ctx context.Context) (*Store, error) {
	cfg := s.pool.Config()
	cfg.ConnConfig.RuntimeParams["role"] = "overhang_server"
	return wall(ctx, cfg)
}

// OpenWalled opens what Walled opens by an address of its own, whose login is a
// member of the role overhang_server and owns nothing. A pooler that hands a
// connection from transaction to transaction may stand before it.
func OpenWalled(ctx context.Context, url string) (*Store, error) {
	cfg, err := configure(url)
	if err != nil {
		return nil, err
	}
	return wall(ctx, cfg)
}

// wall opens a pool whose transactions are told their program, and makes sure that
// the walls hold for its login: an owner or a superuser walks through them.
func wall(ctx context.Context, cfg *pgxpool.Config) (*Store, error) {
	// A new connection costs fifty times a look-up: when many come at once, those who tag
	// would wait for theirs.
	cfg.MinConns = max(cfg.MinConns, min(8, cfg.MaxConns))
	db, err := pgxpool.NewWithConfig(ctx, cfg)
	if err != nil {
		return nil, err
	}
	w := walled{db}
	var holds bool
	err = w.QueryRow(ctx, `SELECT row_security_active('plays')`).Scan(&holds)
	if err == nil && !holds {
		err = errors.New("the login sees every program: it must be a member of overhang_server that owns no table")
	}
	if err != nil {
		db.Close()
		return nil, fmt.Errorf("the walls between programs: %w", err)
	}
	return &Store{db: w, pool: w, kept: newKept()}, nil
}

type programKey struct{}

// InProgram returns a context in which a walled store sees that program.
func InProgram(ctx context.Context, program uuid.UUID) context.Context {
	return context.WithValue(ctx, programKey{}, program)
}

// told is the program of a context as the database is told it, "" for none.
func told(ctx context.Context) string {
	if p, ok := ctx.Value(programKey{}).(uuid.UUID); ok {
		return p.String()
	}
	return ""
}

// A walled pool tells every transaction its program, and nothing to the
// connection: the one who has it next, also by way of a pooler, starts with none. It is
// told with the transaction's first message, so that it costs no round trip; a
// statement by itself goes in a batch, which is one transaction.
type walled struct{ *pgxpool.Pool }

func (w walled) Begin(ctx context.Context) (pgx.Tx, error) { return w.BeginTx(ctx, pgx.TxOptions{}) }

func (w walled) BeginTx(ctx context.Context, o pgx.TxOptions) (pgx.Tx, error) {
	begin := "BEGIN"
	if o.IsoLevel != "" {
		begin += " ISOLATION LEVEL " + string(o.IsoLevel)
	}
	begin += " " + string(o.AccessMode) + "; SELECT set_config('overhang.program', '" + told(ctx) + "', true)"
	return w.Pool.BeginTx(ctx, pgx.TxOptions{BeginQuery: begin})
}

func (w walled) SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults {
	all := &pgx.Batch{}
	all.Queue(`SELECT set_config('overhang.program', $1, true)`, told(ctx))
	all.QueuedQueries = append(all.QueuedQueries, b.QueuedQueries...)
	return w.Pool.SendBatch(ctx, all)
}

func (w walled) Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error) {
	b := &pgx.Batch{}
	b.Queue(sql, args...)
	all := w.SendBatch(ctx, b)
	_, err := all.Exec()
	if err == nil {
		var rows pgx.Rows
		if rows, err = all.Query(); err == nil {
			return &batchRows{Rows: rows, all: all}, nil
		}
	}
	all.Close()
	return nil, err
}

func (w walled) QueryRow(ctx context.Context, sql string, args ...any) pgx.Row {
	rows, err := w.Query(ctx, sql, args...)
	return batchRow{rows, err}
}

func (w walled) Exec(ctx context.Context, sql string, args ...any) (pgconn.CommandTag, error) {
	rows, err := w.Query(ctx, sql, args...)
	if err != nil {
		return pgconn.CommandTag{}, err
	}
	rows.Close()
	return rows.CommandTag(), rows.Err()
}

// batchRows are the rows of a batch's last statement; with them the batch ends, and
// what its end says (that it was stored) is theirs.
type batchRows struct {
	pgx.Rows
	all   pgx.BatchResults
	ended error
}

func (r *batchRows) Next() bool {
	more := r.Rows.Next()
	if !more {
		r.Close()
	}
	return more
}

func (r *batchRows) Close() {
	r.Rows.Close()
	if r.all != nil {
		r.ended, r.all = r.all.Close(), nil
	}
}

func (r *batchRows) Err() error {
	if err := r.Rows.Err(); err != nil {
		return err
	}
	return r.ended
}

// batchRow is the first of them.
type batchRow struct {
	rows pgx.Rows
	err  error
}

func (r batchRow) Scan(dest ...any) error {
	if r.err != nil {
		return r.err
	}
	defer r.rows.Close()
	found := r.rows.Next()
	if found {
		if err := r.rows.Scan(dest...); err != nil {
			return err
		}
	}
	r.rows.Close()
	if err := r.rows.Err(); err != nil || found {
		return err
	}
	return pgx.ErrNoRows
}

// Bare lists the tables keyed by program that the server's role may touch and
// that have no wall; there should be none.
func (s *Store) Bare(ctx context.Context) (_ []string, err error) {
	defer wrap(&err, "Bare")
	return column[string](ctx, s.db, `
		SELECT c.relname
		FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attname = 'program_id' AND NOT a.attisdropped
		WHERE c.relkind IN ('r', 'p') AND c.relnamespace = 'public'::regnamespace AND NOT c.relrowsecurity
			AND has_table_privilege('overhang_server', c.oid, 'SELECT, INSERT, UPDATE, DELETE')
		ORDER BY 1`)
}
