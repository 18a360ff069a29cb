package httpapi

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"
	"net/http"
	"runtime"
	"strconv"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
	"golang.org/x/sync/semaphore"

	"overhang/internal/tags"
)

// A lane is a bounded queue in front of one kind of work: so many requests run,
// so many wait, for so long, and nobody holds more than his share of the places.
// What does not fit is refused at once: a queue that grows helps nobody, since
// whoever waits in it has given up before his turn.
type lane struct {
	name    string
	running int           // at once
	waiting int           // at most
	wait    time.Duration // at most
	share   int           // of one person who is known, running and waiting

	slots *semaphore.Weighted // first come, first served
	mu    sync.Mutex
	all   int
	by    map[string]int
}

// Lanes keep costly questions away from tagging: whatever is asked, an analyst
// never waits behind a board. Together they run less than the store has
// connections, so that nobody waits a second time for one of those.
type lanes struct {
	door, ordinary, count, engine, film, signIn *lane
}

func newLanes() *lanes {
	make := func(name string, running, waiting int, wait time.Duration, share int) *lane {
		return &lane{name: name, running: running, waiting: waiting, wait: wait, share: share, slots: semaphore.NewWeighted(int64(running)), by: map[string]int{}}
	}
	return &lanes{
		door:     make("door", 16, 256, 2*time.Second, 0),      // who asks: a look-up of a millisecond
		ordinary: make("ordinary", 20, 256, 5*time.Second, 16), // fewer than run: one person cannot hold them all
		count:    make("count", 4, 32, 10*time.Second, 8),
		engine:   make("engine", max(1, runtime.GOMAXPROCS(0)/2), 32, 10*time.Second, 8), // arithmetic: half of the processors
		film:     make("film", 200, 0, 0, 16),                                            // lasts as long as somebody watches
		signIn:   make("sign_in", 2, 32, 10*time.Second, 0),                              // as many as passwords are hashed at once
	}
}

func (l *lanes) list() []*lane {
	return []*lane{l.door, l.ordinary, l.count, l.engine, l.film, l.signIn}
}

// lane finds the lane of a request, nil for what never waits.
func (l *lanes) of(c echo.Context) *lane {
	path := c.Path()
	switch {
	case path == "/sign-in" || path == "/join":
		return l.signIn
	case open(c.Request().URL.Path):
		return nil
	case path == "/v1/programs/:program/films/:id/video":
		return l.film
	}
	switch costOf(c) {
	case byDatabase, wholly:
		return l.count
	case byEngine:
		return l.engine
	}
	return l.ordinary
}

// A cost says what a question of its route asks for.
type cost int

const (
	byDatabase cost = iota + 1 // the database counts through many plays
	byEngine                   // the engine plays calls against concepts
	wholly                     // all that a program owns is read, as it is now
)

// costOf is what a request costs, 0 when it is ordinary.
func costOf(c echo.Context) cost {
	return cmp.Or(costs[c.Path()], reportCosts[c.Path()], costs[c.Request().Method+" "+c.Path()])
}

// costs are the costly questions by route, and the costly writes by method and
// route, beside the reports (reportCosts); all else is ordinary.
var costs = map[string]cost{
	"/v1/programs/:program/agreement":                               byDatabase,
	"/v1/programs/:program/tendencies":                              byDatabase,
	"/v1/programs/:program/tells":                                   byDatabase,
	"/v1/programs/:program/trend":                                   byDatabase,
	"/v1/programs/:program/estimates":                               byDatabase,
	"/v1/programs/:program/depths":                                  byDatabase,
	"/v1/programs/:program/export":                                  wholly,
	"/v1/programs/:program/opponents/:opponent/likeness":            byDatabase,
	"/v1/programs/:program/opponents/:opponent/concepts":            byDatabase,
	"/v1/programs/:program/opponents/:opponent/concept-suggestions": byDatabase,
	"/v1/programs/:program/opponents/:opponent/stress":              byEngine,
	"/v1/programs/:program/opponents/:opponent/drawing":             byEngine,
	"/v1/programs/:program/opponents/:opponent/report":              byEngine,
	"/programs/:program/opponents/:opponent":                        byEngine,
	"/programs/:program/opponents/:opponent/cell":                   byEngine,
	"/v1/programs/:program/opponents/:opponent/answers":             byEngine,
	"/v1/programs/:program/opponents/:opponent/sweeps/alignment":    byEngine,
	"/v1/programs/:program/opponents/:opponent/sweeps/break":        byEngine,
	"/v1/stress":                       byEngine,
	"/v1/drawing":                      byEngine,
	"/v1/answers":                      byEngine,
	"/v1/sweeps/alignment":             byEngine,
	"/v1/sweeps/break":                 byEngine,
	"POST /v1/programs/:program/plans": byEngine,
	"POST /v1/programs/:program/plans/:id/refresh": byEngine,
	"POST " + plansPath:                            byEngine,
	"POST " + plansPath + "/:id":                   byEngine,
}

