package httpapi

import (
	"context"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"overhang/internal/pages"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

const htmlKind = "text/html; charset=utf-8"

// against is the cookie that remembers the opponent a browser last looked at, so
// that pages of the program keep the week's steps. It holds a code and no secret.
const against = "overhang-against"

// assets serves what pages are made of: kept by the browser for good, since a name
// holds the hash of what it names.
func (s *server) assets(e *echo.Echo) {
	e.GET("/assets/:file", func(c echo.Context) error {
		a := pages.AssetNamed(c.Param("file"))
		if a == nil {
			return echo.ErrNotFound
		}
		h := c.Response().Header()
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
		h.Set("Vary", "Accept-Encoding")
		if a.Zipped != nil && strings.Contains(c.Request().Header.Get("Accept-Encoding"), "gzip") {
			h.Set("Content-Encoding", "gzip")
			return c.Blob(http.StatusOK, a.Kind, a.Zipped)
		}
		return c.Blob(http.StatusOK, a.Kind, a.Body)
	})
}

// zipped compresses pages, reports among them. Answers of the API are left as they are: whoever stands in
// front may, and films must not be.
func zipped() echo.MiddlewareFunc {
	return middleware.GzipWithConfig(middleware.GzipConfig{Level: 5, MinLength: 1000, Skipper: func(c echo.Context) bool {
		p := c.Request().URL.Path
		return c.QueryParam("format") != "html" && !strings.HasPrefix(p, "/programs/") && p != "/" &&
			!strings.HasPrefix(p, "/guide")
	}})
}

// shell is the bar of a page: its step of the week or its place in the program.
func (s *server) shell(c echo.Context, title, step, place string) (*pages.Shell, error) {
	sh := &pages.Shell{Title: title, Step: step, Place: place}
	if w := who(c); w != nil {
		sh.Who = w.Name
	}
	p, ok := c.Get("program").(tags.Program)
	if !ok {
		return sh, nil
	}
	sh.Program, sh.Owner = &p, roleOf(c).Reaches(staff.Owner)
	var err error
	if sh.Opponents, err = every(c.Request().Context(), s.store.Opponents(), p.ID, nil); err != nil {
		return nil, err
	}
	sh.Opponent = s.lookedAt(c, sh.Opponents)
	if sh.Opponent != nil {
		sh.Week, err = s.week(c, sh)
	}
	return sh, err
}

// lookedAt is the opponent of the path, else the one the browser last looked at.
func (s *server) lookedAt(c echo.Context, os []tags.Opponent) *tags.Opponent {
	code := c.Param("opponent")
	if code == "" {
		code = c.QueryParam("against")
	}
	remembered, err := c.Cookie(against)
	if code == "" && err == nil {
		code, _ = url.QueryUnescape(remembered.Value)
	}
	for i := range os {
		if os[i].Code != code && os[i].ID.String() != code {
			continue
		}
		if err != nil || remembered.Value != url.QueryEscape(os[i].Code) {
			c.SetCookie(&http.Cookie{Name: against, Value: url.QueryEscape(os[i].Code), Path: "/programs/" +
				url.PathEscape(programOf(c).Code),
				HttpOnly: true, Secure: far(c), SameSite: http.SameSiteLaxMode, MaxAge: int(180 * 24 * time.Hour / time.Second)})
		}
		return &os[i]
	}
	return nil
}

// week says which week of the season the game against the opponent is in: that of
// our game with them, empty where none has one.
func (s *server) week(c echo.Context, sh *pages.Shell) (string, error) {
	gs, err := s.store.Games().List(c.Request().Context(), sh.Program.ID, postgres.Page{Limit: 500,
		Filters: map[string]string{"opponent_id": sh.Opponent.ID.String()}})
	out := ""
	for i := range gs {
		if gs[i].Ours && gs[i].Week != nil {
			out = "Week " + pages.Whole(*gs[i].Week)
		}
	}
	return out, err
}

// show answers with a page of a template.
func (s *server) show(c echo.Context, status int, sh *pages.Shell, name string, data any) error {
	return writtenAs(c, status, htmlKind, func(w io.Writer) error { return pages.Write(w, sh, name, data) })
}

// browses reports whether a page is asked for and no answer of the API: a browser
// that goes somewhere says so in Accept.
func browses(c echo.Context) bool {
	return strings.Contains(c.Request().Header.Get(echo.HeaderAccept), "text/html")
}

// failPage answers an error with a page: what happened, what is safe, what to do.
func (s *server) failPage(c echo.Context, p problem) error {
	if c.Request().Context().Err() != nil { // time is up for the question, not for the bar over the answer
		ctx, cancel := context.WithTimeout(context.WithoutCancel(c.Request().Context()), time.Second)
		defer cancel()
		c.SetRequest(c.Request().WithContext(ctx))
	}
	sh, err := s.shell(c, p.Title, "", "")
	if err != nil {
		sh = &pages.Shell{Title: p.Title}
	}
	f := pages.Failure{Status: p.Status, Detail: p.Detail, Errors: p.Errors,
		ID:    c.Response().Header().Get(echo.HeaderXRequestID),
		Wrote: c.Request().Method != http.MethodGet, Back: sh.Base()}
	sh.Title = f.Title()
	return s.show(c, p.Status, sh, "error.html", &f)
}
