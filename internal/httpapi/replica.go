package httpapi

import (
	"sync"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/door"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A reader chooses where a costly question is read: the replica, unless it is away,
// too far behind, or has not yet what the same person wrote.
type reader struct {
	replica *postgres.Replica
	mu      sync.Mutex
	wrote   map[string]time.Time // by asker: when they were last answered a write
}

// WithReplica reads costly questions from a replica while it can be used. The
// server's store must be the one that follows it.
func WithReplica(r *postgres.Replica) Option {
	return func(s *server) { s.reader = &reader{replica: r, wrote: map[string]time.Time{}} }
}

// readFrom is the header that says which database a question was put to.
const readFrom = "Overhang-Read"

// read puts a costly question to the replica, and to the primary when the replica
// fails meanwhile. All else (writes, lists, what has an ETag) is the primary's.
func (s *server) read(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := s.reader
		if r == nil {
			return next(c)
		}
		if what := costOf(c); what == 0 || what == wholly || c.Request().Method != "GET" {
			c.Response().Before(func() { r.note(c) })
			return next(c)
		}
		if !r.replica.Usable(r.last(door.Asker(c))) {
			return s.readPrimary(c, next)
		}
		start, req := time.Now(), c.Request()
		c.SetRequest(req.WithContext(postgres.FromReplica(req.Context())))
		c.Response().Header().Set(readFrom, "replica")
		s.metrics.read("replica")
		err := next(c)
		// What took long there takes long here.
		if e := tags.As(err); e == nil || e.Kind != tags.Unavailable || c.Response().Committed ||
			time.Since(start) > patience/2 {
			return err
		}
		r.replica.SetAside()
		c.SetRequest(req)
		return s.readPrimary(c, next)
	}
}

func (s *server) readPrimary(c echo.Context, next echo.HandlerFunc) error {
	c.Response().Header().Set(readFrom, "primary")
	s.metrics.read("primary")
	return next(c)
}

// note keeps when somebody's write was answered: what they ask next must know it.
func (r *reader) note(c echo.Context) {
	if m := c.Request().Method; m == "GET" || m == "HEAD" {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.wrote[door.Asker(c)] = time.Now()
}

func (r *reader) last(asker string) time.Time {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.wrote[asker]
}
