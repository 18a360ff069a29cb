package pages

import (
	"net/http"
	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"strconv"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

const deletedPath = "/programs/:program/deleted"

// deletedPages serves the trash.
func (s *Site) deletedPages(e *echo.Echo) {
	e.GET(deletedPath, s.deletedPage)
	e.POST(deletedPath, s.deletedForm)
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

func (s *Site) deletedPage(c echo.Context) error { return s.showBin(c, http.StatusOK, &bin{}) }

// deletedForm does what one of the page's buttons asks, and shows the page again.
func (s *Site) deletedForm(c echo.Context) error {
	b := &bin{}
	return again(s.doBin(c, b), &b.Wrong, func(status int) error { return s.showBin(c, status, b) })
}

func (s *Site) doBin(c echo.Context, b *bin) (err error) {
	id, _ := uuid.Parse(c.FormValue("id")) // none: nothing has the nil identity
	ctx, p, do := c.Request().Context(), door.ProgramOf(c), c.FormValue("do")
	if err := mayBin(c, do); err != nil {
		return err
	}
	var n int
	switch do {
	case "restore":
		var d tags.Deletion
		d, err = s.desk.BringBack(c, id)
		b.Done = d.What + " is back."
		return err
	case "purge":
		n, err = s.store.Purge(ctx, p.ID, id)
	case "purge older":
		n, err = s.purgeOlder(c)
	default:
		return tags.Fieldf(tags.Invalid, "do", "is no button of this page")
	}
	b.Done = strconv.Itoa(n) + " purged."
	return err
}

// mayBin refuses a purge by anyone but an owner, and one that was not confirmed;
// everybody who sees the page may bring back.
func mayBin(c echo.Context, do string) error {
	switch {
	case do == "restore":
		return nil
	case !door.RoleOf(c).Reaches(staff.Owner):
		return echo.NewHTTPError(http.StatusForbidden, "that is for a program's owner")
	case c.FormValue("sure") != "yes":
		return tags.Errorf(tags.Invalid, "check the box to confirm: what is purged cannot be brought back")
	}
	return nil
}

// purgeOlder purges what was deleted more than so many days ago.
func (s *Site) purgeOlder(c echo.Context) (int, error) {
	days, err := strconv.Atoi(c.FormValue("days"))
	if err != nil || days < 0 || days > 36500 {
		return 0, tags.Fieldf(tags.Invalid, "days", "must be 0 to 36500")
	}
	return s.desk.PurgeOlder(c.Request().Context(), door.ProgramOf(c).ID, days)
}

func (s *Site) showBin(c echo.Context, status int, b *bin) error {
	page, err := s.desk.Deletions(c)
	if err != nil {
		return err
	}
	b.Program, b.Owner, b.Next = door.ProgramOf(c), door.RoleOf(c).Reaches(staff.Owner), page.Next
	for _, d := range page.Items {
		need := s.desk.Restores(c, &d)
		b.Lines = append(b.Lines, binLine{d, door.RoleOf(c).Reaches(need), need})
	}
	sh, err := s.shell(c, "Trash", "", "deleted")
	if err != nil {
		return err
	}
	return s.show(c, status, sh, "deleted.html", b)
}
