package httpapi

import (
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// An opening is a link that lets one person in.
type opening struct {
	ExpiresAt time.Time `json:"expires_at"`
	Link      string    `json:"link"`
}

// invite answers with a link that lets one person in, once.
func (s *server) invite(c echo.Context) error {
	var in struct {
		Login *string    `json:"login"`
		Role  staff.Role `json:"role"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	link, err := s.invitation(c, in.Login, in.Role)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, opening{time.Now().Add(staff.InvitationLife).UTC(), link})
}

// invitation makes the path that lets one person into the program.
func (s *server) invitation(c echo.Context, login *string, role staff.Role) (string, error) {
	if s.door == nil {
		return "", errNoLogin
	}
	if err := inPerson(c); err != nil {
		return "", err
	}
	id := uuid.NullUUID{UUID: programOf(c).ID, Valid: true}
	maker, err := person(c)
	if err != nil {
		return "", err
	}
	secret, err := s.door.store.Invite(c.Request().Context(), staff.Invitation{Program: id, Login: login, Role: role,
		MadeBy: uuid.NullUUID{UUID: maker, Valid: true}})
	return "/join?invitation=" + secret, err
}

// openInvitations are those of the program that stand; behind no door there are none.
func (s *server) openInvitations(c echo.Context) ([]staff.Invitation, error) {
	if s.door == nil {
		return nil, nil
	}
	return s.door.store.Invitations(c.Request().Context(), programOf(c).ID)
}

func (s *server) invitations(c echo.Context) error {
	if err := inPerson(c); err != nil {
		return err
	}
	is, err := s.openInvitations(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(is))
}

// uninvite ends a link that nobody has opened yet.
func (s *server) uninvite(c echo.Context) error {
	id, err := uuid.Parse(c.Param("id"))
	if err != nil {
		return errNoInvitation
	}
	if err := s.endInvitation(c, id); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

var errNoInvitation = tags.Errorf(tags.NotFound, "there is no such invitation")

func (s *server) endInvitation(c echo.Context, id uuid.UUID) error {
	if err := inPerson(c); err != nil {
		return err
	}
	if s.door == nil {
		return errNoInvitation
	}
	return s.door.store.Uninvite(c.Request().Context(), programOf(c).ID, id)
}
