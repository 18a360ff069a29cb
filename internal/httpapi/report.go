package httpapi

import (
	"bytes"
	"io"
	"net/http"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/reports"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

func (s *server) gamePlan(c echo.Context) error {
	g, err := s.buildPlan(c)
	if err != nil {
		return err
	}
	switch {
	case wants(c, "csv"):
		return written(c, "text/csv; charset=utf-8; header=present", g.WriteCSV)
	case wants(c, "html"):
		return written(c, "text/html; charset=utf-8", g.WriteHTML)
	}
	return c.JSON(http.StatusOK, g)
}

// written answers only once all of it is there.
func written(c echo.Context, kind string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	return c.Blob(http.StatusOK, kind, b.Bytes())
}

func (s *server) buildPlan(c echo.Context) (*reports.GamePlan, error) {
	o, err := s.opponent(c)
	if err != nil {
		return nil, err
	}
	ctx, p := c.Request().Context(), programOf(c)
	only := map[string][]string{"opponent": {o.Code}}
	byDown, err := s.store.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"down", "distance_band"}, Filters: only})
	if err != nil {
		return nil, err
	}
	byConcept, err := s.store.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"down", "distance_band", "concept"}, Filters: only})
	if err != nil {
		return nil, err
	}
	b, err := s.board(c, o, nil)
	if err != nil {
		return nil, err
	}
	g := reports.Build(p, o, byDown, byConcept, b)
	return &g, nil
}

// pages serves what a person reads.
func (s *server) pages(e *echo.Echo) {
	e.GET("/assets/style.css", func(c echo.Context) error { return c.Blob(http.StatusOK, "text/css", reports.Style()) })
	e.GET("/", s.front)
	e.GET("/programs/:program/opponents/:opponent/cell", s.cellPage)
	e.GET("/programs/:program/opponents/:opponent", func(c echo.Context) error {
		g, err := s.buildPlan(c)
		if err != nil {
			return err
		}
		return written(c, "text/html; charset=utf-8", g.WriteHTML)
	})
}

// front lists programs with their opponents.
func (s *server) front(c echo.Context) error {
	type entry struct {
		Program   tags.Program
		Opponents []tags.Opponent
	}
	ps, err := s.store.Programs(c.Request().Context())
	if err != nil {
		return err
	}
	var out []entry
	for _, p := range ps {
		os, err := s.store.Opponents().List(c.Request().Context(), p.ID, postgres.Page{Limit: 200, After: uuid.Nil})
		if err != nil {
			return err
		}
		out = append(out, entry{p, os})
	}
	return written(c, "text/html; charset=utf-8", func(w io.Writer) error { return reports.Execute(w, "programs.html", out) })
}
