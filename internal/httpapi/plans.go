package httpapi

import (
	"context"
	"encoding/json"
	"net/http"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/plan"
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

// A planIn asks for a new plan.
type planIn struct {
	OpponentID uuid.UUID  `json:"opponent_id"`
	GameID     *uuid.UUID `json:"game_id"`
	Label      string     `json:"label"`
	CopyOf     *uuid.UUID `json:"copy_of"`
}

// A planChange is what the coordinator changes in a plan.
type planChange struct {
	GameID  *uuid.UUID      `json:"game_id"`
	Label   string          `json:"label"`
	Choices []plan.ChoiceIn `json:"choices"`
}

// planOut is the wire form of a plan.
type planOut struct {
	tags.PlanHead
	MadeAt     time.Time     `json:"made_at"`
	Plays      int           `json:"plays"`
	Situations []situatedOut `json:"situations"`
}

// situatedOut is a situation with what the two ways to call it give up.
type situatedOut struct {
	plan.Situation
	Recommended *plan.Price `json:"recommended_price,omitempty"`
	Own         *plan.Price `json:"own_price,omitempty"`
}

func planOf(p tags.Plan) (planOut, error) {
	content, err := plan.Read(p.Content)
	out := planOut{p.PlanHead, content.MadeAt, content.Plays, []situatedOut{}}
	for i := range content.Situations {
		x := &content.Situations[i]
		out.Situations = append(out.Situations, situatedOut{*x, x.Recommended(), x.Own()})
	}
	return out, err
}

// asPlan brings the plan that an error carries to its wire form.
func asPlan(err error) error {
	if e := tags.As(err); e != nil {
		if now, ok := e.Current.(tags.Plan); ok {
			out, bad := planOf(now)
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
	out, err := planOf(p)
	if err != nil {
		return err
	}
	return answer(c, code, p.Identity(), out)
}

func (s *server) createPlan(c echo.Context) error {
	in, err := body(c, func(context.Context, *planIn) error { return nil })
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
func (s *server) newPlan(c echo.Context, in planIn, key string) (p tags.Plan, err error) {
	who, err := analyst(c)
	if err != nil {
		return p, err
	}
	ctx, program := c.Request().Context(), programOf(c)
	var content plan.Content
	if in.CopyOf != nil {
		content, err = s.copied(ctx, program.ID, in)
	} else {
		content, err = ask.Snapshot(ctx, s.store, program, in.OpponentID)
	}
	if err != nil {
		return p, err
	}
	p = tags.Plan{PlanHead: tags.PlanHead{OpponentID: in.OpponentID, GameID: in.GameID, Label: in.Label}}
	if p.Content, err = json.Marshal(content); err != nil {
		return p, err
	}
	return s.store.Plans().By(who).CreateAsked(ctx, program.ID, key, in, p)
}

// copied is the content of the plan to copy.
func (s *server) copied(ctx context.Context, program uuid.UUID, in planIn) (out plan.Content, err error) {
	of, err := s.store.Plans().Get(ctx, program, *in.CopyOf)
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		return out, tags.Fieldf(tags.Invalid, "copy_of", "there is no plan %s", in.CopyOf)
	}
	if err != nil {
		return out, err
	}
	if of.OpponentID != in.OpponentID {
		return out, tags.Fieldf(tags.Invalid, "copy_of", "%s is against another opponent", of.Label)
	}
	return plan.Read(of.Content)
}

// replacePlan stores the coordinator's label, game and choices over the version
// that was seen.
func (s *server) replacePlan(c echo.Context) error {
	in, err := body(c, func(context.Context, *planChange) error { return nil })
	if err != nil {
		return err
	}
	return s.changePlan(c, func(p *tags.Plan, content *plan.Content) error {
		p.Label, p.GameID = in.Label, in.GameID
		return content.Choose(in.Choices)
	})
}

func (s *server) lockPlan(c echo.Context) error {
	return s.changePlan(c, func(p *tags.Plan, _ *plan.Content) error { return lock(c, p) })
}

// lock marks a plan as locked by whoever asks.
func lock(c echo.Context, p *tags.Plan) error {
	who, err := analyst(c)
	now := time.Now()
	p.LockedAt = &now
	if who != "" {
		p.LockedBy = &who
	}
	return err
}

func (s *server) refreshPlan(c echo.Context) error {
	return s.changePlan(c, func(p *tags.Plan, content *plan.Content) error { return s.refresh(c, p, content) })
}

// refresh takes the snapshot anew and keeps the choices.
func (s *server) refresh(c echo.Context, p *tags.Plan, content *plan.Content) error {
	fresh, err := ask.Snapshot(c.Request().Context(), s.store, programOf(c), p.OpponentID)
	if err != nil {
		return err
	}
	*content, err = content.Refreshed(fresh)
	return err
}

// changePlan answers with the plan of the path as change left it.
func (s *server) changePlan(c echo.Context, change func(*tags.Plan, *plan.Content) error) error {
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
func (s *server) storePlan(c echo.Context, id uuid.UUID, seen int64, change func(*tags.Plan, *plan.Content) error) (p tags.Plan, err error) {
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
		content, err := plan.Read(p.Content)
		if err == nil {
			err = change(&p, &content)
		}
		if err == nil {
			p.Content, err = json.Marshal(content)
		}
		if err != nil {
			return p, err
		}
	}
	return s.store.Plans().By(who).Replace(ctx, program, id, seen, p)
}
