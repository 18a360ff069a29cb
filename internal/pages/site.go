package pages

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/wire"
)

// A Site serves the pages to browsers. It reads what the store holds, asks what they
// show, and answers with HTML alone; their scripts call the API.
type Site struct {
	store   *postgres.Store
	door    *door.Door
	desk    *desk.Desk
	packets packets
	tags    []string // of a play, by the names the document has for them
	failure func(err error, c echo.Context) *Failure
}

// NewSite makes the pages of what stands behind a door and a desk; members are the
// fields of a play that the API takes, and failure says what an error is to who reads.
func NewSite(d *door.Door, k *desk.Desk, members []string, failure func(err error, c echo.Context) *Failure) *Site {
	return &Site{store: k.Store, door: d, desk: k, tags: members, failure: failure}
}

// Mount puts every page at its address.
func (s *Site) Mount(e *echo.Echo) {
	s.assets(e)
	s.guide(e)
	s.weekPages(e)
	s.nounPages(e)
	s.explorer(e)
	s.callPages(e)
	s.pages(e)
	s.planPages(e)
	s.filmRoom(e)
	s.deletedPages(e)
	s.staffPages(e)
	s.playersPages(e)
}

// against is the cookie that remembers the opponent a browser last looked at, so
// that pages of the program keep the week's steps. It holds a code and no secret.
const against = "overhang-against"

// assets serves what pages are made of: kept by the browser for good, since a name
// holds the hash of what it names.
func (s *Site) assets(e *echo.Echo) {
	e.GET("/assets/:file", func(c echo.Context) error {
		a := AssetNamed(c.Param("file"))
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

// shell is the bar of a page: its step of the week or its place in the program.
func (s *Site) shell(c echo.Context, title, step, place string) (*Shell, error) {
	sh := &Shell{Title: title, Step: step, Place: place}
	if w := door.Visitor(c); w != nil {
		sh.Who = w.Name
	}
	p, ok := c.Get("program").(tags.Program)
	if !ok {
		return sh, nil
	}
	sh.Program, sh.Owner = &p, door.RoleOf(c).Reaches(staff.Owner)
	var err error
	if sh.Opponents, err = desk.Every(c.Request().Context(), s.store.Opponents(), p.ID, nil); err != nil {
		return nil, err
	}
	sh.Opponent = s.lookedAt(c, sh.Opponents)
	if sh.Opponent != nil {
		sh.Week, err = s.week(c, sh)
	}
	return sh, err
}

// lookedAt is the opponent of the path, else the one the browser last looked at.
func (s *Site) lookedAt(c echo.Context, os []tags.Opponent) *tags.Opponent {
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
				url.PathEscape(door.ProgramOf(c).Code),
				HttpOnly: true, Secure: door.Far(c), SameSite: http.SameSiteLaxMode,
				MaxAge: int(180 * 24 * time.Hour / time.Second)})
		}
		return &os[i]
	}
	return nil
}

// week says which week of the season the game against the opponent is in: that of
// our game with them, empty where none has one.
func (s *Site) week(c echo.Context, sh *Shell) (string, error) {
	gs, err := s.store.Games().List(c.Request().Context(), sh.Program.ID, postgres.Page{Limit: 500,
		Filters: map[string]string{"opponent_id": sh.Opponent.ID.String()}})
	out := ""
	for i := range gs {
		if gs[i].Ours && gs[i].Week != nil {
			out = "Week " + Whole(*gs[i].Week)
		}
	}
	return out, err
}

// show answers with a page of a template.
func (s *Site) show(c echo.Context, status int, sh *Shell, name string, data any) error {
	var b bytes.Buffer // nothing is sent of a page that cannot be written whole
	if err := Write(&b, sh, name, data); err != nil {
		return err
	}
	return c.Blob(status, "text/html; charset=utf-8", b.Bytes())
}

// again shows a page once more after what its form asked for: with what is wrong where the
// caller can put it right.
func again(err error, wrong *string, show func(status int) error) error {
	if e := tags.As(err); e != nil && e.Kind != tags.Unavailable {
		*wrong = e.Error()
		return show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return show(http.StatusOK)
}

// Fail answers an error with a page: what happened, what is safe, what to do.
func (s *Site) Fail(c echo.Context, f *Failure) error {
	if c.Request().Context().Err() != nil { // time is up for the question, not for the bar over the answer
		ctx, cancel := context.WithTimeout(context.WithoutCancel(c.Request().Context()), time.Second)
		defer cancel()
		c.SetRequest(c.Request().WithContext(ctx))
	}
	sh, err := s.shell(c, "", "", "")
	if err != nil {
		sh = &Shell{}
	}
	f.ID, f.Back = c.Response().Header().Get(echo.HeaderXRequestID), sh.Base()
	f.Wrote = c.Request().Method != http.MethodGet
	sh.Title = f.Title()
	return s.show(c, f.Status, sh, "error.html", f)
}

// Documented answers with the page of the API's operations.
func (s *Site) Documented(c echo.Context, operations []Operation) error {
	sh, err := s.shell(c, "The API", "", "")
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "docs.html", operations)
}

// Problems shows what types of problems there are; anybody may read it.
func (s *Site) Problems(c echo.Context, types []wire.ProblemType) error {
	title := "Problems"
	if len(types) == 1 {
		title = types[0].Title
	}
	sh, err := s.shell(c, title, "", "")
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "problems.html", types)
}
