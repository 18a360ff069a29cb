package desk

import (
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/door"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// NewPlan stores a plan: a copy of another, or a snapshot of now with nothing chosen.
func (d *Desk) NewPlan(c echo.Context, in ask.PlanQuestion, key string) (p tags.Plan, err error) {
	who, err := Analyst(c)
	if err != nil {
		return p, err
	}
	ctx, program := c.Request().Context(), door.ProgramOf(c)
	if p, err = ask.NewPlan(ctx, d.Store, program, in); err != nil {
		return p, err
	}
	return d.Store.Plans().By(who).CreateAsked(ctx, program.ID, key, in, p)
}

// Lock marks a plan as locked by the one who asks.
func Lock(c echo.Context, p *ask.OpenPlan) error {
	who, err := Analyst(c)
	now := time.Now()
	p.LockedAt = &now
	if who != "" {
		p.LockedBy = &who
	}
	return err
}

// StorePlan changes a plan in the version that was seen: Stale when that is not
// the one there is, Conflict when it is locked.
func (d *Desk) StorePlan(c echo.Context, id uuid.UUID, seen int64,
	change func(*ask.OpenPlan) error) (p tags.Plan, err error) {
	who, err := Analyst(c)
	if err != nil {
		return p, err
	}
	ctx, program := c.Request().Context(), door.ProgramOf(c).ID
	if p, err = d.Store.Plans().Get(ctx, program, id); err != nil {
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
	return d.Store.Plans().By(who).Replace(ctx, program, id, seen, p)
}
