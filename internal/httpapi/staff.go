package httpapi

import (
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/desk"
	"overhang/internal/door"
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
}

// A caller is who the server takes a caller for.
type caller struct {
	Login     string     `json:"login,omitempty"`
	Name      string     `json:"name,omitempty"`
	PersonID  *uuid.UUID `json:"person_id,omitempty"`
	SignedIn  bool       `json:"signed_in"`
	TokenRole staff.Role `json:"token_role,omitempty"` // of the token they came with
}

// me says who the server takes the caller for.
func (s *server) me(c echo.Context) error {
	w := door.Visitor(c)
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
	ms, err := s.store.Members(c.Request().Context(), door.ProgramOf(c).ID)
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
	if err := s.door.Rank(c, id, role); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func (s *server) tokens(c echo.Context) error {
	ts, err := s.store.Tokens(c.Request().Context(), door.ProgramOf(c).ID, door.Own(c))
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
	t, secret, err := s.door.MakeToken(c, in.Label, in.Role, in.Days)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, madeToken{t.ExpiresAt, t.ID, t.Label, t.Role, secret})
}

func (s *server) revoke(c echo.Context) error {
	id, err := desk.Identity(c, "tokens")
	if err != nil {
		return err
	}
	if err := s.store.Revoke(c.Request().Context(), door.ProgramOf(c).ID, id, door.Own(c)); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
