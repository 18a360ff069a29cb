package ask

import (
	"context"
	"time"

	"github.com/google/uuid"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// Snapshot is what would be recommended now, in all situations, as the call sheet
// has them; nothing is chosen. It is made at a millisecond, as the identities of
// plays are. Invalid: no such opponent.
func Snapshot(ctx context.Context, from Reads, program tags.Program, opponent uuid.UUID) (plan.Content, error) {
	out := plan.Content{MadeAt: time.Now().UTC().Truncate(time.Millisecond), Situations: []plan.Situation{}}
	o, err := from.Opponent(ctx, program.ID, opponent)
	if e := tags.As(err); e != nil && e.Kind == tags.NotFound {
		return out, tags.Fieldf(tags.Invalid, "opponent_id", "does not exist")
	}
	if err != nil {
		return out, err
	}
	now, err := Situations(ctx, from, Scope{Program: program, Opponent: o})
	out.Plays = now.Plays
	for i := range now.Situations {
		x := &now.Situations[i]
		out.Situations = append(out.Situations, plan.Take(x.Name, x.Where, &x.Board, x.Whole))
	}
	return out, err
}
