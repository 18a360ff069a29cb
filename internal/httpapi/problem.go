package httpapi

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/pages"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/wire"
)

// problem is the body of every error, RFC 9457; each type has a page (wire.Problems).
type problem struct {
	Type   string            `json:"type"`
	Title  string            `json:"title"`
	Status int               `json:"status"`
	Detail string            `json:"detail,omitempty"`
	Errors []tags.FieldError `json:"errors,omitempty"`
	// Faults is an extension member: what is wrong with a call, by place in the document.
	Faults []tags.Fault `json:"faults,omitempty"`
	// Current is an extension member (RFC 9457, 3.2): with 412, what is there now.
	Current any `json:"current,omitempty"`
}

// clientLeft is what the log and the figures say of a request whose client did not wait for the
// answer: it is nobody's fault, and no status of HTTP's (common practice, no source).
const clientLeft = 499

// ofClient is where the connection's own context is kept: it ends when the client leaves, and a
// request's own also when it is over.
const ofClient = "client"

// mostFaults is how many faults an answer lists: a person mends them one by one.
const mostFaults = 100

// fail answers an error; with status it is the only place that knows one.
func (s *server) fail(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	p := s.status(err, c)
	if p.Status == http.StatusServiceUnavailable {
		c.Response().Header().Set("Retry-After", "2")
	}
	wire.Allow(c.Response().Header())
	if m, ok := p.Current.(interface{ Tag() string }); ok {
		c.Response().Header().Set("ETag", m.Tag())
	}
	if c.Request().Method == http.MethodHead {
		c.NoContent(p.Status)
		return
	}
	if browses(c) && s.pages.Fail(c, p.failure()) == nil {
		return
	}
	c.Response().Header().Set(echo.HeaderContentType, "application/problem+json")
	c.Response().WriteHeader(p.Status)
	c.Echo().JSONSerializer.Serialize(c, p, "")
}

// failure is the problem as a page says it.
func (p *problem) failure() *pages.Failure {
	return &pages.Failure{Status: p.Status, Detail: p.Detail, Errors: p.Errors}
}

// failure is what an error is on a page.
func (s *server) failure(err error, c echo.Context) *pages.Failure {
	p := s.status(err, c)
	return p.failure()
}

func (s *server) status(err error, c echo.Context) problem {
	make := func(code int, detail string, fs []tags.FieldError) problem {
		if more := len(fs) - mostFaults; more > 0 {
			fs, detail = fs[:mostFaults], fmt.Sprintf("%s (%d more faults are not listed)", detail, more)
		}
		kind, title := wire.ProblemOf(code)
		return problem{Type: kind, Title: title, Status: code, Detail: detail, Errors: fs}
	}
	if postgres.NoRoom(err) {
		s.log.Error("the database's disk is full: nothing can be stored", "route", c.Path())
		s.full.Store(true)
	}
	if e := tags.As(err); e != nil {
		code := map[tags.Kind]int{tags.Invalid: http.StatusUnprocessableEntity, tags.NotFound: http.StatusNotFound,
			tags.Conflict: http.StatusConflict,
			tags.Stale:    http.StatusPreconditionFailed, tags.Unavailable: http.StatusServiceUnavailable}[e.Kind]
		if m := c.Request().Method; e.Kind == tags.Invalid && (m == http.MethodGet || m == http.MethodDelete) {
			code = http.StatusBadRequest
		}
		p := make(code, e.Msg, e.Fields)
		p.Current, p.Faults = e.Current, e.Faults
		return p
	}
	var he *echo.HTTPError
	refused := errors.As(err, &he) && he.Code < 500 // said to who broke off half-way too, and may still read
	if client, ok := c.Get(ofClient).(context.Context); ok && client.Err() != nil && !refused {
		return make(clientLeft, "the request was given up", nil)
	}
	if he != nil { // no such route, wrong method, body too large, or our own choice of status
		detail, _ := he.Message.(string)
		if detail == http.StatusText(he.Code) {
			detail = ""
		}
		if he.Code >= 500 {
			s.log.Error("failed", "route", c.Path(), "error", err)
			detail = ""
		}
		return make(he.Code, detail, nil)
	}
	if errors.Is(err, context.DeadlineExceeded) {
		return make(http.StatusServiceUnavailable, "it took too long; try again, or ask for less", nil)
	}
	s.log.Error("failed", "route", c.Path(), "error", err, "id", c.Response().Header().Get(echo.HeaderXRequestID))
	return make(http.StatusInternalServerError, "", nil)
}

// browses reports whether a page is asked for and no answer of the API: a browser
// that goes somewhere says so in Accept.
func browses(c echo.Context) bool {
	return strings.Contains(c.Request().Header.Get(echo.HeaderAccept), "text/html")
}
