package httpapi

import (
	"context"
	"net/http"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/desk"
	"overhang/internal/door"
	"overhang/internal/reports"
	"overhang/internal/tags"
)

// plans serves the game plans of a program.
func (s *server) plans(g *echo.Group) {
	g.GET("/plans", func(c echo.Context) error { return list(c, s.store.PlanHeads()) })
	g.POST("/plans", s.createPlan)
	g.GET("/plans/:id", s.getPlan)
	g.PUT("/plans/:id", s.replacePlan)
	g.DELETE("/plans/:id", func(c echo.Context) error { return asPlan(remove(c, "plans", s.store.Plans())) })
	g.POST("/plans/:id/lock", s.lockPlan)
	g.POST("/plans/:id/refresh", s.refreshPlan)
}

// asPlan brings the plan that an error carries to its wire form.
func asPlan(err error) error {
	if e := tags.As(err); e != nil {
		if now, ok := e.Current.(tags.Plan); ok {
			out, bad := ask.ReadPlan(now)
			if e.Current = out; bad != nil {
				return bad
			}
		}
	}
	return err
}

func (s *server) getPlan(c echo.Context) error {
	id, err := desk.Identity(c, "plans")
	if err != nil {
		return err
	}
	p, err := s.store.Plans().Get(c.Request().Context(), door.ProgramOf(c).ID, id)
	if f := form(c); err != nil || f != "csv" && f != "xlsx" {
		return answerPlan(c, http.StatusOK, p, err)
	}
	out, err := ask.ReadPlan(p)
	if err != nil {
		return err
	}
	return sent(c, sheetOf(reports.PlanSheet, &out), out)
}

func answerPlan(c echo.Context, code int, p tags.Plan, err error) error {
	if err != nil {
		return asPlan(err)
	}
	out, err := ask.ReadPlan(p)
	if err != nil {
		return err
	}
	return answer(c, code, p.Identity(), out)
}

func (s *server) createPlan(c echo.Context) error {
	in, err := body(c, func(context.Context, *ask.PlanQuestion) error { return nil })
	if err != nil {
		return err
	}
	key, err := idempotencyKey(c)
	if err != nil {
		return err
	}
	p, err := s.desk.NewPlan(c, in, key)
	if err == nil {
		c.Response().Header().Set(echo.HeaderLocation, c.Request().URL.Path+"/"+p.ID.String())
	}
	return answerPlan(c, http.StatusCreated, p, err)
}

// replacePlan stores the coordinator's label, game and choices over the version
// that was seen.
func (s *server) replacePlan(c echo.Context) error {
	in, err := body(c, func(context.Context, *ask.PlanChange) error { return nil })
	if err != nil {
		return err
	}
	return s.changePlan(c, func(p *ask.OpenPlan) error {
		p.Label, p.GameID = in.Label, in.GameID
		return p.Choose(in.Choices)
	})
}

func (s *server) lockPlan(c echo.Context) error {
	return s.changePlan(c, func(p *ask.OpenPlan) error { return desk.Lock(c, p) })
}

func (s *server) refreshPlan(c echo.Context) error {
	return s.changePlan(c, func(p *ask.OpenPlan) error {
		return p.Refresh(c.Request().Context(), s.store, door.ProgramOf(c))
	})
}

// changePlan answers with the plan of the path as change left it.
func (s *server) changePlan(c echo.Context, change func(*ask.OpenPlan) error) error {
	id, err := desk.Identity(c, "plans")
	if err != nil {
		return err
	}
	seen, err := ifMatch(c)
	if err != nil {
		return err
	}
	p, err := s.desk.StorePlan(c, id, seen, change)
	return answerPlan(c, http.StatusOK, p, err)
}
