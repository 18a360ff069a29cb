package pages

import (
	"bytes"
	"overhang/internal/reports"

	"github.com/labstack/echo/v4"
)

// Framed answers with a document as a page of the program, with the other forms it comes in.
func (s *Site) Framed(c echo.Context, k reports.Kind, build func() (*reports.Made, error)) error {
	step := "print"
	if k.Scope == reports.OfPlan {
		step = "plans"
	}
	sh, err := s.shell(c, NewPrinted(k.Name, k.Title, "").Name, step, "")
	if err != nil {
		return err
	}
	return s.showLate(c, sh, "the "+k.Title, "report.html", func() (any, error) {
		made, err := build()
		if err != nil {
			return nil, err
		}
		var body bytes.Buffer
		if err := made.Document.WriteBody(&body); err != nil {
			return nil, err
		}
		return NewReport(c.Request().URL, body.String()), nil
	})
}
