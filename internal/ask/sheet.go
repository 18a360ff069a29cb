package ask

import (
	"context"
	"time"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// An Order asks for a report, or for a sheet that is carried onto the field.
type Order struct {
	Scope
	Plan     string // of a call sheet or a review: the plan it is of, "" none
	Call     string // only this call, "" all
	Defender string // only this man, "" all
	ForGame  string // our game it is for, printed
	Date     time.Time
	Cards    int     // at most so many, 0: the usual number
	PerPage  int     // scout cards a side
	A4       bool    // else US letter
	Minutes  float64 // of a practice, 0: the usual day
	Earlier  bool    // of a review: plays older than the plan too
}

// A PlannedAnswer is a plan to call a game from.
type PlannedAnswer struct {
	Head    tags.PlanHead
	Content plan.Content
	Calls   []plan.Named // the program's active ones as they are now
	ForGame string       // the label of the plan's game, "" it has none
}

// Planned reads the plan that an order for a call sheet names.
func Planned(ctx context.Context, from Reads, o *Order) (out PlannedAnswer, err error) {
	id, err := uuid.Parse(o.Plan)
	switch {
	case len(o.Filters) > 0:
		return out, tags.Fieldf(tags.Invalid, "plan", "has situations and numbers of its own: leave the filters out")
	case err != nil:
		return out, tags.Fieldf(tags.Invalid, "plan", "%q is the id of no plan", o.Plan)
	}
	p, err := from.Plan(ctx, o.Program.ID, id)
	if err != nil {
		return out, err
	}
	if p.OpponentID != o.Opponent.ID {
		return out, tags.Errorf(tags.NotFound, "there is no plan %s against that opponent", id)
	}
	out.Head = p.PlanHead
	if out.Content, err = plan.Read(p.Content); err != nil {
		return out, err
	}
	if p.GameID != nil {
		g, err := from.Game(ctx, o.Program.ID, *p.GameID)
		if err != nil {
			return out, err
		}
		out.ForGame = g.Label
	}
	out.Calls, err = activeCalls(ctx, from, o.Program)
	return out, err
}
