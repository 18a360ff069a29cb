package httpapi

import (
	"bytes"
	"io"
	"maps"
	"mime"
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/door"
	"overhang/internal/reports"
	"overhang/internal/reports/paper"
)

func (s *server) gamePlan(c echo.Context) error {
	g, err := s.buildPlan(c)
	if err != nil {
		return err
	}
	switch {
	case form(c) == "csv":
		return written(c, "text/csv; charset=utf-8; header=present", g.WriteCSV)
	case form(c) == "html":
		return s.pages.GamePlan(c, g)
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
	o.Of(door.ProgramOf(c))
	switch {
	case c.Param("opponent") != "":
		o.Opponent, err = s.desk.Opponent(c)
	case c.Param("id") != "":
		o.Plan = c.Param("id")
	}
	if err != nil {
		return err
	}
	build := func() (*reports.Made, error) { return k.Build(c.Request().Context(), s.store, o) }
	if form(c) == "html" {
		return s.pages.Framed(c, k, build)
	}
	made, err := build()
	if err != nil {
		return err
	}
	if form(c) == "json" {
		return c.JSON(http.StatusOK, made.Data)
	}
	return printed(c, made.Document)
}

// named is a Content-Disposition (RFC 6266) whose file name cannot end early: quotes,
// backslashes and what is no printable ASCII are written otherwise.
func named(how, file string) string {
	return mime.FormatMediaType(how, map[string]string{"filename": file})
}

// printed answers with a document in the format that was asked for, not JSON.
func printed(c echo.Context, d *paper.Document) error {
	format := form(c)
	if format != "html" {
		c.Response().Header().Set(echo.HeaderContentDisposition, named("inline", d.Name+"."+format))
	}
	return written(c, paper.Formats[format], func(w io.Writer) error { return d.Write(w, format) })
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
	o, err := s.desk.Opponent(c)
	if err != nil {
		return nil, err
	}
	a, err := ask.GamePlan(c.Request().Context(), s.store, door.ProgramOf(c), o)
	if err != nil {
		return nil, err
	}
	return reports.Build(a), nil
}
