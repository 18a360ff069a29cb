package httpapi

import (
	"bytes"
	"io"
	"maps"
	"mime"
	"net/http"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/pages"
	"overhang/internal/reports"
	"overhang/internal/reports/paper"
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
		return s.showGamePlan(c, g)
	}
	return c.JSON(http.StatusOK, g)
}

// reports serves every kind of report and sheet.
func (s *server) reports(g *echo.Group) {
	served := map[string]bool{}
	for _, k := range reports.Kinds {
		if path := k.Path(); !served[path] {
			served[path] = true
			g.GET(path, func(c echo.Context) error { return s.report(c, k.Name, k.Scope) })
		}
	}
}

// reportCosts are what the routes of reports cost.
var reportCosts = func() map[string]cost {
	out := map[string]cost{}
	for _, k := range reports.Kinds {
		out["/v1/programs/:program"+k.Path()] = map[reports.Cost]cost{reports.Counting: byDatabase,
			reports.Playing: byEngine}[k.Cost]
	}
	return out
}()

// report answers with a report, or the sheet that the path names.
func (s *server) report(c echo.Context, name string, of reports.Scope) error {
	if of == reports.ForField {
		name = c.Param("kind")
	}
	k, err := reports.Lookup(name, of)
	if err != nil {
		return err
	}
	query := maps.Clone(c.QueryParams())
	delete(query, "format")
	o, err := ask.NewOrder(query, k.Takes)
	if err != nil {
		return err
	}
	o.Of(programOf(c))
	switch {
	case c.Param("opponent") != "":
		o.Opponent, err = s.opponent(c)
	case c.Param("id") != "":
		o.Plan = c.Param("id")
	}
	if err != nil {
		return err
	}
	made, err := k.Build(c.Request().Context(), s.store, o)
	if err != nil {
		return err
	}
	if reportFormat(c) == "json" {
		return c.JSON(http.StatusOK, made.Data)
	}
	if reportFormat(c) == "html" {
		return s.framed(c, k, made.Document)
	}
	return printed(c, made.Document)
}

// named is a Content-Disposition (RFC 6266) whose file name cannot end early: quotes,
// backslashes and what is no printable ASCII are written otherwise.
func named(how, file string) string {
	return mime.FormatMediaType(how, map[string]string{"filename": file})
}

// framed answers with a document as a page of the program, with the other forms it comes in.
func (s *server) framed(c echo.Context, k reports.Kind, d *paper.Document) error {
	step := "print"
	if k.Scope == reports.OfPlan {
		step = "plans"
	}
	sh, err := s.shell(c, d.Title, step, "")
	if err != nil {
		return err
	}
	var body bytes.Buffer
	if err := d.WriteBody(&body); err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "report.html", pages.NewReport(c.Request().URL, body.String()))
}

// printed answers with a document in the format that was asked for, not JSON.
func printed(c echo.Context, d *paper.Document) error {
	format := reportFormat(c)
	if format != "html" {
		c.Response().Header().Set(echo.HeaderContentDisposition, named("inline", d.Name+"."+format))
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
	a, err := ask.GamePlan(c.Request().Context(), s.store, programOf(c), o)
	if err != nil {
		return nil, err
	}
	return reports.Build(a), nil
}

// pages serves what a person reads.
func (s *server) pages(e *echo.Echo) {
	e.GET("/", s.front)
	e.GET("/programs/:program/opponents/:opponent/cell", s.cellPage)
	e.GET(opponentPath+"/board", s.boardPage)
}

// boardPage answers the question in its address.
func (s *server) boardPage(c echo.Context) error {
	in, err := s.scope(c)
	if err != nil {
		return err
	}
	sh, err := s.shell(c, "Board: "+in.Opponent.Name, "board", "")
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	seen, err := ask.Seen(ctx, s.store, in, "personnel", "set_name")
	if err != nil {
		return err
	}
	a, err := ask.First(ctx, s.store, in)
	if err != nil {
		return err
	}
	page := pages.NewBoard(in.Opponent, sh.Base(), sh.Home(), c.QueryParams(), &in.Program.Settings, seen)
	page.Fill(a)
	sh.Wide, sh.Styles, sh.Scripts = true, []string{"field.css"}, []string{"callkit.js", "board.js"}
	return s.show(c, http.StatusOK, sh, "board.html", page)
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
		os, err := s.store.Opponents().List(postgres.InProgram(c.Request().Context(), p.ID), p.ID, postgres.Page{Limit: 200,
			After: uuid.Nil})
		if err != nil {
			return err
		}
		out = append(out, entry{p, os})
	}
	sh, err := s.shell(c, "Programs", "", "")
	if err != nil {
		return err
	}
	return s.show(c, http.StatusOK, sh, "programs.html", out)
}

func (s *server) showGamePlan(c echo.Context, g *reports.GamePlan) error {
	sh, err := s.shell(c, "Board: "+g.Opponent, "board", "")
	if err != nil {
		return err
	}
	sh.Wide = true
	return s.show(c, http.StatusOK, sh, "gameplan.html", g)
}
