package pages

import (
	"net/url"
	"slices"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports"
	"overhang/internal/tags"
)

// cellPage shows one cell of the stress board: the picture drawn, who is in
// conflict between which two threats, when, by how much, under which rule. Its script
// asks the API for what would cure it.
func (s *Site) cellPage(c echo.Context) error {
	q, err := s.desk.Cell(c)
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	cell, b, err := ask.CellBench(ctx, s.store, q) // before the page is begun: it may not be there
	if err != nil {
		return err
	}
	sh, err := s.shell(c, q.Call+" against "+q.Concept, "board", "")
	if err != nil {
		return err
	}
	sh.Wide, sh.Styles = true, []string{"field.css"}
	sh.Scripts = []string{"callkit.js", "fieldkit.js", "field.js", "meeting.js"}
	return s.showLate(c, sh, "the play", "cell.html", func() (any, error) {
		column, err := cell.Column(ctx)
		if err != nil {
			return nil, err
		}
		page := reports.BuildCell(q.Program, q.Opponent, &column, b.Played.Result, b.Found, question(c))
		page.May, page.From = mayPlan(c), c.QueryParam("from")
		return &page, nil
	})
}

// question is the address's question of a cell, without how the page is looked at.
func question(c echo.Context) url.Values {
	out := url.Values{}
	for name, vs := range c.QueryParams() {
		if name == "call" || slices.Contains(tags.Dimensions, name) {
			out[name] = vs
		}
	}
	return out
}
