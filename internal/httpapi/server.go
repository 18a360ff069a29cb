package httpapi

import (
	"context"
	"crypto/rand"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
	"go.opentelemetry.io/otel/trace"

	"overhang/api"
	"overhang/internal/ask"
	"overhang/internal/contract"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/lanes"
	"overhang/internal/pages"
	"overhang/internal/tags"
	"overhang/internal/tags/film"
	"overhang/internal/tags/postgres"
	"overhang/internal/wire"
)

// Limits of one request.
const (
	bodyLimit  = "1M"
	sheetLimit = "16M" // of a spreadsheet that comes in
	patience   = 25 * time.Second
)

type server struct {
	store    *postgres.Store
	keys     *postgres.Store // without walls, nil: nobody has to sign in; see door.New
	door     *door.Door
	desk     *desk.Desk
	pages    *pages.Site
	recent   ask.Reads // for questions that come again and again: see ask.Recent
	log      *slog.Logger
	films    film.Folders
	contract *contract.Contract
	proxies  []*net.IPNet // whose word of an address is believed
	metrics  *metrics     // nil: nothing is counted
	tracer   trace.Tracer // nil: nothing is traced
	lanes    *lanes.Lanes
	rates    *rates          // nil: anybody may ask as often as they like
	reader   *reader         // nil: there is no replica
	unbraked bool            // passwords and rates are not slowed: for tests
	full     atomic.Bool     // a write met a full disk, and none has been tried since
	until    context.Context // ends when the server is about to stop
}

// An Option is a choice of the administrator.
type Option func(*server)

// WithFilms allows the folders that films are served from; without it none is.
func WithFilms(f film.Folders) Option { return func(s *server) { s.films = f } }

// WithLogin lets in only who has signed in or shows a token. keys is a store without
// walls: it looks people up; the server's own store should be walled.
func WithLogin(keys *postgres.Store) Option { return func(s *server) { s.keys = keys } }

// WithProxies believes X-Forwarded-For of these networks and of nobody else: a header
// that anybody may write is no address.
func WithProxies(networks []*net.IPNet) Option {
	return func(s *server) { s.proxies = networks }
}

// WithEnd says on /readyz that the server is about to stop once ctx has ended, so
// that whatever stands in front sends nobody here any more.
func WithEnd(ctx context.Context) Option { return func(s *server) { s.until = ctx } }

// held is the document as a contract, read once however many servers there are.
var held = sync.OnceValues(func() (*contract.Contract, error) { return contract.New(api.Document) })

// New makes the handler of the whole program.
func New(store *postgres.Store, log *slog.Logger, opts ...Option) (*echo.Echo, error) {
	k, err := held()
	if err != nil {
		return nil, err
	}
	s := &server{store: store, recent: ask.Recent(store), log: log, contract: k,
		lanes: lanes.New(), until: context.Background()}
	for _, o := range opts {
		o(s)
	}
	s.door = door.New(store, s.keys)
	if s.unbraked {
		s.door.Unbraked()
	}
	s.desk = &desk.Desk{Store: store, Needs: k.Needs}
	s.pages = pages.NewSite(s.door, s.desk, k.Members("PlayInput"), s.failure)
	e := echo.New()
	e.HideBanner, e.HidePort = true, true
	e.IPExtractor = door.Addresses(s.proxies)
	e.HTTPErrorHandler = s.fail
	e.Use(wire.Around(wire.Cutting, wire.Heads(e, func(path string) bool { return strings.HasSuffix(path, "/video") }),
		wire.Named,
		middleware.RequestIDWithConfig(middleware.RequestIDConfig{Generator: rand.Text}), s.logged,
		middleware.RecoverWithConfig(middleware.RecoverConfig{DisableStackAll: true, LogErrorFunc: s.panicked}),
		wire.Secure, wire.Answers(streams), bounded(), timed, s.door.Admit(s.doorTurn), s.paced, k.Find, s.queue,
		s.door.Program, k.Check, s.read))
	s.routes(e)
	return e, s.documentRoutes(e)
}

