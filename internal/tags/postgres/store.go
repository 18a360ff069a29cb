package postgres

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"net"
	"strings"
	"syscall"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"

	"overhang/internal/tags"
)

// A conn is what the methods need: a pool, or the transaction of Atomically.
type conn interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
	Exec(ctx context.Context, sql string, args ...any) (pgconn.CommandTag, error)
	Begin(ctx context.Context) (pgx.Tx, error)
}

// A pool is where connections come from: pgx's own, or one behind the walls.
type pool interface {
	conn
	BeginTx(ctx context.Context, o pgx.TxOptions) (pgx.Tx, error)
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
	Ping(ctx context.Context) error
	Config() *pgxpool.Config
	Stat() *pgxpool.Stat
	Close()
}

// A Store reads and writes tags in one database. It is safe for concurrent use.
type Store struct {
	db   conn
	pool pool
	who  string     // for the history of plays; empty: nobody known
	kept *keptPlays // nil within a transaction
}

// By returns the store as somebody uses it: changes of plays carry the name.
func (s *Store) By(who string) *Store { return &Store{s.db, s.pool, who, s.kept} }

// Atomically runs do on a store of its own: all that it writes is kept, or
// nothing when it fails.
func (s *Store) Atomically(ctx context.Context, do func(*Store) error) (err error) {
	defer wrap(&err, "Atomically")
	return s.transact(ctx, func(tx pgx.Tx) error { return do(&Store{db: tx, pool: s.pool, who: s.who}) })
}

// Open connects to a migrated database.
func Open(ctx context.Context, url string) (*Store, error) {
	cfg, err := configure(url)
	if err != nil {
		return nil, err
	}
	db, err := pgxpool.NewWithConfig(ctx, cfg)
	if err != nil {
		return nil, err
	}
	s := &Store{db: db, pool: db, kept: newKept()}
	if err := s.Ping(ctx); err != nil {
		db.Close()
		return nil, err
	}
	return s, nil
}

// configure says how the server at url is used.
func configure(url string) (*pgxpool.Config, error) {
	cfg, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, fmt.Errorf("database address: %w", err)
	}
	cfg.AfterConnect = registerTypes
	cfg.ConnConfig.Tracer = tracer{}
	if !strings.Contains(url, "pool_max_conns") {
		// A write waits for the disk more than for the processor: a handful of
		// connections would queue twenty analysts, each with a transaction, behind it.
		// It is more than the server answers at once (httpapi, newLanes).
		cfg.MaxConns = 26
	}
	if !strings.Contains(url, "statement_cache_capacity") {
		// Every other question is another statement, and one kept ready takes some
		// 150 kB of the server's memory in every connection: as many as tagging needs,
		// not the driver's 512.
		cfg.ConnConfig.StatementCacheCapacity = 100
	}
	cfg.ConnConfig.ConnectTimeout = 5 * time.Second
	maps.Copy(cfg.ConnConfig.RuntimeParams, map[string]string{"statement_timeout": "20s", "application_name": "overhang",
		"jit": "off"}) // compiling a tendency takes longer than counting it
	cfg.HealthCheckPeriod = 15 * time.Second
	return cfg, nil
}

// registerTypes teaches a connection the array of routes.
func registerTypes(ctx context.Context, c *pgx.Conn) error {
	ts, err := c.LoadTypes(ctx, []string{"route_tag", "_route_tag"})
	if err != nil {
		return err
	}
	c.TypeMap().RegisterTypes(ts)
	return nil
}

// Pool says how the connections are used.
func (s *Store) Pool() *pgxpool.Stat { return s.pool.Stat() }

// Close ends all connections.
func (s *Store) Close() {
	if s.kept != nil {
		s.kept.close()
	}
	s.pool.Close()
}

// Ping says whether the database answers.
func (s *Store) Ping(ctx context.Context) (err error) {
	defer wrap(&err, "Ping")
	return s.pool.Ping(ctx)
}

// wrap adds a method's name to an error that is ours, and turns what
// PostgreSQL says about the caller's input into the caller's words.
func wrap(err *error, format string, args ...any) {
	if *err == nil || tags.As(*err) != nil {
		return
	}
	if e := translate(*err); e != nil {
		*err = e
		return
	}
	*err = fmt.Errorf("postgres.%s: %w", fmt.Sprintf(format, args...), *err)
}

