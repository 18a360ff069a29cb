package ask

import (
	"context"
	"time"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// mostReviewed bounds the plays of a review: the engine plays each of them again.
const mostReviewed = 1500

// A ReviewAnswer holds a plan against what happened.
type ReviewAnswer struct {
	Scope  // of the plays it was held against
	Head   tags.PlanHead
	MadeAt time.Time
	Gone   []string // situations of the plan that the program's bands do not define any more
	Review plan.Review
}

// Review holds a plan against our games with its opponent; of filters that name no
// game, against the plan's own, where it has one. Earlier says that plays older than
// the plan count too.
func Review(ctx context.Context, from Reads, in Scope, id uuid.UUID, earlier bool) (*ReviewAnswer, error) {
	for _, d := range []string{"opponent", "ours"} {
		if in.Filters[d] != nil {
			return nil, tags.Fieldf(tags.Invalid, d, "a review is of our games against the plan's opponent")
		}
	}
	stored, err := from.Plan(ctx, in.Program.ID, id)
	if err != nil {
		return nil, err
	}
	content, err := plan.Read(stored.Content)
	if err != nil {
		return nil, err
	}
	if in.Opponent, err = from.Opponent(ctx, in.Program.ID, stored.OpponentID); err != nil {
		return nil, err
	}
	if err := in.ofItsGame(ctx, from, &stored.PlanHead); err != nil {
		return nil, err
	}
	out := &ReviewAnswer{Scope: in, Head: stored.PlanHead, MadeAt: content.MadeAt}
	plays, within, gone, err := ourPlays(ctx, from, in, &content)
	if err != nil {
		return nil, err
	}
	out.Gone = gone
	book, v, err := in.callbook(ctx, from)
	if err != nil {
		return nil, err
	}
	former, err := from.FormerNames(ctx, in.Program.ID)
	if err != nil {
		return nil, err
	}
	content.Reword(v)
	content.Rename(former)
	level, err := field.ParseLevel(in.Program.Level)
	if err != nil {
		return nil, err
	}
	out.Review, err = plan.NewReview(ctx, &content, plan.OurPlays{Plays: plays, Within: within, Book: book, Level: level,
		Settings: in.Program.Settings}, earlier)
	return out, err
}

// ofItsGame narrows a scope that names no game to the plan's own, where it has one.
func (s *Scope) ofItsGame(ctx context.Context, from Reads, head *tags.PlanHead) error {
	f := s.with()
	if head.GameID == nil || f["game"] != nil || f["week"] != nil || f["games_ago"] != nil || f["season"] != nil {
		return nil
	}
	g, err := from.Game(ctx, s.Program.ID, *head.GameID)
	if err == nil {
		f["game"] = []string{g.Label}
		s.Filters = f
	}
	return err
}

// ourPlays are the plays of our games in a scope, and which of them are of each
// situation of a plan; gone are those of its situations that the program's bands do
// not define any more.
func ourPlays(ctx context.Context, from Reads, in Scope,
	content *plan.Content) (plays []tags.Play, within []map[uuid.UUID]bool, gone []string, err error) {
	if plays, err = from.OurPlays(ctx, in.Program, in.Opponent.ID, in.Filters, mostReviewed); err != nil {
		return nil, nil, nil, err
	}
	within = make([]map[uuid.UUID]bool, len(content.Situations))
	for i := range content.Situations {
		within[i] = map[uuid.UUID]bool{}
		only, ok := in.narrowed(content.Situations[i].Where)
		if !ok || len(plays) == 0 {
			continue
		}
		these, err := from.OurPlays(ctx, in.Program, in.Opponent.ID, only, mostReviewed)
		if e := tags.As(err); e != nil && e.Kind == tags.Invalid {
			gone = append(gone, content.Situations[i].Name)
		} else if err != nil {
			return nil, nil, nil, err
		}
		for _, x := range these {
			within[i][x.ID] = true
		}
	}
	return plays, within, gone, nil
}
