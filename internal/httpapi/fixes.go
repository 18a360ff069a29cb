package httpapi

import (
	"strconv"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports"
	"overhang/internal/reports/drawing"
)

// bench is what a request asks to be tried: a cell of the opponent of its path, else
// the call and the picture of its body.
func (s *server) bench(c echo.Context) (*ask.Bench, error) {
	ctx := c.Request().Context()
	if c.Param("opponent") == "" {
		q, err := asked(c)
		if err != nil {
			return nil, err
		}
		return ask.PlayBench(ctx, q, c.QueryParam("over") == "picture", c.QueryParam("finding"))
	}
	q, err := s.desk.Cell(c)
	if err != nil {
		return nil, err
	}
	_, b, err := ask.CellBench(ctx, s.store, q)
	return b, err
}

// usualPerKind is how many answers of a kind are told when nobody says.
const usualPerKind = 3

// answers answers GET .../opponents/{opponent}/answers and POST /v1/answers.
func (s *server) answers(c echo.Context) error {
	b, err := s.bench(c)
	if err != nil {
		return err
	}
	cures, err := b.Fixes(c.Request().Context(), number(c, "per_kind", usualPerKind))
	if err != nil {
		return err
	}
	out, err := reports.BuildFixes(cures)
	if err != nil {
		return err
	}
	return sent(c, out.Sheet, out)
}

// sweepAlignment answers GET .../sweeps/alignment and POST /v1/sweeps/alignment.
func (s *server) sweepAlignment(c echo.Context) error {
	b, err := s.bench(c)
	if err != nil {
		return err
	}
	out, err := b.SweepAlignment(c.Request().Context(), c.QueryParam("defender"), number(c, "reach_yd", ask.UsualReach))
	if err != nil {
		return err
	}
	if kind := drawingKind(c, ""); kind != "" {
		d := drawing.AlignmentSweep(out, b.Call.Name)
		return drawn(c, d.List(widthOf(c)), kind)
	}
	return sent(c, sheetOf(reports.AlignmentSweepSheet, out), out)
}

// sweepBreak answers GET .../sweeps/break and POST /v1/sweeps/break.
func (s *server) sweepBreak(c echo.Context) error {
	b, err := s.bench(c)
	if err != nil {
		return err
	}
	out, err := b.SweepBreak(c.Request().Context(), c.QueryParam("receiver"), factor(c, "from_yd", ask.Shallowest),
		factor(c, "to_yd", ask.Deepest))
	if err != nil {
		return err
	}
	if kind := drawingKind(c, ""); kind != "" {
		d := drawing.BreakSweep(out, b.Call.Name)
		return drawn(c, d.List(widthOf(c)), kind)
	}
	return sent(c, sheetOf(reports.BreakSweepSheet, out), out)
}

// number is a parameter that the contract has checked, or what is usual.
func number(c echo.Context, name string, usual int) int {
	if n, err := strconv.Atoi(c.QueryParam(name)); err == nil {
		return n
	}
	return usual
}

// factor is a parameter that the contract has checked, or what is usual.
func factor(c echo.Context, name string, usual float64) float64 {
	if y, err := strconv.ParseFloat(c.QueryParam(name), 64); err == nil {
		return y
	}
	return usual
}
