package httpapi

import (
	"net/http"
	"overhang/internal/desk"
	"overhang/internal/door"
	"strconv"

	"github.com/labstack/echo/v4"
)

// deletions serves what was deleted: to look at, to restore, to purge.
func (s *server) deletions(g *echo.Group) {
	g.GET("/deletions", s.listDeletions)
	g.DELETE("/deletions", s.purgeOld)
	g.DELETE("/deletions/:id", s.purge)
	g.POST("/deletions/:id/restore", s.restore)
}

func (s *server) listDeletions(c echo.Context) error {
	page, err := s.desk.Deletions(c)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, page)
}

// restore brings one deletion back, for who might have deleted it.
func (s *server) restore(c echo.Context) error {
	id, err := desk.Identity(c, "deletions")
	if err != nil {
		return err
	}
	d, err := s.desk.BringBack(c, id)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, d)
}

func (s *server) purge(c echo.Context) error {
	id, err := desk.Identity(c, "deletions")
	if err != nil {
		return err
	}
	n, err := s.store.Purge(c.Request().Context(), door.ProgramOf(c).ID, id)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]int{"purged": n})
}

func (s *server) purgeOld(c echo.Context) error {
	days, _ := strconv.Atoi(c.QueryParam("older_than_days")) // the contract has checked it
	n, err := s.desk.PurgeOlder(c.Request().Context(), door.ProgramOf(c).ID, days)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, map[string]int{"purged": n})
}
