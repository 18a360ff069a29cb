package httpapi

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"
	"net/http"
	"runtime"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
	"golang.org/x/sync/semaphore"

	"overhang/internal/door"
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
	// Where what runs can last, it is shared out as well: so many places of the people
	// of one program together, and so many of a person's or a program's run at once.
	ofProgram, each int // 0: any

	slots *semaphore.Weighted // first come, first served
	mu    sync.Mutex
	all   int
	by    map[string]int                 // places, by person and by program
	turns map[string]*semaphore.Weighted // of those who have a place, where each is not 0
}

// A party is for whom a request takes a place; a name is "" when nobody knows it.
type party struct{ person, program string }

// names are the keys a party counts under.
func (p party) names() (out []string) {
	if p.person != "" {
		out = append(out, "person "+p.person)
	}
	if p.program != "" {
		out = append(out, "program "+p.program)
	}
	return out
}

// Lanes keep costly questions away from tagging: whatever is asked, an analyst
// never waits behind a board. Together they run less than the store has
// connections, so that nobody waits a second time for one of those.
type lanes struct {
	door, ordinary, count, engine, live, film, signIn *lane
}

func newLanes() *lanes {
	make := func(name string, running, waiting int, wait time.Duration, share int) *lane {
		return &lane{name: name, running: running, waiting: waiting, wait: wait, share: share,
			slots: semaphore.NewWeighted(int64(running)), by: map[string]int{}, turns: map[string]*semaphore.Weighted{}}
	}
	engine := make("engine", max(2, runtime.GOMAXPROCS(0)/2), 32, 10*time.Second, 8) // arithmetic: half of the processors
	engine.ofProgram, engine.each = 16, max(1, engine.running/2)                     // one program never has all of them
	// one call against one picture, a few milliseconds: what is dragged is asked for at once or not
	// at all
	live := make("live", 2, 16, 2*time.Second, 4)
	live.each = 1 // and one program never has both
	// as many as passwords are hashed at once; the share is of an address
	signIn := make("sign_in", 2, 32, 10*time.Second, 12)
	signIn.each = 1
	return &lanes{
		door:     make("door", 16, 256, 2*time.Second, 0),      // who asks: a look-up of a millisecond
		ordinary: make("ordinary", 20, 256, 5*time.Second, 16), // fewer than run: one person cannot hold them all
		count:    make("count", 4, 32, 10*time.Second, 8),
		engine:   engine,
		live:     live,
		film:     make("film", 200, 0, 0, 16), // lasts as long as somebody watches
		signIn:   signIn,
	}
}

func (l *lanes) list() []*lane {
	return []*lane{l.door, l.ordinary, l.count, l.engine, l.live, l.film, l.signIn}
}

// lane finds the lane of a request, nil for what never waits.
func (l *lanes) of(c echo.Context) *lane {
	path := c.Path()
	switch {
	case path == "/sign-in" || path == "/join":
		return l.signIn
	case door.Open(c.Request().URL.Path):
		return nil
	case path == "/v1/programs/:program/films/:id/video":
		return l.film
	case isLive(path):
		return l.live
	}
	switch costOf(c) {
	case byDatabase, wholly:
		return l.count
	case byEngine:
		return l.engine
	}
	return l.ordinary
}

