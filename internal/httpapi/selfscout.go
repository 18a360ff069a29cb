package httpapi

import (
	"context"
	"slices"

	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// selfScout answers GET .../reports/self-scout.
func (s *server) selfScout(c echo.Context) error {
	ctx, p, f := c.Request().Context(), programOf(c), filters(c)
	if f["ours"] != nil {
		return tags.Fieldf(tags.Invalid, "ours", "a self-scout is of our own games")
	}
	book, _, err := callbook(ctx, s.store, p)
	if err != nil {
		return err
	}
	only := map[string][]string{"ours": {"yes"}}
	for d, vs := range f {
		only[d] = vs
	}
	counted := func(by ...string) (t tags.Tendency, err error) {
		return s.store.Tendencies(ctx, p, tags.TendencyQuery{By: by, Filters: only})
	}
	games, err := counted("opponent", "game")
	if err != nil {
		return err
	}
	calls, err := counted("coverage")
	if err != nil {
		return err
	}
	r := reports.BuildSelfScout(p, f, book, games, calls)
	for _, k := range reports.SelfScoutKinds {
		t, err := counted(append(slices.Clone(k.By), "coverage")...)
		if err != nil {
			return err
		}
		r.Add(p, k, book, t)
	}
	if r.Tells, _, err = s.findTells(ctx, p, reports.SelfScoutAsked, nil, nil, only, usualFalse); err != nil {
		return err
	}
	return reported(c, &r)
}

// callbook reads what the coverages of our games mean: the program's calls, then
// the built-in ones; with the vocabulary it goes by.
func callbook(ctx context.Context, store *postgres.Store, p tags.Program) (book plan.Callbook, v *tags.Vocabulary, err error) {
	if v, err = store.Vocabulary(ctx, p.ID); err != nil {
		return book, v, err
	}
	calls, err := compiled(ctx, store, p, nil)
	if err != nil {
		return book, v, err
	}
	for _, b := range call.Book() {
		calls = append(calls, plan.Named{Name: b.Call.Name, Plan: b})
	}
	return plan.NewCallbook(v, calls), v, nil
}
