package httpapi

import (
	"context"
	"maps"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"overhang/internal/plan"
	"overhang/internal/reports"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// mostReviewed bounds the plays of a review: the engine plays each of them again.
const mostReviewed = 1500

// reviewPlan answers GET .../plans/{id}/review.
func (s *server) reviewPlan(c echo.Context) error {
	id, err := identity(c, "plans")
	if err != nil {
		return err
	}
	ctx, p, f := c.Request().Context(), programOf(c), filters(c)
	for _, d := range []string{"opponent", "ours"} {
		if f[d] != nil {
			return tags.Fieldf(tags.Invalid, d, "a review is of our games against the plan's opponent")
		}
	}
	stored, err := s.store.Plans().Get(ctx, p.ID, id)
	if err != nil {
		return err
	}
	content, err := plan.Read(stored.Content)
	if err != nil {
		return err
	}
	o, err := s.store.Opponents().Get(ctx, p.ID, stored.OpponentID)
	if err != nil {
		return err
	}
	if err := s.ofItsGame(ctx, p, &stored.PlanHead, f); err != nil {
		return err
	}
	plays, within, gone, err := s.ourPlays(ctx, p, o.ID, &content, f)
	if err != nil {
		return err
	}
	book, v, err := callbook(ctx, s.store, p)
	if err != nil {
		return err
	}
	content.Reword(v)
	level, err := field.ParseLevel(p.Level)
	if err != nil {
		return err
	}
	r := plan.NewReview(&content, plays, within, book, level, p.Settings, c.QueryParam("earlier") == "true")
	out := reports.BuildReview(p, o, stored.PlanHead, content.MadeAt, f, gone, r)
	return reported(c, &out)
}

// ofItsGame narrows filters that name no game to the plan's own, where it has one.
func (s *server) ofItsGame(ctx context.Context, p tags.Program, head *tags.PlanHead, f map[string][]string) error {
	if head.GameID == nil || f["game"] != nil || f["week"] != nil || f["games_ago"] != nil || f["season"] != nil {
		return nil
	}
	g, err := s.store.Games().Get(ctx, p.ID, *head.GameID)
	if err == nil {
		f["game"] = []string{g.Label}
	}
	return err
}

// ourPlays are the plays of our games under filters, and which of them are of each
// situation of a plan; gone are those of its situations that the program's bands do
// not define any more.
func (s *server) ourPlays(ctx context.Context, p tags.Program, opponent uuid.UUID, content *plan.Content, f map[string][]string) (plays []tags.Play, within []map[uuid.UUID]bool, gone []string, err error) {
	if plays, err = s.store.OurPlays(ctx, p, opponent, f, mostReviewed); err != nil {
		return nil, nil, nil, err
	}
	within = make([]map[uuid.UUID]bool, len(content.Situations))
	for i := range content.Situations {
		within[i] = map[uuid.UUID]bool{}
		only, ok := narrowed(maps.Clone(f), content.Situations[i].Where)
		if !ok || len(plays) == 0 {
			continue
		}
		in, err := s.store.OurPlays(ctx, p, opponent, only, mostReviewed)
		if e := tags.As(err); e != nil && e.Kind == tags.Invalid {
			gone = append(gone, content.Situations[i].Name)
			continue
		}
		if err != nil {
			return nil, nil, nil, err
		}
		for _, x := range in {
			within[i][x.ID] = true
		}
	}
	return plays, within, gone, nil
}
