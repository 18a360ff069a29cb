package pages

import (
	"net/http"
	"strconv"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// staffPages serves a program's people and, where there is one, the door.
func (s *Site) staffPages(e *echo.Echo) {
	e.GET(door.StaffPath, s.staffPage)
	e.POST(door.StaffPath, s.staffForm)
	if s.door.Keys == nil {
		return
	}
	e.GET("/sign-in", s.signInPage)
	e.POST("/sign-in", s.signIn)
	e.POST("/sign-out", s.signOut)
	e.GET("/join", s.joinPage)
	e.POST("/join", s.join)
}

// A staffRoom is what the page of a program's people shows.
type staffRoom struct {
	Program tags.Program
	Me      uuid.UUID
	Owner   bool
	Roles   []staff.Role
	Members []staff.Member
	Tokens  []staff.Token
	Links   []staff.Invitation // that stand; of owners alone
	Names   map[uuid.UUID]string
	Shares  tags.Shares
	Link    string // of an invitation just made
	Secret  string // of a token just made
	Wrong   string
}

// staffPage shows who is of the program, and one's tokens.
func (s *Site) staffPage(c echo.Context) error { return s.showStaff(c, http.StatusOK, &staffRoom{}) }

// staffForm does what one of the page's forms asks, and shows the page again.
func (s *Site) staffForm(c echo.Context) error {
	room := &staffRoom{}
	return again(s.doStaff(c, room), &room.Wrong, func(status int) error { return s.showStaff(c, status, room) })
}

func (s *Site) doStaff(c echo.Context, room *staffRoom) (err error) {
	id, _ := uuid.Parse(c.FormValue("id")) // none: nobody has the nil identity
	role := staff.Role(c.FormValue("role"))
	if role != "" && !role.Reaches(staff.Reader) {
		return tags.Fieldf(tags.Invalid, "role", "is not a role: use reader, analyst, coordinator or owner")
	}
	ctx, p := c.Request().Context(), door.ProgramOf(c)
	do := c.FormValue("do")
	if do != "token" && do != "revoke" && !door.RoleOf(c).Reaches(staff.Owner) {
		return echo.NewHTTPError(http.StatusForbidden, "that is for a program's owner")
	}
	association := strings.TrimSpace(c.FormValue("association"))
	switch do {
	case "invite":
		var login *string
		if l := strings.TrimSpace(c.FormValue("login")); l != "" {
			login = &l
		}
		if room.Link, err = s.door.Invite(c, login, role); err == nil {
			room.Link = atThisServer(c, room.Link)
		}
	case "uninvite":
		err = s.door.EndInvitation(c, id)
	case "role":
		err = s.door.Rank(c, id, role)
	case "remove":
		err = s.door.Rank(c, id, "")
	case "token":
		days, _ := strconv.Atoi(c.FormValue("days"))
		_, room.Secret, err = s.door.MakeToken(c, strings.TrimSpace(c.FormValue("label")), role, days)
	case "revoke":
		err = s.store.Revoke(ctx, p.ID, id, door.Own(c))
	case "give":
		err = s.door.GiveShare(c, association)
	case "take":
		err = s.door.TakeShare(c, association)
	case "open", "close":
		err = s.door.OpenAssociation(c, do == "open")
	default:
		err = tags.Fieldf(tags.Invalid, "do", "is no button of this page")
	}
	return err
}

func (s *Site) showStaff(c echo.Context, status int, room *staffRoom) (err error) {
	ctx := c.Request().Context()
	room.Program, room.Owner, room.Roles = door.ProgramOf(c), door.RoleOf(c).Reaches(staff.Owner), staff.Roles
	if w := door.Visitor(c); w != nil {
		room.Me = w.ID
	}
	if room.Members, err = s.store.Members(ctx, room.Program.ID); err != nil {
		return err
	}
	if room.Tokens, err = s.store.Tokens(ctx, room.Program.ID, door.Own(c)); err != nil {
		return err
	}
	if room.Shares, err = s.door.Shares(c); err != nil {
		return err
	}
	if room.Owner {
		if room.Links, err = s.door.Invitations(c); err != nil {
			return err
		}
	}
	room.Names = namesOf(room.Members)
	sh, err := s.shell(c, "Staff", "", "staff")
	if err != nil {
		return err
	}
	return s.show(c, status, sh, "staff.html", room)
}

func namesOf(members []staff.Member) map[uuid.UUID]string {
	out := map[uuid.UUID]string{}
	for _, m := range members {
		out[m.ID] = m.Name
	}
	return out
}
