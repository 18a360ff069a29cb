package postgres

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
)

// A Replica is a streaming copy of a store's database that questions may be put to
// while it is not too far behind. It is looked at all the time; when it is away or
// too far behind it is left alone, and used again once it has come up.
type Replica struct {
	primary, replica pool
	behind           bool // behind walls: they must hold there too
	bound            time.Duration
	marks            []mark // of the primary, not replayed yet, the oldest first

	mu   sync.Mutex
	asOf time.Time // all that was committed before it has arrived; zero: nothing is known
}

// A mark is how far the primary's log reached at a moment: whatever was committed
// before that moment stands before that place.
type mark struct {
	at  time.Time
	lsn int64
}

const (
	look     = 500 * time.Millisecond // how often the replica is looked at
	mostMark = 120                    // older ones are of no use: a minute
)

// Follow returns s as a store whose reads in a context of FromReplica are the
// replica's at url, behind the same walls as s; all else stays with s. bound is how
// far behind the replica may be. It need not answer yet. Close the replica before s.
func (s *Store) Follow(ctx context.Context, url string, bound time.Duration) (*Store, *Replica, error) {
	cfg, err := configure(url)
	if err != nil {
		return nil, nil, err
	}
	_, behind := s.pool.(walled)
	if behind {
		cfg.ConnConfig.RuntimeParams["role"] = "overhang_server"
	}
	cfg.ConnConfig.ConnectTimeout = 2 * time.Second
	made, err := pgxpool.NewWithConfig(ctx, cfg)
	if err != nil {
		return nil, nil, err
	}
	var db pool = made
	if behind {
		db = walled{made}
	}
	forks := &Store{db: forked{s.pool, db}, pool: s.pool, who: s.who, kept: s.kept}
	return forks, &Replica{primary: s.pool, replica: db, behind: behind,
		bound: bound}, nil
}

// Close ends the connections to the replica.
func (r *Replica) Close() { r.replica.Close() }

// Watch looks at the replica until the context ends. changed is told whenever it
// becomes usable or ceases to be, and why.
func (r *Replica) Watch(ctx context.Context, changed func(usable bool, why error)) {
	was := false
	for {
		err := r.measure(ctx)
		if ctx.Err() != nil {
			return
		}
		is := r.Usable(time.Time{})
		if err == nil && !is {
			err = fmt.Errorf("it is more than %v behind", r.bound)
		}
		if is != was {
			changed(is, err)
		}
		was = is
		select {
		case <-ctx.Done():
			return
		case <-time.After(look):
		}
	}
}

// measure finds out how far the replica has come. It compares places in the log,
// not times: on a primary where nothing is written the time of the last
// transaction grows old on a replica that has everything.
func (r *Replica) measure(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, 2*time.Second)
	defer cancel()
	m := mark{at: time.Now()}
	var system, copied, reached int64
	var standby, holds bool
	// The flushed place: a commit is acknowledged only once it is on the disk.
	err := r.primary.QueryRow(ctx, `
		SELECT pg_wal_lsn_diff(pg_current_wal_flush_lsn(), '0/0')::bigint, (SELECT system_identifier FROM pg_control_system())`).Scan(&m.lsn, &system)
	if err != nil {
		return fmt.Errorf("the primary: %w", err) // the replica grows old by itself
	}
	err = r.replica.QueryRow(ctx, `
		SELECT pg_is_in_recovery(), coalesce(pg_wal_lsn_diff(pg_last_wal_replay_lsn(), '0/0')::bigint, 0), (SELECT system_identifier FROM pg_control_system()), row_security_active('plays')`).Scan(&standby, &reached, &copied, &holds)
	switch {
	case err != nil:
		r.SetAside()
		return err
	case !standby || copied != system:
		r.SetAside()
		return errors.New("it is no standby of the primary")
	case r.behind && !holds:
		r.SetAside()
		return errors.New("its login sees every program")
	}
	r.marks = append(r.marks[max(0, len(r.marks)-mostMark):], m)
	for len(r.marks) > 0 && r.marks[0].lsn <= reached {
		r.arrived(r.marks[0].at)
		r.marks = r.marks[1:]
	}
	return nil
}

func (r *Replica) arrived(at time.Time) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.asOf = at
}

// SetAside stops using the replica until it has been looked at again.
func (r *Replica) SetAside() { r.arrived(time.Time{}) }

// Behind is how old at most what the replica knows is; false when it is not known.
func (r *Replica) Behind() (time.Duration, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	return time.Since(r.asOf), !r.asOf.IsZero()
}

// Usable says that the replica may be read: it is not too far behind, and has all
// that was committed before since.
func (r *Replica) Usable(since time.Time) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return !r.asOf.IsZero() && time.Since(r.asOf) <= r.bound && !r.asOf.Before(since)
}

type replicaKey struct{}

// FromReplica returns a context in which a store that follows a replica reads there.
func FromReplica(ctx context.Context) context.Context {
	return context.WithValue(ctx, replicaKey{}, true)
}

// forked sends what is asked in a context of FromReplica to the replica.
type forked struct{ primary, replica pool }

func (d forked) of(ctx context.Context) pool {
	if ctx.Value(replicaKey{}) != nil {
		return d.replica
	}
	return d.primary
}

func (d forked) Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error) {
	return d.of(ctx).Query(ctx, sql, args...)
}

func (d forked) QueryRow(ctx context.Context, sql string, args ...any) pgx.Row {
	return d.of(ctx).QueryRow(ctx, sql, args...)
}

func (d forked) Exec(ctx context.Context, sql string, args ...any) (pgconn.CommandTag, error) {
	return d.of(ctx).Exec(ctx, sql, args...)
}

func (d forked) Begin(ctx context.Context) (pgx.Tx, error) { return d.of(ctx).Begin(ctx) }
