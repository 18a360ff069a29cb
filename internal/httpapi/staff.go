package httpapi

import (
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// staffRoutes serves who is who.
func (s *server) staffRoutes(e *echo.Echo, g *echo.Group) {
	e.GET("/v1/me", s.me)
	g.GET("/staff", s.members)
	g.POST("/staff", s.invite)
	g.PUT("/staff/:person", s.setRole)
	g.DELETE("/staff/:person", s.removeMember)
	g.GET("/invitations", s.invitations)
	g.DELETE("/invitations/:id", s.uninvite)
	g.GET("/tokens", s.tokens)
	g.POST("/tokens", s.makeToken)
	g.DELETE("/tokens/:id", s.revoke)
	e.GET(staffPath, s.staffPage)
	e.POST(staffPath, s.staffForm)
	if s.door != nil {
		e.GET("/sign-in", s.signInPage)
		e.POST("/sign-in", s.signIn)
		e.POST("/sign-out", s.signOut)
		e.GET("/join", s.joinPage)
		e.POST("/join", s.join)
	}
}

// A caller is who the server takes a caller for.
type caller struct {
	Login     string     `json:"login,omitempty"`
	Name      string     `json:"name,omitempty"`
	PersonID  *uuid.UUID `json:"person_id,omitempty"`
	SignedIn  bool       `json:"signed_in"`
	TokenRole staff.Role `json:"token_role,omitempty"` // of the token he came with
}

// me says who the server takes the caller for.
func (s *server) me(c echo.Context) error {
	w := who(c)
	if w == nil {
		return c.JSON(http.StatusOK, caller{})
	}
	out := caller{Login: w.Login, Name: w.Name, PersonID: &w.ID, SignedIn: true}
	if w.Program.Valid {
		out.TokenRole = w.Role
	}
	return c.JSON(http.StatusOK, out)
}

func (s *server) members(c echo.Context) error {
	ms, err := s.store.Members(c.Request().Context(), programOf(c).ID)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ms))
}

func (s *server) setRole(c echo.Context) error {
	var in struct {
		Role staff.Role `json:"role"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	return s.change(c, in.Role)
}

func (s *server) removeMember(c echo.Context) error { return s.change(c, "") }

func (s *server) change(c echo.Context, role staff.Role) error {
	id, err := uuid.Parse(c.Param("person"))
	if err != nil {
		return tags.Errorf(tags.NotFound, "there is no such member")
	}
	if err := s.rank(c, id, role); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

// inPerson refuses a token: who can come back by a link, or who is who, is for somebody
// who has signed in. A token that leaks would outlive itself otherwise.
func inPerson(c echo.Context) error {
	if w := who(c); w != nil && w.Program.Valid {
		return echo.NewHTTPError(http.StatusForbidden, "not by a token: sign in")
	}
	return nil
}

// rank changes a member's role, or takes him out when role is "". Invitations are not the
// program's to see: behind a door that is done by the door's store.
func (s *server) rank(c echo.Context, person uuid.UUID, role staff.Role) error {
	if err := inPerson(c); err != nil {
		return err
	}
	store := s.store
	if s.door != nil {
		store = s.door.store
	}
	return store.SetRole(c.Request().Context(), programOf(c).ID, person, role)
}

// own limits what is asked for to the visitor's own, unless he is an owner.
func own(c echo.Context) uuid.NullUUID {
	if w := who(c); w != nil && !roleOf(c).Reaches(staff.Owner) {
		return uuid.NullUUID{UUID: w.ID, Valid: true}
	}
	return uuid.NullUUID{}
}

func (s *server) tokens(c echo.Context) error {
	ts, err := s.store.Tokens(c.Request().Context(), programOf(c).ID, own(c))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(ts))
}

// A madeToken is a token with its secret.
type madeToken struct {
	ExpiresAt time.Time  `json:"expires_at"`
	ID        uuid.UUID  `json:"id"`
	Label     string     `json:"label"`
	Role      staff.Role `json:"role"`
	Token     string     `json:"token"`
}

// makeToken answers with the secret: the only time it is seen.
func (s *server) makeToken(c echo.Context) error {
	var in struct {
		Label string     `json:"label"`
		Role  staff.Role `json:"role"`
		Days  int        `json:"days"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	t, secret, err := s.newToken(c, in.Label, in.Role, in.Days)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, madeToken{t.ExpiresAt, t.ID, t.Label, t.Role, secret})
}

func (s *server) newToken(c echo.Context, label string, role staff.Role,
	days int) (t staff.Token, secret string, err error) {
	id, err := person(c)
	switch {
	case err != nil:
		return t, "", err
	case who(c).Program.Valid:
		return t, "", inPerson(c)
	case !roleOf(c).Reaches(role):
		return t, "", tags.Fieldf(tags.Invalid, "role", "is more than your own")
	case days < 1 || days > staff.MostTokenDays:
		return t, "", tags.Fieldf(tags.Invalid, "days", "need 1 to %d", staff.MostTokenDays)
	}
	return s.store.MakeToken(c.Request().Context(), programOf(c).ID, staff.Token{Person: id, Label: label, Role: role,
		ExpiresAt: time.Now().AddDate(0, 0, days).UTC()})
}

func (s *server) revoke(c echo.Context) error {
	id, err := identity(c, "tokens")
	if err != nil {
		return err
	}
	if err := s.store.Revoke(c.Request().Context(), programOf(c).ID, id, own(c)); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
