package httpapi

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/door"
	"overhang/internal/lanes"
	"overhang/internal/tags"
)

// lane finds the lane of a request, nil for what never waits.
func (s *server) lane(c echo.Context) *lanes.Lane {
	path := c.Path()
	switch {
	case path == "/sign-in" || path == "/join":
		return s.lanes.SignIn
	case door.ForPlayers(path):
		return s.lanes.Players
	case door.Open(c.Request().URL.Path):
		return nil
	case path == "/v1/programs/:program/films/:id/video":
		return s.lanes.Film
	case isLive(path):
		return s.lanes.Live
	case path == "/v1/programs/:program/opponents/:opponent/answers":
		return s.lanes.Fixes
	}
	switch costOf(c) {
	case byDatabase, wholly:
		return s.lanes.Count
	case byEngine:
		return s.lanes.Engine
	}
	return s.lanes.Ordinary
}

// isLive reports whether a route is asked again and again while a coach drags a man: it
// never waits behind a report, and no report behind it.
func isLive(path string) bool {
	return path == "/v1/stress" || path == "/v1/programs/:program/opponents/:opponent/try"
}

// queue lets a request into its lane. Its body is read before its turn: a client that
// sends slowly holds a place, and nobody up.
func (s *server) queue(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		l := s.lane(c)
		if l == nil {
			return next(c)
		}
		if (l == s.lanes.SignIn || l == s.lanes.Players) && !empty(c.Request()) {
			if err := shortBody(c); err != nil { // before a place is taken: anybody may send slowly here
				return err
			}
		}
		who := s.party(c)
		leave, err := s.enter(c, l, who, func() error { return readBody(c) })
		if err != nil {
			return err
		}
		defer leave()
		if s.lanes.Lasts(l) {
			aside := func(work func() error) error { return s.lanes.Aside(l, who, work) }
			c.SetRequest(c.Request().WithContext(ask.WithAside(c.Request().Context(), aside)))
			return aside(func() error { return next(c) })
		}
		return next(c)
	}
}

// party is for whom a request asks: the person, and the program of its path, or that of
// their token where the path names none.
func (s *server) party(c echo.Context) (p lanes.Party) {
	w := door.Visitor(c)
	if door.Open(c.Request().URL.Path) {
		return lanes.Party{Person: door.Network(c.RealIP())} // all that is known of who signs in
	}
	if w == nil {
		return p // an address may be many people's
	}
	p = lanes.Party{Person: w.ID.String(), Program: c.Param("program")}
	if p.Program == "" && w.Program.Valid {
		p.Program = w.Program.UUID.String()
	}
	return p
}

// doorTurn lets a request in whose asker is to be looked up.
func (s *server) doorTurn(c echo.Context) (leave func(), err error) {
	return s.enter(c, s.lanes.Door, lanes.Party{}, func() error { return nil })
}

// enter lets a request into a lane, or says how it is refused: 429 for who has
// enough (RFC 6585, 4), 503 where all together are too many (RFC 9110, 15.6.4).
func (s *server) enter(c echo.Context, l *lanes.Lane, who lanes.Party, ready func() error) (leave func(), err error) {
	leave, why, err := l.Enter(c.Request().Context(), who, ready)
	if err != nil || why == "" {
		return leave, err
	}
	s.metrics.refuse(l.Name, why)
	if why == lanes.Shared {
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
	if req.ContentLength > shortest {
		return echo.NewHTTPError(http.StatusRequestEntityTooLarge, "a form of this page is shorter")
	}
	req.Body = http.MaxBytesReader(c.Response(), req.Body, shortest)
	err := readBody(c)
	if _, long := errors.AsType[*http.MaxBytesError](err); long {
		return echo.NewHTTPError(http.StatusRequestEntityTooLarge, "a form of this page is shorter")
	}
	return err
}

// empty reports whether a request has no body.
func empty(req *http.Request) bool { return req.Body == nil || req.Body == http.NoBody }

// readBody takes the whole body, which is small (bodyLimit), off the connection.
func readBody(c echo.Context) error {
	req := c.Request()
	if empty(req) {
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
