package pages

import (
	"bytes"
	"net/http"
	"overhang/internal/reports"
	"overhang/internal/reports/paper"

	"github.com/labstack/echo/v4"
)

// Framed answers with a document as a page of the program, with the other forms it comes in.
func (s *Site) Framed(c echo.Context, k reports.Kind, d *paper.Document) error {
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
	return s.show(c, http.StatusOK, sh, "report.html", NewReport(c.Request().URL, body.String()))
}
