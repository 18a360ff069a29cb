package httpapi

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
)

// shareRoutes serves what programs give to associations, and an association's questions.
func (s *server) shareRoutes(g *echo.Group) {
	g.GET("/shares", s.shares)
	g.PUT("/shares/:association", s.giveShare)
	g.DELETE("/shares/:association", s.takeShare)
	g.PUT("/association", s.openAssociation)
	g.GET("/league", s.league)
}

func (s *server) shares(c echo.Context) error {
	out, err := s.door.Shares(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}

func (s *server) giveShare(c echo.Context) error {
	if err := s.door.GiveShare(c, c.Param("association")); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func (s *server) takeShare(c echo.Context) error {
	if err := s.door.TakeShare(c, c.Param("association")); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

func (s *server) openAssociation(c echo.Context) error {
	var in struct {
		Open bool `json:"open"`
	}
	if err := c.Bind(&in); err != nil {
		return err
	}
	if err := s.door.OpenAssociation(c, in.Open); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}

// league counts the plays of all programs that share with this one.
func (s *server) league(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.League(c.Request().Context(), s.store, in, desk.Listed(c.QueryParam("by")),
		desk.Listed(c.QueryParam("within")))
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, out)
}