// isLive reports whether a route is asked again and again while a coach drags a man: it
// never waits behind a report, and no report behind it.
func isLive(path string) bool {
	return path == "/v1/stress" || path == "/v1/programs/:program/opponents/:opponent/try"
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
	"/programs/:program/opponents/:opponent/plans/:id/review":       byEngine,
	"/programs/:program/self-scout":                                 byDatabase,
	"/programs/:program/opponents/:opponent/cell":                   byEngine,
	"/v1/programs/:program/opponents/:opponent/answers":             byEngine,
	"/v1/programs/:program/opponents/:opponent/sweeps/alignment":    byEngine,
	"/v1/programs/:program/opponents/:opponent/sweeps/break":        byEngine,
	"/v1/stress": byEngine,
	"POST /v1/programs/:program/opponents/:opponent/try": byEngine,
	"/v1/drawing":                                           byEngine,
	"/v1/answers":                                           byEngine,
	"/v1/sweeps/alignment":                                  byEngine,
	"/v1/sweeps/break":                                      byEngine,
	"POST /v1/programs/:program/imports":                    byDatabase,
	"POST /v1/programs/:program/imports/proposals":          byDatabase,
	"POST /v1/programs/:program/plans":                      byEngine,
	"POST /v1/programs/:program/plans/:id/refresh":          byEngine,
	"POST /programs/:program/opponents/:opponent/plans":     byEngine,
	"POST /programs/:program/opponents/:opponent/plans/:id": byEngine,
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
func (l *lane) enter(ctx context.Context, who party, ready func() error) (leave func(), why refusal, err error) {
	turns, why := l.place(who)
	if why != "" {
		return nil, why, nil
	}
	if err := ready(); err != nil {
		l.free(who)
		return nil, "", err
	}
	wait, cancel := context.WithTimeout(ctx, l.wait)
	defer cancel()
	for i, s := range turns { // his own first: who waits for those keeps nobody else waiting
		if !s.TryAcquire(1) && s.Acquire(wait, 1) != nil {
			release(turns[:i])
			l.free(who)
			return nil, tooSlow, ctx.Err()
		}
	}
	return func() { release(turns); l.free(who) }, "", nil
}

func release(turns []*semaphore.Weighted) {
	for _, s := range turns {
		s.Release(1)
	}
}

// place takes a place in the lane for somebody and says whose turns he has to wait for.
func (l *lane) place(who party) (turns []*semaphore.Weighted, why refusal) {
	l.mu.Lock()
	defer l.mu.Unlock()
	names := who.names()
	switch {
	case who.person != "" && l.share > 0 && l.by["person "+who.person] >= l.share:
		return nil, isShared
	case who.program != "" && l.ofProgram > 0 && l.by["program "+who.program] >= l.ofProgram:
		return nil, isShared
	case l.all >= l.running+l.waiting:
		return nil, isFull
	}
	l.all++
	for _, n := range names {
		l.by[n]++
		if l.each == 0 {
			continue
		}
		if l.turns[n] == nil {
			l.turns[n] = semaphore.NewWeighted(int64(l.each))
		}
		turns = append(turns, l.turns[n])
	}
	return append(turns, l.slots), ""
}

func (l *lane) free(who party) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.all--
	for _, n := range who.names() {
		if l.by[n]--; l.by[n] == 0 {
			delete(l.by, n)
			delete(l.turns, n)
		}
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
		if l == s.lanes.signIn {
			if err := shortBody(c); err != nil { // before a place is taken: anybody may send slowly here
				return err
			}
		}
		leave, err := s.enter(c, l, s.party(c), func() error { return readBody(c) })
		if err != nil {
			return err
		}
		defer leave()
		return next(c)
	}
}

// party is for whom a request asks: the person, and the program of its path, or that of
// his token where the path names none.
func (s *server) party(c echo.Context) (p party) {
	w := door.Visitor(c)
	if door.Open(c.Request().URL.Path) {
		return party{person: door.Network(c.RealIP())} // all that is known of who signs in
	}
	if w == nil {
		return p // an address may be many people's
	}
	p = party{w.ID.String(), c.Param("program")}
	if p.program == "" && w.Program.Valid {
		p.program = w.Program.UUID.String()
	}
	return p
}

// doorTurn lets a request in whose asker is to be looked up.
func (s *server) doorTurn(c echo.Context) (leave func(), err error) {
	return s.enter(c, s.lanes.door, party{}, func() error { return nil })
}

// enter lets a request into a lane, or says how it is refused: 429 for who has
// enough (RFC 6585, 4), 503 where all together are too many (RFC 9110, 15.6.4).
func (s *server) enter(c echo.Context, l *lane, who party, ready func() error) (leave func(), err error) {
	leave, why, err := l.enter(c.Request().Context(), who, ready)
	if err != nil || why == "" {
		return leave, err
	}
	s.metrics.refuse(l.name, why)
	if why == isShared {
		return nil, door.TooMany(c, time.Second,
			"you and your program have enough such requests here already: wait for one of them")
	}
	return nil, tags.Errorf(tags.Unavailable, "the server is busy; nothing was done, try again")
}

// shortest is what a form of the door may hold, in bytes.
const shortest = 16 << 10

// shortBody reads a body that is only a form.
func shortBody(c echo.Context) error {
	req := c.Request()
	if req.Body == nil || req.Body == http.NoBody {
		return nil
	}
	if req.ContentLength > shortest {
		return echo.NewHTTPError(http.StatusRequestEntityTooLarge, "a form of this page is shorter")
	}
	req.Body = http.MaxBytesReader(c.Response(), req.Body, shortest)
	err := readBody(c)
	var long *http.MaxBytesError
	if errors.As(err, &long) {
		return echo.NewHTTPError(http.StatusRequestEntityTooLarge, "a form of this page is shorter")
	}
	return err
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
		return echo.NewHTTPError(http.StatusBadRequest, "the body did not arrive whole").SetInternal(err)
	}
	req.Body = io.NopCloser(bytes.NewReader(raw))
	return nil
}
