package intake

import (
	"cmp"
	"context"
	"fmt"

	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// A gameKey tells a game of a file.
type gameKey struct{ opponent, label string }

// key is the game that a record belongs to.
func (r *Record) key() gameKey { return gameKey{r.Opponent, r.Game.Label} }

// gameOf is a record's game with whose it is.
func (r *Record) gameOf() postgres.GameOf {
	return postgres.GameOf{Opponent: tags.Opponent{Code: r.Opponent, Name: cmp.Or(r.opponentName, r.Opponent)},
		Season: r.Season, Game: r.Game}
}

// in puts a record's play into its game as it is stored.
func (r *Record) in(g *tags.Game) *tags.Play {
	r.Play.ID, r.Play.GameID, r.Play.OpponentID = uuid.Nil, g.ID, g.OpponentID
	return &r.Play
}

// gamesAtOnce is how many games are found or made together: a batch of questions is held in memory.
const gamesAtOnce = 1000

// ensureGames finds or makes games; an error names the line of the file that begins the game.
func ensureGames(ctx context.Context, s *postgres.Store, program uuid.UUID, games []postgres.GameOf,
	lines []int) error {
	for from := 0; from < len(games); from += gamesAtOnce {
		some := games[from:min(from+gamesAtOnce, len(games))]
		if bad, err := s.EnsureGames(ctx, program, some); err != nil {
			return fmt.Errorf("line %d: %w", lines[from+bad], err)
		}
	}
	return nil
}

// Store puts the good records away in one transaction: words, games where they
// are missing, plays. progress is told how many records are done, none at first.
func (f *File) Store(ctx context.Context, s *postgres.Store, p tags.Program, fresh []tags.Word,
	progress func(done, of int)) (done postgres.Loaded, err error) {
	if progress == nil {
		progress = func(int, int) {}
	}
	err = s.Atomically(ctx, func(s *postgres.Store) error {
		if err := s.AddWords(ctx, p.ID, fresh); err != nil {
			return err
		}
		plays, err := f.plays(ctx, s, p.ID)
		if err != nil {
			return err
		}
		progress(0, len(plays))
		done, err = s.LoadBatches(ctx, p.ID, func(yield func([]*tags.Play, error) bool) { yield(plays, nil) },
			func(done int) { progress(done, len(plays)) })
		return err
	})
	return done, err
}

// plays are those of the good records, in games that are found or made.
func (f *File) plays(ctx context.Context, s *postgres.Store, program uuid.UUID) ([]*tags.Play, error) {
	games, lines, at := []postgres.GameOf{}, []int{}, map[gameKey]int{}
	for i := range f.Records {
		r := &f.Records[i]
		g, ok := at[r.key()]
		if !ok {
			g = len(games)
			at[r.key()] = g
			games, lines = append(games, r.gameOf()), append(lines, r.Line)
		}
		games[g].Game.Ours = games[g].Game.Ours || r.Game.Ours
	}
	if err := ensureGames(ctx, s, program, games, lines); err != nil {
		return nil, err
	}
	plays := make([]*tags.Play, len(f.Records))
	for i := range f.Records {
		plays[i] = f.Records[i].in(&games[at[f.Records[i].key()]].Game)
	}
	return plays, nil
}
