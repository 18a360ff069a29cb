package door

import (
	"cmp"
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
)

// ErrNoLogin is said where there is nobody to look after.
var ErrNoLogin = tags.Errorf(tags.Conflict, "this server runs without sign-in, so it has no staff list")

// person is the visitor's id; without sign-in there is none.
func person(c echo.Context) (uuid.UUID, error) {
	if w := Visitor(c); w != nil {
		return w.ID, nil
	}
	return uuid.Nil, ErrNoLogin
}

// InPerson refuses a token: who can come back by a link, or who is who, is for somebody
// who has signed in. A token that leaks would outlive itself otherwise.
func InPerson(c echo.Context) error {
	if w := Visitor(c); w != nil && w.Program.Valid {
		return echo.NewHTTPError(http.StatusForbidden, "not by a token: sign in")
	}
	return nil
}

// Rank changes a member's role, or removes them when role is "". Invitations are not the
// program's to see: behind a door that is done by the door's store.
func (d *Door) Rank(c echo.Context, person uuid.UUID, role staff.Role) error {
	if err := InPerson(c); err != nil {
		return err
	}
	store := cmp.Or(d.Keys, d.store)
	return store.SetRole(c.Request().Context(), ProgramOf(c).ID, person, role)
}

// Own limits what is asked for to the visitor's own, unless they are an owner.
func Own(c echo.Context) uuid.NullUUID {
	if w := Visitor(c); w != nil && !RoleOf(c).Reaches(staff.Owner) {
		return uuid.NullUUID{UUID: w.ID, Valid: true}
	}
	return uuid.NullUUID{}
}

// MakeToken makes a token of the visitor's own; its secret is seen this once.
func (d *Door) MakeToken(c echo.Context, label string, role staff.Role,
	days int) (t staff.Token, secret string, err error) {
	id, err := person(c)
	switch {
	case err != nil:
		return t, "", err
	case Visitor(c).Program.Valid:
		return t, "", InPerson(c)
	case !RoleOf(c).Reaches(role):
		return t, "", tags.Fieldf(tags.Invalid, "role", "is more than your own")
	case days < 1 || days > staff.MostTokenDays:
		return t, "", tags.Fieldf(tags.Invalid, "days", "must be 1 to %d", staff.MostTokenDays)
	}
	return d.store.MakeToken(c.Request().Context(), ProgramOf(c).ID, staff.Token{Person: id, Label: label, Role: role,
		ExpiresAt: time.Now().AddDate(0, 0, days).UTC()})
}

// Invite makes the path that lets one person into the program.
func (d *Door) Invite(c echo.Context, login *string, role staff.Role) (string, error) {
	if d.Keys == nil {
		return "", ErrNoLogin
	}
	if err := InPerson(c); err != nil {
		return "", err
	}
	id := uuid.NullUUID{UUID: ProgramOf(c).ID, Valid: true}
	maker, err := person(c)
	if err != nil {
		return "", err
	}
	secret, err := d.Keys.Invite(c.Request().Context(), staff.Invitation{Program: id, Login: login, Role: role,
		MadeBy: uuid.NullUUID{UUID: maker, Valid: true}})
	return "/join?invitation=" + secret, err
}

// Invitations are those of the program that stand; behind no door there are none.
func (d *Door) Invitations(c echo.Context) ([]staff.Invitation, error) {
	if d.Keys == nil {
		return nil, nil
	}
	return d.Keys.Invitations(c.Request().Context(), ProgramOf(c).ID)
}

// ErrNoInvitation is said of a link that is none of the program's.
var ErrNoInvitation = tags.Errorf(tags.NotFound, "there is no such invitation")

// EndInvitation takes a link back that nobody has opened yet.
func (d *Door) EndInvitation(c echo.Context, id uuid.UUID) error {
	if err := InPerson(c); err != nil {
		return err
	}
	if d.Keys == nil {
		return ErrNoInvitation
	}
	return d.Keys.Uninvite(c.Request().Context(), ProgramOf(c).ID, id)
}
