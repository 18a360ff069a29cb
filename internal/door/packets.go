package door

import (
	"cmp"
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// What a link for players opens, and where its quiz sends answers.
const (
	PacketPath  = "/packet"
	AnswersPath = "/v1/packet/answers"
)

// ForPlayers reports whether a route is one that a link for players opens.
func ForPlayers(path string) bool { return path == PacketPath || path == AnswersPath }

// Players is the link of a key while it stands, with its program, and a context that sees that
// program alone.
func (d *Door) Players(c echo.Context, key string) (staff.PacketLink, tags.Program, context.Context, error) {
	l, p, err := cmp.Or(d.Keys, d.store).PacketLink(c.Request().Context(), key)
	return l, p, postgres.InProgram(c.Request().Context(), p.ID), err
}

// LinkPlayers makes a link for a position group, for so many days, 0: a week; at is the path
// that it opens.
func (d *Door) LinkPlayers(c echo.Context, opponent uuid.UUID, group string,
	days int) (l staff.PacketLink, at string, err error) {
	if err := InPerson(c); err != nil {
		return l, "", err
	}
	const day = 24 * time.Hour
	if days < 0 || days > int(staff.PacketLife/day) {
		return l, "", tags.Fieldf(tags.Invalid, "days", "need 1 to 7")
	}
	l = staff.PacketLink{Program: ProgramOf(c).ID, Opponent: opponent, Group: group}
	if w := Visitor(c); w != nil {
		l.MadeBy = uuid.NullUUID{UUID: w.ID, Valid: true}
	}
	l, secret, err := d.store.MakePacketLink(c.Request().Context(), l, cmp.Or(time.Duration(days)*day, staff.PacketLife))
	return l, PacketPath + "?key=" + secret, err
}

// EndPlayers ends a link for players: one's own, an owner anybody's.
func (d *Door) EndPlayers(c echo.Context, id uuid.UUID) error {
	if err := InPerson(c); err != nil {
		return err
	}
	return d.store.EndPacketLink(c.Request().Context(), ProgramOf(c).ID, id, Own(c))
}
