package httpapi

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports"
	"overhang/internal/tags"
)

// cellPage shows one cell of the stress board: the picture drawn, who is in
// conflict between which two threats, when, by how much, under which rule, and
// what would answer it.
func (s *server) cellPage(c echo.Context) error { return s.showCell(c, http.StatusOK, "") }

// showCell shows the page; wrong is why what was asked of it was not done.
func (s *server) showCell(c echo.Context, status int, wrong string) error {
	q, err := s.cellQuestion(c)
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	cell, b, err := ask.CellBench(ctx, s.store, q)
	if err != nil {
		return err
	}
	query := url.Values{}
	for name, vs := range c.QueryParams() {
		if name == "call" || slices.Contains(tags.Dimensions, name) {
			query[name] = vs
		}
	}
	column, err := cell.Column(ctx)
	if err != nil {
		return err
	}
	page := reports.BuildCell(q.Program, q.Opponent, &column, b.Played.Result, b.Found, query)
	page.May, page.Wrong, page.From = mayPlan(c), wrong, c.QueryParam("from")
	if b.Found >= 0 {
		if err := cure(ctx, &page, b); err != nil {
			return err
		}
	}
	sh, err := s.shell(c, page.Call+" against "+page.Concept.Concept, "board", "")
	if err != nil {
		return err
	}
	sh.Wide, sh.Scripts = true, []string{"callkit.js", "fieldkit.js", "field.js"}
	sh.Styles = []string{"field.css"}
	return s.show(c, status, sh, "cell.html", &page)
}

// perPage is how many answers of a kind a page has room for.
const perPage = 2

// cure adds to a page what would cure the finding, and its sweeps.
func cure(ctx context.Context, page *reports.CellSheet, b *ask.Bench) error {
	cures, err := b.Fixes(ctx, perPage)
	if err != nil {
		return err
	}
	as, err := reports.BuildFixes(cures)
	if err != nil {
		return err
	}
	page.Fixes = &as
	stand, depths, err := b.Sweeps(ctx)
	if err != nil {
		return err
	}
	page.Sweep(stand, depths)
	return nil
}

// cellForm stores one of the page's answers as a call of the program's, and goes to
// the same cell under that call.
func (s *server) cellForm(c echo.Context) error {
	if !mayPlan(c) {
		return errNoPlanner
	}
	name, err := s.storeChange(c)
	if e := tags.As(err); e != nil && e.Kind != tags.Unavailable && e.Kind != tags.NotFound {
		return s.showCell(c, http.StatusUnprocessableEntity, e.Error())
	}
	if err != nil {
		return err
	}
	q := c.QueryParams()
	q.Set("from", q.Get("call"))
	q.Set("call", name)
	q.Del("finding")
	return c.Redirect(http.StatusSeeOther, c.Request().URL.Path+"?"+q.Encode())
}

// storeChange looks for the answers again and stores the one that the form names.
func (s *server) storeChange(c echo.Context) (name string, err error) {
	q, err := s.cellQuestion(c)
	if err != nil {
		return "", err
	}
	ctx := c.Request().Context()
	_, b, err := ask.CellBench(ctx, s.store, q)
	if err != nil {
		return "", err
	}
	name = strings.TrimSpace(c.FormValue("name"))
	v, err := b.Changed(ctx, perPage, c.FormValue("change"), name)
	if err != nil {
		return "", err
	}
	who, err := analyst(c)
	if err != nil {
		return "", err
	}
	_, err = s.store.Calls().By(who).CreateOnce(c.Request().Context(), programOf(c).ID, "", v)
	return name, err
}
