package httpapi

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/reports"
	"overhang/internal/wire"
)

func (s *server) tendencies(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.Tendencies(c.Request().Context(), s.store, in, desk.Listed(c.QueryParam("by")),
		desk.Listed(c.QueryParam("within")))
	if err != nil {
		return err
	}
	return s.table(c, in, out.Total, &out.WhyEmpty, sheetOf(reports.TendencySheet, out), out)
}

// snaps lists the plays behind a cell, in the forms of tables.
func (s *server) snaps(c echo.Context) error {
	in, err := s.desk.Scope(c)
	if err != nil {
		return err
	}
	out, err := ask.Snaps(c.Request().Context(), s.store, in)
	if err != nil {
		return err
	}
	return s.table(c, in, out.Plays, &out.WhyEmpty, sheetOf(reports.SnapSheet, out), out)
}

// form is what an answer is to be, by parameter or by Accept, by the name that the parameter
// has for it; "" where neither says.
func form(c echo.Context) string {
	if f := c.QueryParam("format"); f != "" {
		return f // the contract knows which there are
	}
	return forms[wire.Chosen(c)]
}

var forms = map[string]string{"application/json": "json", "text/html": "html", "text/csv": "csv", spreadsheet: "xlsx",
	pdfType: "pdf", svgType: "svg", "text/vtt": "vtt"}

const spreadsheet = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// table answers in the form that was asked for. Where no play is behind the
// answer it says why: in the answer's own whyEmpty, as a note of the XLSX form, and
// in a header of all of them.
func (s *server) table(c echo.Context, in ask.Scope, plays int, whyEmpty *string, sheet func() reports.Sheet,
	answer any) error {
	var notes []string
	if plays == 0 {
		why, err := s.store.WhyNone(c.Request().Context(), in.Program, in.Filters)
		if err != nil {
			return err
		}
		*whyEmpty = why
		notes = []string{why}
		c.Response().Header().Set("Overhang-Why-Empty", why)
	}
	return sent(c, func() reports.Sheet {
		sh := sheet()
		sh.Notes = append(sh.Notes, notes...)
		return sh
	}, answer)
}

// sent answers with a sheet where a table was asked for, else with the JSON form.
func sent(c echo.Context, sheet func() reports.Sheet, answer any) error {
	switch form(c) {
	case "csv":
		sh := sheet()
		return written(c, "text/csv; charset=utf-8; header=present", sh.WriteCSV)
	case "xlsx":
		sh := sheet()
		c.Response().Header().Set(echo.HeaderContentDisposition, named("attachment", sh.Name+".xlsx"))
		return written(c, spreadsheet, sh.WriteXLSX)
	}
	return c.JSON(http.StatusOK, answer)
}

// sheetOf is an answer as a sheet, made where one is asked for only.
func sheetOf[T any](of func(T) reports.Sheet, answer T) func() reports.Sheet {
	return func() reports.Sheet { return of(answer) }
}
