package httpapi

import (
	"context"
	"encoding/base64"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

const deletedPath = "/programs/:program/deleted"

// deletions serves what was deleted: to look at, to restore, to purge.
func (s *server) deletions(e *echo.Echo, g *echo.Group) {
	g.GET("/deletions", s.listDeletions)
	g.DELETE("/deletions", s.purgeOld)
	g.DELETE("/deletions/:id", s.purge)
	g.POST("/deletions/:id/restore", s.restore)
	e.GET(deletedPath, s.deletedPage)
	e.POST(deletedPath, s.deletedForm)
}

// A deletionPage is a page of the list.
type deletionPage struct {
	Items []tags.Deletion `json:"items"`
	Next  string          `json:"next_cursor,omitempty"`
}

func (s *server) pageOfDeletions(c echo.Context) (out deletionPage, err error) {
	limit, before := 100, uuid.Nil
	if v := c.QueryParam("limit"); v != "" {
		limit, _ = strconv.Atoi(v) // the contract has checked it
	}
	if v := c.QueryParam("cursor"); v != "" {
		if before, err = cursorOf(v); err != nil {
			return out, err
		}
	}
	ds, err := s.store.Deletions(c.Request().Context(), programOf(c).ID, limit+1, before)
	out.Items = append([]tags.Deletion{}, ds...)
	if len(ds) > limit {
		out.Items = ds[:limit]
		id := ds[limit-1].ID
		out.Next = base64.RawURLEncoding.EncodeToString(id[:])
	}
	return out, err
}

func (s *server) listDeletions(c echo.Context) error {
	page, err := s.pageOfDeletions(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, page)
}

// restore brings one deletion back, for who might have deleted it.
func (s *server) restore(c echo.Context) error {
	id, err := identity(c, "deletions")
	if err != nil {
		return err
	}
	d, err := s.bringBack(c, id)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, d)
}

func (s *server) bringBack(c echo.Context, id uuid.UUID) (d tags.Deletion, err error) {
	ctx, p := c.Request().Context(), programOf(c)
	if d, err = s.store.Deletion(ctx, p.ID, id); err != nil {
		return d, err
	}
	if need := s.restores(c, &d); !roleOf(c).Reaches(need) {
		return d, echo.NewHTTPError(http.StatusForbidden, "restoring that is for a program's "+string(need))
	}
	name, err := analyst(c)
	if err != nil {
		return d, err
	}
	return s.store.By(name).Restore(ctx, p.ID, id)
}

// restores is the role that restoring needs: the one that deleting such a thing
// needs, and for what somebody else tagged blind a coordinator's.
func (s *server) restores(c echo.Context, d *tags.Deletion) staff.Role {
	if w := who(c); d.Kind == "blind_tags" && w != nil && (d.Who == nil || *d.Who != w.Login) {
		return staff.Coordinator
	}
	return s.contract.needs(http.MethodDelete, "/v1/programs/{program}/"+strings.ReplaceAll(d.Kind, "_", "-")+"/{id}")
}

func (s *server) purge(c echo.Context) error {
	id, err := identity(c, "deletions")
	if err != nil {
		return err
	}
	n, err := s.store.Purge(c.Request().Context(), programOf(c).ID, id)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]int{"purged": n})
}

func (s *server) purgeOld(c echo.Context) error {
	days, _ := strconv.Atoi(c.QueryParam("older_than_days")) // the contract has checked it
	n, err := s.purgeOlder(c.Request().Context(), programOf(c).ID, days)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]int{"purged": n})
}

func (s *server) purgeOlder(ctx context.Context, program uuid.UUID, days int) (int, error) {
	return s.store.PurgeOlder(ctx, program, time.Now().AddDate(0, 0, -days))
}

// A bin is what the page of deleted things shows.
type bin struct {
	Program tags.Program
	Owner   bool
	Lines   []binLine
	Next    string
	Done    string
	Wrong   string
}

type binLine struct {
	tags.Deletion
	May  bool // the visitor may restore it
	Need staff.Role
}

// With is how many rows went along.
func (l binLine) With() int {
	n := -1
	for _, rows := range l.Rows {
		n += rows
	}
	return n
}

func (s *server) deletedPage(c echo.Context) error { return s.showBin(c, http.StatusOK, &bin{}) }

// deletedForm does what one of the page's buttons asks, and shows the page again.
func (s *server) deletedForm(c echo.Context) error {
	b := &bin{}
	err := s.doBin(c, b)
	if e := tags.As(err); e != nil && e.Kind != tags.Unavailable {
		b.Wrong = e.Error()
		return s.showBin(c, http.StatusUnprocessableEntity, b)
	}
	if err != nil {
		return err
	}
	return s.showBin(c, http.StatusOK, b)
}

func (s *server) doBin(c echo.Context, b *bin) (err error) {
	id, _ := uuid.Parse(c.FormValue("id")) // none: nothing has the nil identity
	ctx, p, do := c.Request().Context(), programOf(c), c.FormValue("do")
	if do != "restore" && !roleOf(c).Reaches(staff.Owner) {
		return echo.NewHTTPError(http.StatusForbidden, "that is for a program's owner")
	}
	if do != "restore" && c.FormValue("sure") != "yes" {
		return tags.Errorf(tags.Invalid, "tick that you are sure: what is purged cannot be brought back")
	}
	var n int
	switch do {
	case "restore":
		var d tags.Deletion
		d, err = s.bringBack(c, id)
		b.Done = d.What + " is back."
		return err
	case "purge":
		n, err = s.store.Purge(ctx, p.ID, id)
	case "purge older":
		var days int
		if days, err = strconv.Atoi(c.FormValue("days")); err != nil || days < 0 || days > 36500 {
			return tags.Fieldf(tags.Invalid, "days", "need 0 to 36500")
		}
		n, err = s.purgeOlder(ctx, p.ID, days)
	default:
		return tags.Fieldf(tags.Invalid, "do", "is nothing the page can do")
	}
	b.Done = strconv.Itoa(n) + " purged."
	return err
}

func (s *server) showBin(c echo.Context, status int, b *bin) error {
	page, err := s.pageOfDeletions(c)
	if err != nil {
		return err
	}
	b.Program, b.Owner, b.Next = programOf(c), roleOf(c).Reaches(staff.Owner), page.Next
	for _, d := range page.Items {
		need := s.restores(c, &d)
		b.Lines = append(b.Lines, binLine{d, roleOf(c).Reaches(need), need})
	}
	sh, err := s.shell(c, "Trash", "", "deleted")
	if err != nil {
		return err
	}
	return s.show(c, status, sh, "deleted.html", b)
}