func (s *server) routes(e *echo.Echo) {
	e.GET("/healthz", func(c echo.Context) error { return c.String(http.StatusOK, "ok\n") })
	e.GET("/readyz", s.ready)
	e.GET("/v1/programs", s.listPrograms)
	e.GET("/v1/programs/:program", s.getProgram)
	e.PUT("/v1/programs/:program", s.replaceProgram)
	g := e.Group("/v1/programs/:program")
	g.POST("/imports", s.importSheet)
	g.POST("/imports/proposals", s.proposeImport)
	mount(g, "seasons", s.store.Seasons())
	mount(g, "opponents", s.store.Opponents())
	mount(g, "games", s.store.Games())
	mount(g, "films", s.store.Films())
	g.GET("/films/:id/video", s.video)
	g.HEAD("/films/:id/video", s.video)
	g.GET("/films/:id/clips", s.listOfClips)
	g.POST("/films/:id/clips", s.loadClips)
	mount(g, "clips", s.store.Clips())
	mount(g, "words", s.store.Words())
	mount(g, "plays", s.store.Plays())
	mountWith(g, "calls", s.store.Calls(), ask.CheckCall,
		func(sent, stored *tags.Call) { stored.NotTried = sent.NotTried })
	s.plans(g)
	mount(g, "blind-tags", s.store.BlindTags(), s.ownEyes)
	g.GET("/agreement", s.agreement)
	g.POST("/clips/:id/settle", s.settle)
	s.edits(g)
	s.deletions(g)
	g.GET("/export", s.export)
	s.questions(e, g)
	s.reports(g)
	s.staffRoutes(e, g)
	s.shareRoutes(g)
	s.players(e, g)
	s.pages.Mount(e)
}

// questions serves what is asked of plays and calls.
func (s *server) questions(e *echo.Echo, g *echo.Group) {
	g.GET("/tendencies", s.tendencies)
	g.GET("/snaps", s.snaps)
	g.GET("/tells", s.tells)
	g.GET("/trend", s.trend)
	g.GET("/estimates", s.estimates)
	g.GET("/depths", s.depths)
	g.GET("/opponents/:opponent/likeness", s.likeness)
	g.GET("/opponents/:opponent/concepts", s.concepts)
	g.GET("/opponents/:opponent/concept-suggestions", s.conceptSuggestions)
	g.GET("/opponents/:opponent/stress", s.stressBoard)
	g.GET("/opponents/:opponent/drawing", s.drawCell)
	g.GET("/opponents/:opponent/answers", s.answers)
	g.POST("/opponents/:opponent/try", s.try)
	g.GET("/opponents/:opponent/sweeps/alignment", s.sweepAlignment)
	g.GET("/opponents/:opponent/sweeps/break", s.sweepBreak)
	g.GET("/opponents/:opponent/report", s.gamePlan)
	e.POST("/v1/stress", s.stress)
	e.POST("/v1/drawing", s.draw)
	e.POST("/v1/answers", s.answers)
	e.POST("/v1/sweeps/alignment", s.sweepAlignment)
	e.POST("/v1/sweeps/break", s.sweepBreak)
	e.GET("/v1/drawing/legend", s.legend)
	e.GET("/v1/book", s.book)
}

// ready says whether requests should be sent here.
func (s *server) ready(c echo.Context) error {
	if s.until.Err() != nil {
		return tags.Errorf(tags.Unavailable, "the server is stopping")
	}
	ctx, cancel := context.WithTimeout(c.Request().Context(), 2*time.Second)
	defer cancel()
	if err := s.store.Ping(ctx); err != nil {
		return tags.Errorf(tags.Unavailable, "the database does not answer")
	}
	if s.full.Load() {
		if err := s.store.Room(ctx); postgres.NoRoom(err) {
			return err
		}
		s.full.Store(false)
	}
	return c.String(http.StatusOK, "ready\n")
}

// A listing is all there are of a kind.
type listing[T any] struct {
	Items []T `json:"items"`
}

// items lists them, none as an empty list.
func items[T any](xs []T) listing[T] { return listing[T]{append([]T{}, xs...)} }

func (s *server) listPrograms(c echo.Context) error {
	ps, err := s.door.Programs(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ps))
}

// timed bounds what one request may take.
func timed(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		ctx, cancel := context.WithTimeout(c.Request().Context(), patience)
		defer cancel()
		c.SetRequest(c.Request().WithContext(ctx))
		return next(c)
	}
}

// streams reports whether an answer is sent as it is made: films and exports.
func streams(c echo.Context) bool {
	return strings.HasSuffix(c.Path(), "/video") || strings.HasSuffix(c.Path(), "/export")
}

// logged writes one line a request: no query, no content.
func (s *server) logged(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		start := time.Now()
		c.Set(ofClient, c.Request().Context())
		defer s.metrics.start(c)()
		defer wire.Span(s.tracer, c)()
		if err := next(c); err != nil {
			c.Error(err)
		}
		s.log.Info("request", "method", c.Request().Method, "route", c.Path(), "status", c.Response().Status,
			"ms", time.Since(start).Milliseconds(), "who", s.door.Nameless(c), "from", c.RealIP(), "id",
			c.Response().Header().Get(echo.HeaderXRequestID))
		return nil
	}
}

func (s *server) panicked(c echo.Context, err error, stack []byte) error {
	s.log.Error("panic", "route", c.Path(), "error", err, "stack", string(stack))
	return err
}
