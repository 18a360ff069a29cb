package ask

import (
	"context"
	"slices"
	"time"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// An Order asks for a report, or for a sheet that is carried onto the field.
type Order struct {
	Scope
	Plan     string // the plan it is of; of a sheet "" is the one locked last, NoPlan none
	Call     string // only this call, "" all
	Defender string // only this man, "" all
	ForGame  string // our game it is for, printed
	Date     time.Time
	dated    bool    // by the one who asked; else it is today
	Cards    int     // at most so many, 0: the usual number
	PerPage  int     // scout cards a side
	A4       bool    // else US letter
	Minutes  float64 // of a practice, 0: the usual day
	Percent  bool    // of a call sheet: with shares and chances
	Earlier  bool    // of a review: plays older than the plan too
}

// A PlannedAnswer is a plan to call a game from.
type PlannedAnswer struct {
	Head    tags.PlanHead
	Content plan.Content
	Calls   []plan.Named // the program's active ones as they are now
	ForGame string       // the label of the plan's game, "" it has none
}

// In are the calls of the plan on a down and a distance, the one meant most first: the
// coordinator's, else the recommended ones. None without a plan or such a situation.
func (p *PlannedAnswer) In(down, band string) (calls []string) {
	if p == nil {
		return nil
	}
	for i := range p.Content.Situations {
		s := &p.Content.Situations[i]
		if len(s.Where) == 2 && s.Where["down"] == down && s.Where["distance_band"] == band {
			picks, _, _ := s.Picks(PerBox)
			for _, x := range picks {
				calls = append(calls, x.Call)
			}
		}
	}
	return calls
}

// PerBox is how many calls a sheet carries into a situation where nobody chose.
const PerBox = 2

// NoPlan is how an order says that it wants what is recommended now.
const NoPlan = "none"

// Planned is the plan an order for a sheet is of: the one it names, else the one locked
// last, nil where there is none or it wants none. A call sheet under filters is of none:
// a plan has situations of its own.
func Planned(ctx context.Context, from Reads, o *Order) (*PlannedAnswer, error) {
	var p tags.Plan
	var err error
	switch o.Plan {
	case NoPlan:
		return nil, nil
	case "":
		p, err = from.LockedPlan(ctx, o.Program.ID, o.Opponent.ID)
		if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
			return nil, nil
		}
	default:
		p, err = named(ctx, from, o)
	}
	if err != nil {
		return nil, err
	}
	out := &PlannedAnswer{Head: p.PlanHead}
	if out.Content, err = plan.Read(p.Content); err != nil {
		return nil, err
	}
	if p.GameID != nil {
		g, err := from.Game(ctx, o.Program.ID, *p.GameID)
		if err != nil {
			return nil, err
		}
		out.ForGame = g.Label
	}
	out.Calls, err = o.activeCalls(ctx, from)
	return out, err
}

// named is the plan whose identity an order gives.
func named(ctx context.Context, from Reads, o *Order) (p tags.Plan, err error) {
	id, err := uuid.Parse(o.Plan)
	if err != nil {
		return p, tags.Fieldf(tags.Invalid, "plan", "%q is not the id of a plan", o.Plan)
	}
	if p, err = from.Plan(ctx, o.Program.ID, id); err == nil && p.OpponentID != o.Opponent.ID {
		return p, tags.Errorf(tags.NotFound, "there is no plan %s against that opponent", id)
	}
	return p, err
}

// Called are the names of the calls a plan carries onto the field: those chosen, elsewhere
// those recommended, each once, in the order of its situations.
func (a *PlannedAnswer) Called() (out []string) {
	for i := range a.Content.Situations {
		picks, _, _ := a.Content.Situations[i].Picks(PerBox)
		for _, p := range picks {
			if !slices.Contains(out, p.Call) {
				out = append(out, p.Call)
			}
		}
	}
	return out
}

// Chosen is in how many situations the coordinator chose.
func (a *PlannedAnswer) Chosen() (n int) {
	for i := range a.Content.Situations {
		if len(a.Content.Situations[i].Choice.Calls) > 0 {
			n++
		}
	}
	return n
}

// among keeps the calls of a plan; without a plan all of them. A call that is asked for by
// name is kept too.
func (a *PlannedAnswer) among(calls []plan.Named, asked string) []plan.Named {
	if a == nil {
		return calls
	}
	names := append(a.Called(), asked)
	return slices.DeleteFunc(slices.Clone(calls), func(c plan.Named) bool { return !slices.Contains(names, c.Name) })
}