// A refusal says which bound of a lane a request met.
type refusal string

const (
	isFull   refusal = "full"  // as many wait as may
	tooSlow  refusal = "slow"  // its turn did not come
	isShared refusal = "share" // the same person has enough places
	tooOften refusal = "rate"  // the same person asks too often
)

// enter takes a place, lets the request get ready and waits for a turn; leave gives
// both back. A request that was not let in is told why, or has an error of its own.
func (l *lane) enter(ctx context.Context, who string, ready func() error) (leave func(), why refusal, err error) {
	if why = l.place(who); why != "" {
		return nil, why, nil
	}
	if err := ready(); err != nil {
		l.free(who)
		return nil, "", err
	}
	wait, cancel := context.WithTimeout(ctx, l.wait)
	defer cancel()
	if !l.slots.TryAcquire(1) && l.slots.Acquire(wait, 1) != nil {
		l.free(who)
		return nil, tooSlow, ctx.Err()
	}
	return func() { l.slots.Release(1); l.free(who) }, "", nil
}

// place takes a place in the lane for somebody, "" when nobody knows for whom.
func (l *lane) place(who string) refusal {
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case who != "" && l.by[who] >= l.share:
		return isShared
	case l.all >= l.running+l.waiting:
		return isFull
	}
	l.all++
	l.by[who]++
	return ""
}

func (l *lane) free(who string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all--
	if l.by[who]--; l.by[who] == 0 {
		delete(l.by, who)
	}
}

// inside is how many run and wait.
func (l *lane) inside() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.all
}

// queue lets a request into its lane. Its body is read before its turn: whoever
// sends slowly holds a place, and nobody up.
func (s *server) queue(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		l := s.lanes.of(c)
		if l == nil {
			return next(c)
		}
		person := "" // an address may be many people's
		if w := who(c); w != nil {
			person = w.ID.String()
		}
		leave, err := s.enter(c, l, person, func() error { return readBody(c) })
		if err != nil {
			return err
		}
		defer leave()
		return next(c)
	}
}

// enter lets a request into a lane, or says how it is refused: 429 for who has
// enough (RFC 6585, 4), 503 where all together are too many (RFC 9110, 15.6.4).
func (s *server) enter(c echo.Context, l *lane, who string, ready func() error) (leave func(), err error) {
	leave, why, err := l.enter(c.Request().Context(), who, ready)
	if err != nil || why == "" {
		return leave, err
	}
	s.metrics.refuse(l.name, why)
	if why == isShared {
		return nil, tooMany(c, time.Second, "you have "+strconv.Itoa(l.share)+" such requests here already: wait for one of them")
	}
	return nil, tags.Errorf(tags.Unavailable, "the server is busy; nothing was done, try again")
}

// readBody takes the whole body, which is small (bodyLimit), off the connection.
func readBody(c echo.Context) error {
	req := c.Request()
	if req.Body == nil || req.Body == http.NoBody {
		return nil
	}
	raw, err := io.ReadAll(req.Body)
	var he *echo.HTTPError
	if errors.As(err, &he) {
		return he // too large
	}
	if err != nil {
		return echo.NewHTTPError(http.StatusBadRequest, "the body did not arrive whole")
	}
	req.Body = io.NopCloser(bytes.NewReader(raw))
	return nil
}

// asker is who a request counts for: the person, by a session or any of his
// tokens; where nobody signs in, the address.
func asker(c echo.Context) string {
	if w := who(c); w != nil {
		return w.ID.String()
	}
	return c.RealIP()
}

// tooMany refuses a request and says when to come again.
func tooMany(c echo.Context, again time.Duration, why string) error {
	c.Response().Header().Set(echo.HeaderRetryAfter, strconv.Itoa(max(1, int((again+time.Second-1)/time.Second))))
	return echo.NewHTTPError(http.StatusTooManyRequests, why)
}
