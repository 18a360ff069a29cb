package door

import (
	"cmp"

	"github.com/labstack/echo/v4"

	"overhang/internal/tags"
)

// Shares are what the program gave and was given. The other side's name is another program's
// to show, so all about shares is done by the door's store.
func (d *Door) Shares(c echo.Context) (tags.Shares, error) {
	return cmp.Or(d.Keys, d.store).Shares(c.Request().Context(), ProgramOf(c).ID)
}

// OpenAssociation says whether the program takes shares.
func (d *Door) OpenAssociation(c echo.Context, open bool) error {
	if err := InPerson(c); err != nil {
		return err
	}
	return cmp.Or(d.Keys, d.store).OpenAssociation(c.Request().Context(), ProgramOf(c).ID, open)
}

// GiveShare lets an association count the program's plays.
func (d *Door) GiveShare(c echo.Context, association string) error {
	if err := InPerson(c); err != nil {
		return err
	}
	return cmp.Or(d.Keys, d.store).GiveShare(c.Request().Context(), ProgramOf(c).ID, association)
}

// TakeShare takes a share back.
func (d *Door) TakeShare(c echo.Context, association string) error {
	if err := InPerson(c); err != nil {
		return err
	}
	return cmp.Or(d.Keys, d.store).TakeShare(c.Request().Context(), ProgramOf(c).ID, association)
}
