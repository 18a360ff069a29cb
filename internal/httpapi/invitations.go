package httpapi

import (
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/door"
	"overhang/internal/staff"
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
	link, err := s.door.Invite(c, in.Login, in.Role)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusCreated, opening{time.Now().Add(staff.InvitationLife).UTC(), link})
}

func (s *server) invitations(c echo.Context) error {
	if err := door.InPerson(c); err != nil {
		return err
	}
	is, err := s.door.Invitations(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, items(is))
}

// uninvite ends a link that nobody has opened yet.
func (s *server) uninvite(c echo.Context) error {
	id, err := uuid.Parse(c.Param("id"))
	if err != nil {
		return door.ErrNoInvitation
	}
	if err := s.door.EndInvitation(c, id); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