// translate returns the caller's mistake behind a database error, or nil.
func translate(err error) error {
	var pg *pgconn.PgError
	if !errors.As(err, &pg) {
		if errors.Is(err, context.Canceled) {
			return nil
		}
		if lost(err) {
			return tags.Errorf(tags.Unavailable, "the database does not answer; nothing was changed, try again")
		}
		return nil
	}
	field := constraintField(pg.ConstraintName)
	switch pg.Code {
	case "23505":
		return tags.Fieldf(tags.Conflict, field, "is taken: another one has the same %s", field)
	case "23514", "22001":
		return tags.Fieldf(tags.Invalid, field, "is not allowed (%s)", pg.ConstraintName)
	case "23503":
		if strings.Contains(pg.Message, "update or delete") {
			return tags.Errorf(tags.Conflict, "something else still refers to it (%s)", pg.ConstraintName)
		}
		return tags.Fieldf(tags.Invalid, field, "does not exist")
	case "23001": // restrict_violation: our own triggers', in words for the caller
		return tags.Errorf(tags.Conflict, "%s", pg.Message)
	case "22003", "22P02":
		return tags.Errorf(tags.Invalid, "a value is out of range")
	case "22021", "22P05":
		return tags.Fieldf(tags.Invalid, "text", "holds a NUL character or is not UTF-8")
	case "21000":
		return tags.Errorf(tags.Invalid, "the same entry is in it twice")
	case "40001", "40P01", "55P03":
		return tags.Errorf(tags.Unavailable, "somebody else was changing the same; nothing was changed, try again")
	case "25006": // read_only_sql_transaction: a program that is being moved (RUNNING.md), a replica
		return tags.Errorf(tags.Unavailable, "this can be read but not changed while it is moved to another machine; "+
			"nothing was changed, try again in a minute")
	case "53100":
		return errNoRoom
	case "53200":
		return tags.Errorf(tags.Unavailable, "the database has no memory left; nothing was changed, tell your administrator")
	case "57P01", "57P02", "57P03", "53300", "08006", "08003", "08001":
		return tags.Errorf(tags.Unavailable, "the database does not answer; nothing was changed, try again")
	case "57014":
		return tags.Errorf(tags.Unavailable, "that took too long; narrow the question")
	}
	return nil
}

var errNoRoom = tags.Errorf(tags.Unavailable,
	"the database's disk is full; nothing was changed, tell your administrator")

// NoRoom reports whether the database's disk is full.
func NoRoom(err error) bool { return errors.Is(err, errNoRoom) }

// Room fails when nothing can be written: it fills a table that goes with the transaction.
func (s *Store) Room(ctx context.Context) (err error) {
	defer wrap(&err, "Room")
	return s.transact(ctx, func(tx pgx.Tx) error {
		_, err := tx.Exec(ctx, `CREATE TEMP TABLE room ON COMMIT DROP AS
			SELECT repeat(md5(n::text), 32) FROM generate_series(1, 256) n`)
		return err
	})
}

// lost says that the connection broke, or never was.
func lost(err error) bool {
	var dial *pgconn.ConnectError
	var network net.Error
	return pgconn.Timeout(err) || pgconn.SafeToRetry(err) || errors.As(err, &dial) || errors.As(err, &network) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) ||
		errors.Is(err, syscall.EPIPE) || errors.Is(err, syscall.ECONNRESET) || strings.Contains(err.Error(), "conn closed")
}

// constraintField reads the field out of a constraint's name, as in
// plays_down_check, clips_start_s_key, games_opponent_fkey.
func constraintField(name string) string {
	_, rest, ok := strings.Cut(name, "_")
	if !ok {
		return "value"
	}
	for _, kind := range []string{"_folded_key", "_check", "_key", "_fkey", "_pkey"} {
		if f, ok := strings.CutSuffix(rest, kind); ok {
			if kind == "_fkey" {
				f += "_id"
			}
			return f
		}
	}
	return rest
}

// transact runs do in a transaction. A connection that is lost while the
// transaction commits leaves open whether it did: the error says so.
func (s *Store) transact(ctx context.Context, do func(pgx.Tx) error) error {
	tx, err := s.db.Begin(ctx)
	if err != nil {
		return err
	}
	defer tx.Rollback(ctx) // after a commit it does nothing
	if err := do(tx); err != nil {
		return err
	}
	err = tx.Commit(ctx)
	var said *pgconn.PgError
	if _, within := s.db.(pgx.Tx); !within && err != nil && !errors.As(err, &said) &&
		!errors.Is(err, pgx.ErrTxCommitRollback) {
		return tags.Errorf(tags.Unavailable,
			"the database went away while it was saving: it may be saved or not; read it again before you repeat it (a "+
				"create with an Idempotency-Key can be repeated as it is)")
	}
	return err
}

// NewID makes an identity that sorts by time.
func NewID() uuid.UUID { return uuid.Must(uuid.NewV7()) }
