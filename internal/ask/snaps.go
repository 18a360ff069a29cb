package ask

import (
	"context"

	"github.com/google/uuid"

	"overhang/internal/tags"
)

// mostSnaps is how many snaps one answer lists: they are read whole.
const mostSnaps = 20_000

// A SnapsAnswer is the plays that a question is about.
type SnapsAnswer struct {
	Plays    int         `json:"plays"`
	Games    []GameLabel `json:"games"` // those of the plays, in their order
	Items    []tags.Play `json:"items"`
	WhyEmpty string      `json:"why_empty,omitempty"`
}

// A GameLabel says what a game is called.
type GameLabel struct {
	ID    uuid.UUID `json:"id"`
	Label string    `json:"label"`
}

// Snaps lists the counted plays of a scope, game by game: those that tendencies count under
// the same filters.
func Snaps(ctx context.Context, from Reads, in Scope) (*SnapsAnswer, error) {
	ps, err := from.CountedPlays(ctx, in.Program, in.Filters)
	if err != nil {
		return nil, err
	}
	if len(ps) > mostSnaps {
		return nil, tags.Errorf(tags.Invalid, "more than %d snaps: name an opponent, a season or a situation", mostSnaps)
	}
	out := &SnapsAnswer{Plays: len(ps), Games: []GameLabel{}, Items: append([]tags.Play{}, ps...)}
	for i := range ps { // by game
		id := ps[i].GameID
		if n := len(out.Games); n > 0 && out.Games[n-1].ID == id {
			continue
		}
		g, err := from.Game(ctx, in.Program.ID, id)
		if err != nil {
			return nil, err
		}
		out.Games = append(out.Games, GameLabel{id, g.Label})
	}
	return out, nil
}
