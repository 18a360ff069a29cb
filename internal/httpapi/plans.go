package httpapi

import (
	"context"
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
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
	id, err := identity(c, "plans")
	if err != nil {
		return err
	}
	p, err := s.store.Plans().Get(c.Request().Context(), programOf(c).ID, id)
	return answerPlan(c, http.StatusOK, p, err)
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
	p, err := s.newPlan(c, in, key)
	if err == nil {
		c.Response().Header().Set(echo.HeaderLocation, c.Request().URL.Path+"/"+p.ID.String())
	}
	return answerPlan(c, http.StatusCreated, p, err)
}

// newPlan stores a plan: a copy of another, or a snapshot of now with nothing chosen.
func (s *server) newPlan(c echo.Context, in ask.PlanQuestion, key string) (p tags.Plan, err error) {
	who, err := analyst(c)
	if err != nil {
		return p, err
	}
	ctx, program := c.Request().Context(), programOf(c)
	if p, err = ask.NewPlan(ctx, s.store, program, in); err != nil {
		return p, err
	}
	return s.store.Plans().By(who).CreateAsked(ctx, program.ID, key, in, p)
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
	return s.changePlan(c, func(p *ask.OpenPlan) error { return lock(c, p) })
}

// lock marks a plan as locked by whoever asks.
func lock(c echo.Context, p *ask.OpenPlan) error {
	who, err := analyst(c)
	now := time.Now()
	p.LockedAt = &now
	if who != "" {
		p.LockedBy = &who
	}
	return err
}

func (s *server) refreshPlan(c echo.Context) error {
	return s.changePlan(c, func(p *ask.OpenPlan) error { return p.Refresh(c.Request().Context(), s.store, programOf(c)) })
}

// changePlan answers with the plan of the path as change left it.
func (s *server) changePlan(c echo.Context, change func(*ask.OpenPlan) error) error {
	id, err := identity(c, "plans")
	if err != nil {
		return err
	}
	seen, err := ifMatch(c)
	if err != nil {
		return err
	}
	p, err := s.storePlan(c, id, seen, change)
	return answerPlan(c, http.StatusOK, p, err)
}

// storePlan changes a plan in the version that was seen: Stale when that is not
// the one there is, Conflict when it is locked.
func (s *server) storePlan(c echo.Context, id uuid.UUID, seen int64,
	change func(*ask.OpenPlan) error) (p tags.Plan, err error) {
	who, err := analyst(c)
	if err != nil {
		return p, err
	}
	ctx, program := c.Request().Context(), programOf(c).ID
	if p, err = s.store.Plans().Get(ctx, program, id); err != nil {
		return p, err
	}
	if p.Version != seen {
		return p, postgres.Stale(seen, p)
	}
	if p.LockedAt == nil { // else the store refuses it
		if err := ask.Change(&p, change); err != nil {
			return p, err
		}
	}
	return s.store.Plans().By(who).Replace(ctx, program, id, seen, p)
}
