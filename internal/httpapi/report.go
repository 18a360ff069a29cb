package httpapi

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports"
	"overhang/internal/reports/paper"
	"overhang/internal/stress/field"
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

// stressReport answers GET .../opponents/{opponent}/reports/stress.
func (s *server) stressReport(c echo.Context) error {
	o, err := s.opponent(c)
	if err != nil {
		return err
	}
	f := filters(c)
	b, set, err := s.board(c, o, f)
	if err != nil {
		return err
	}
	r := reports.BuildStress(programOf(c), o, f, b, plan.Cases(&b, reports.WorstCases, set.calls))
	return reported(c, &r)
}

// opponentReport answers GET .../opponents/{opponent}/reports/opponent.
func (s *server) opponentReport(c echo.Context) error {
	o, err := s.opponent(c)
	if err != nil {
		return err
	}
	ctx, p, f := c.Request().Context(), programOf(c), filters(c)
	rows, err := s.store.ConceptRows(ctx, p, o.ID, f)
	if err != nil {
		return err
	}
	level, err := field.ParseLevel(p.Level)
	if err != nil {
		return err
	}
	r := reports.BuildOpponent(p, o, level, f, plan.Concepts(rows))
	f["opponent"] = []string{o.Code}
	for _, k := range reports.Kinds {
		if err := s.breakdown(ctx, p, &r, k, f); err != nil {
			return err
		}
	}
	if r.Tells, _, err = s.findTells(ctx, p, reports.Asked, nil, nil, f, usualFalse); err != nil {
		return err
	}
	if f["games_ago"] == nil {
		for _, recent := range reports.Recents {
			for _, of := range reports.Asked {
				t, err := s.findTrend(ctx, p, of, recent, allGames, f, usualFalse)
				if err != nil {
					return err
				}
				r.Trends = append(r.Trends, reports.Trend{Recent: recent, Trend: t})
			}
		}
	}
	return reported(c, &r)
}

// breakdown counts one kind of groups, each with its concepts.
func (s *server) breakdown(ctx context.Context, p tags.Program, r *reports.OpponentReport, k reports.Kind, f map[string][]string) error {
	groups, err := s.store.Tendencies(ctx, p, tags.TendencyQuery{By: k.By, Filters: f})
	if err != nil {
		return err
	}
	var within tags.Tendency
	if !slices.Contains(k.By, "concept") {
		if within, err = s.store.Tendencies(ctx, p, tags.TendencyQuery{By: append(slices.Clone(k.By), "concept"), Filters: f}); err != nil {
			return err
		}
	}
	r.Add(p, k, groups, within)
	return nil
}

// A report can be laid out; as JSON it is itself.
type report interface {
	Document(time.Time) *paper.Document
}

// reported answers with a report in the format that was asked for.
func reported(c echo.Context, r report) error {
	if reportFormat(c) == "json" {
		return c.JSON(http.StatusOK, r)
	}
	return printed(c, r.Document(time.Now()))
}

// printed answers with a document in the format that was asked for, not JSON.
func printed(c echo.Context, d *paper.Document) error {
	format := reportFormat(c)
	if format != "html" {
		c.Response().Header().Set(echo.HeaderContentDisposition, `inline; filename="`+d.Name+`.`+format+`"`)
	}
	return written(c, paper.Formats[format], func(w io.Writer) error { return d.Write(w, format) })
}

// reportFormat is what format or else Accept asks for, JSON when neither does.
func reportFormat(c echo.Context) string {
	if f := c.QueryParam("format"); f != "" {
		return f // the contract knows which there are
	}
	accept := c.Request().Header.Get("Accept")
	for _, f := range []string{"html", "pdf", "csv", "xlsx"} {
		kind, _, _ := strings.Cut(paper.Formats[f], ";")
		if strings.Contains(accept, kind) {
			return f
		}
	}
	return "json"
}

// written answers only once all of it is there.
func written(c echo.Context, kind string, write func(io.Writer) error) error {
	return writtenAs(c, http.StatusOK, kind, write)
}

// writtenAs is written with another status.
func writtenAs(c echo.Context, status int, kind string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	return c.Blob(status, kind, b.Bytes())
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
	b, _, err := s.board(c, o, nil)
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
	e.POST("/programs/:program/opponents/:opponent/cell", s.cellForm)
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
	ps, err := s.programs(c)
	if err != nil {
		return err
	}
	var out []entry
	for _, p := range ps {
		os, err := s.store.Opponents().List(postgres.InProgram(c.Request().Context(), p.ID), p.ID, postgres.Page{Limit: 200, After: uuid.Nil})
		if err != nil {
			return err
		}
		out = append(out, entry{p, os})
	}
	return written(c, "text/html; charset=utf-8", func(w io.Writer) error {
		return reports.Execute(w, "programs.html", map[string]any{"Who": who(c), "Programs": out})
	})
}
