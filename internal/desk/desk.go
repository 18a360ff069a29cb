// Package desk is what an answer of the API and a page both begin with: the opponent, the
// plays and the cell that a request is about, who asks for a change, and the few changes
// that both can make (plans, what was deleted). It answers nothing itself.
package desk

import (
	"context"
	"strconv"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/door"
	"overhang/internal/staff"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A Desk reads requests about what a store holds.
type Desk struct {
	Store *postgres.Store
	// Needs is the role that the document asks for at an operation.
	Needs func(method, path string) staff.Role
}

// Identity reads the id of the path; what is no id does not exist.
func Identity(c echo.Context, path string) (uuid.UUID, error) {
	id, err := uuid.Parse(c.Param("id"))
	if err != nil {
		return id, tags.Errorf(tags.NotFound, "there is no %s %q", strings.TrimSuffix(path, "s"), c.Param("id"))
	}
	return id, nil
}

// Analyst is who signed in; where nobody has to, who says they do it.
func Analyst(c echo.Context) (string, error) {
	if w := door.Visitor(c); w != nil {
		return w.Login, nil
	}
	name := strings.TrimSpace(c.Request().Header.Get("Analyst"))
	if !tags.Storable(name) {
		return "", tags.Fieldf(tags.Invalid, "Analyst", "is not UTF-8")
	}
	return name, nil
}

// Every reads all pages of a list.
func Every[T any, P postgres.Noun[T]](ctx context.Context, shelf postgres.Shelf[T, P], program uuid.UUID,
	filters map[string]string) ([]T, error) {
	const most = 500
	var out []T
	for after := uuid.Nil; ; {
		vs, err := shelf.List(ctx, program, postgres.Page{Limit: most, After: after, Filters: filters})
		if err != nil {
			return nil, err
		}
		out = append(out, vs...)
		if len(vs) < most {
			return out, nil
		}
		after = P(&vs[most-1]).Identity().ID
	}
}

// Opponent finds the opponent of the path, by id or by code.
func (d *Desk) Opponent(c echo.Context) (tags.Opponent, error) {
	ctx, p, word := c.Request().Context(), door.ProgramOf(c), c.Param("opponent")
	if id, err := uuid.Parse(word); err == nil {
		return d.Store.Opponents().Get(ctx, p.ID, id)
	}
	return d.Store.OpponentByCode(ctx, p.ID, word)
}

// Scope is which plays a request is about: of the opponent of its path, under its
// filters.
func (d *Desk) Scope(c echo.Context) (ask.Scope, error) {
	p, err := asking(c)
	if err != nil {
		return ask.Scope{}, err
	}
	out := ask.Scope{Program: p, Filters: filters(c)}
	if c.Param("opponent") != "" {
		out.Opponent, err = d.Opponent(c)
	}
	return out, err
}

// filters reads the dimension parameters.
func filters(c echo.Context) map[string][]string { return ask.Filters(c.QueryParams()) }

// Listed reads a comma separated parameter; nil for an empty one.
func Listed(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, ",")
}

// asking is the program with the cut points this one request asks for.
func asking(c echo.Context) (tags.Program, error) {
	p := door.ProgramOf(c)
	if s := c.QueryParam("success_percent"); s != "" {
		for i, v := range Listed(s) { // the contract has checked the form
			p.Settings.SuccessPercent[i], _ = strconv.Atoi(v)
		}
	}
	for name, at := range map[string]*int{"explosive_run_yd": &p.Settings.ExplosiveRunYd,
		"explosive_pass_yd": &p.Settings.ExplosivePassYd} {
		if s := c.QueryParam(name); s != "" {
			*at, _ = strconv.Atoi(s)
		}
	}
	return p, p.Validate()
}

// Cell is the cell that a request names.
func (d *Desk) Cell(c echo.Context) (q ask.CellQuestion, err error) {
	q = ask.CellQuestion{Concept: c.QueryParam("concept"), Call: c.QueryParam("call"), Finding: c.QueryParam("finding")}
	q.Scope, err = d.Scope(c)
	return q, err
}
