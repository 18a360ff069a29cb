package httpapi

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports"
	"overhang/internal/stress"
	"overhang/internal/tags"
)

// cellPage shows one cell of the stress board: the picture drawn, who is in
// conflict between which two threats, when, by how much, under which rule, and
// what would answer it.
func (s *server) cellPage(c echo.Context) error { return s.showCell(c, http.StatusOK, "") }

// showCell shows the page; wrong is why what was asked of it was not done.
func (s *server) showCell(c echo.Context, status int, wrong string) error {
	if c.QueryParam("call") == "" || c.QueryParam("concept") == "" {
		return tags.Errorf(tags.Invalid, "name a call and a concept")
	}
	cell, b, err := s.cellBench(c)
	if err != nil {
		return err
	}
	ctx := c.Request().Context()
	r, err := b.run.Play(ctx, b.call, 0)
	if err != nil {
		return err
	}
	main, err := chosen(c, plan.Told(r))
	if err != nil {
		return err
	}
	query := url.Values{}
	for name, vs := range c.QueryParams() {
		if name == "call" || slices.Contains(tags.Dimensions, name) {
			query[name] = vs
		}
	}
	column, err := plan.Build(ctx, cell.calls, []plan.Concept{cell.concept}, cell.concept.Plays, cell.level, cell.situation)
	if err != nil {
		return err
	}
	page := reports.BuildCell(programOf(c), cell.opponent, &column, r, main, query)
	page.May, page.Wrong, page.From = mayPlan(c), wrong, c.QueryParam("from")
	if main >= 0 {
		if err := b.cure(ctx, &page, r, main); err != nil {
			return err
		}
	}
	return writtenAs(c, status, "text/html; charset=utf-8", page.WriteHTML)
}

// perPage is how many answers of a kind a page has room for.
const perPage = 2

// cure adds to a page what would cure a finding, and its sweeps.
func (b *bench) cure(ctx context.Context, page *reports.CellSheet, r *stress.Result, found int) error {
	as, err := b.answersTo(ctx, r, found, perPage)
	if err != nil {
		return err
	}
	page.Cures = &as
	defender, receiver := plan.Moves(r, &r.Findings[found])
	stand, err := b.run.Stands(ctx, b.call, 0, defender, usualReach)
	if err != nil {
		return err
	}
	var depths *plan.Depths
	if receiver != "" {
		if depths, err = b.run.Breaks(ctx, b.call, 0, receiver, shallowest, deepest, depthStep); err != nil {
			return err
		}
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
	_, b, err := s.cellBench(c)
	if err != nil {
		return "", err
	}
	ctx := c.Request().Context()
	r, err := b.run.Play(ctx, b.call, 0)
	if err != nil {
		return "", err
	}
	main, err := chosen(c, plan.Told(r))
	if err != nil {
		return "", err
	}
	as, err := b.answersTo(ctx, r, main, perPage)
	if err != nil {
		return "", err
	}
	i := slices.IndexFunc(as.Items, func(a reports.Answer) bool { return a.Words == c.FormValue("change") })
	if i < 0 {
		return "", tags.Errorf(tags.Conflict, "that change is not among the answers: plays, calls or the page's question have changed meanwhile; nothing was stored")
	}
	name = strings.TrimSpace(c.FormValue("name"))
	changed := *as.Items[i].Call
	changed.Name = name
	body, err := changed.Encode()
	if err != nil {
		return "", err
	}
	v := tags.Call{Name: name, Active: true, Body: body}
	if err := checkCall(ctx, &v); err != nil {
		return "", err
	}
	who, err := analyst(c)
	if err != nil {
		return "", err
	}
	_, err = s.store.Calls().By(who).CreateOnce(c.Request().Context(), programOf(c).ID, "", v)
	return name, err
}
