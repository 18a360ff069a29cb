package postgres

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// gatherPlay takes the opponent from the game and brings the words to the
// program's vocabulary.
func gatherPlay(b *pgx.Batch, program uuid.UUID, p *tags.Play) func(context.Context, pgx.Tx) error {
	if p.Routes == nil {
		p.Routes = []tags.Route{}
	}
	var refused error
	b.Queue(`
		SELECT opponent_id, EXISTS (
			SELECT FROM clips c
			JOIN films f ON f.program_id = c.program_id AND f.id = c.film_id
			WHERE c.program_id = $1 AND c.play_id = $3 AND f.game_id <> $2)
		FROM games
		WHERE program_id = $1 AND id = $2`, program, p.GameID, p.ID).QueryRow(func(row pgx.Row) error {
		filmed := false // in another game; clips_play serves it
		err := row.Scan(&p.OpponentID, &filmed)
		switch {
		case err == pgx.ErrNoRows:
			refused = tags.Fieldf(tags.Invalid, "game_id", "there is no game %s", p.GameID)
		case err == nil && filmed:
			refused = tags.Fieldf(tags.Conflict, "game_id", "clips on the film of another game show this play")
		default:
			return err
		}
		return nil
	})
	words := gatherWords(b, program, p)
	return func(ctx context.Context, tx pgx.Tx) error {
		if refused != nil {
			return refused
		}
		return words(ctx, tx)
	}
}

// playLeaves lets the clips of a play keep its number, so that they show it again
// when it comes back.
func playLeaves(ctx context.Context, tx pgx.Tx, program uuid.UUID, p *tags.Play) error {
	_, err := tx.Exec(ctx, `
		UPDATE clips
		SET number = $3, version = version + 1, updated_at = now()
		WHERE program_id = $1 AND play_id = $2 AND number IS NULL`, program, p.ID, p.Number)
	return err
}

// A Loaded counts what a bulk load did.
type Loaded struct{ Inserted, Updated, Unchanged int }

// LoadPlays stores many plays at once through COPY, all or nothing. A play is
// known by its game and number: one that is there already is updated where it
// differs, and left alone where it does not, so that loading twice changes nothing.
// Every bad play is named by its row, counted from 1; words become the program's own.
// progress is told how many are through.
func (s *Store) LoadPlays(ctx context.Context, program uuid.UUID, given []tags.Play,
	progress ...func(done int)) (Loaded, error) {
	ps := make([]*tags.Play, len(given))
	for i := range given {
		p := given[i]
		ps[i] = &p
	}
	return s.LoadBatches(ctx, program, func(yield func([]*tags.Play, error) bool) { yield(ps, nil) }, func(done int) {
		for _, tell := range progress {
			tell(done)
		}
	})
}

// LoadBatches is LoadPlays for plays that come in batches and are not needed any more: they get
// identities, and are not copied first. That no play is in two batches is the caller's to see to. An
// error of the batches ends the load.
func (s *Store) LoadBatches(ctx context.Context, program uuid.UUID, batches iter.Seq2[[]*tags.Play, error],
	progress func(done int)) (out Loaded, err error) {
	defer wrap(&err, "LoadPlays")
	err = s.transact(ctx, func(tx pgx.Tx) error {
		if _, err := s.recording(ctx, tx, program, "load"); err != nil {
			return err
		}
		// Built like plays, so that its checks refuse what plays would.
		_, err := tx.Exec(ctx,
			`CREATE TEMPORARY TABLE incoming (LIKE plays INCLUDING DEFAULTS INCLUDING CONSTRAINTS) ON COMMIT DROP`)
		if err != nil {
			return err
		}
		for ps, err := range batches {
			if err != nil {
				return err
			}
			if err := loadBatch(ctx, tx, program, ps, &out, progress); err != nil {
				return err
			}
		}
		if _, err = tx.Exec(ctx, `DROP TABLE incoming`); err != nil || out.Inserted < 1000 {
			return err
		}
		// Until the server has looked at a season of new plays by itself, in a
		// minute or so, it would plan every question about them for an empty table.
		_, err = tx.Exec(ctx, `ANALYZE plays`)
		return err
	})
	if err != nil {
		out = Loaded{}
	}
	return out, err
}

// loadBatch checks plays and stores them, and adds up what became of them.
func loadBatch(ctx context.Context, tx pgx.Tx, program uuid.UUID, ps []*tags.Play, out *Loaded,
	progress func(done int)) error {
	if err := loadable(ps); err != nil {
		return err
	}
	if err := applyAll(ctx, tx, program, ps); err != nil {
		return err
	}
	for some := range slices.Chunk(ps, loadedAtOnce) {
		n, err := loadSome(ctx, tx, program, some)
		if err != nil {
			return err
		}
		out.Inserted, out.Updated, out.Unchanged = out.Inserted+n.Inserted, out.Updated+n.Updated, out.Unchanged+n.Unchanged
		progress(out.Inserted + out.Updated + out.Unchanged)
	}
	return nil
}

// So many plays are stored by one statement: each has the statement's time limit,
// however long the list is.
const loadedAtOnce = 5000

// loadSome stores plays by way of the empty table incoming, and leaves it empty.
func loadSome(ctx context.Context, tx pgx.Tx, program uuid.UUID, ps []*tags.Play) (out Loaded, err error) {
	cols := append([]string{"program_id", "id"}, plays.columns...)
	_, err = tx.CopyFrom(ctx, pgx.Identifier{"incoming"}, cols, pgx.CopyFromSlice(len(ps), func(i int) ([]any, error) {
		return append([]any{program, ps[i].ID}, valuesOf(ps[i])...), nil
	}))
	if err != nil {
		return out, err
	}
	var set []string
	for _, c := range plays.columns {
		set = append(set, c+" = EXCLUDED."+c)
	}
	columns := strings.Join(plays.columns, ", ")
	// A row that was inserted has the first version, one that was updated a later one.
	err = tx.QueryRow(ctx, fmt.Sprintf(`
		WITH done AS (
			INSERT INTO plays AS p (program_id, id, %s)
			SELECT program_id, id, %s
			FROM incoming
			ON CONFLICT (program_id, game_id, number) DO UPDATE
			SET version = p.version + 1, updated_at = now(), %s
			WHERE (p.%s) IS DISTINCT FROM (EXCLUDED.%s)
			RETURNING p.version = 1 AS new
		)
		SELECT count(*) FILTER (WHERE new), count(*) FILTER (WHERE NOT new), (SELECT count(*) FROM incoming) - count(*)
		FROM done`, columns, columns, strings.Join(set, ", "), strings.Join(plays.columns, ", p."), strings.Join(plays.columns, ", EXCLUDED."))).
		Scan(&out.Inserted, &out.Updated, &out.Unchanged)
	if err != nil {
		return out, err
	}
	_, err = tx.Exec(ctx, `TRUNCATE incoming`)
	return out, err
}

// loadable makes plays ready that can be stored together: each one valid, and none
// there twice.
func loadable(ps []*tags.Play) error {
	type key struct {
		game   uuid.UUID
		number int
	}
	first := map[key]int{}
	for _, p := range ps {
		if p.Routes == nil {
			p.Routes = []tags.Route{}
		}
		if p.ID == uuid.Nil {
			p.ID = NewID()
		}
	}
	errs := each(ps, (*tags.Play).Validate)
	for i, p := range ps {
		if errs[i] != nil {
			continue
		}
		k := key{p.GameID, p.Number}
		if at, ok := first[k]; ok {
			errs[i] = tags.Fieldf(tags.Invalid, "number", "play %d of this game is in row %d already", p.Number, at)
			continue
		}
		first[k] = i + 1
	}
	return gathered(errs)
}

// A GameOf is a game with whose it is and the season it is of ("": none).
type GameOf struct {
	Opponent tags.Opponent
	Season   string
	Game     tags.Game
}

// EnsureGame returns the opponent's game with a label, making opponent, season
// and game where they are missing. A game that is there already is only marked as
// ours where game is.
func (s *Store) EnsureGame(ctx context.Context, program uuid.UUID, opponent tags.Opponent, season string,
	game tags.Game) (tags.Game, error) {
	of := []GameOf{{opponent, season, game}}
	_, err := s.EnsureGames(ctx, program, of)
	return of[0].Game, err
}

// EnsureGames does the same for many games, in two round trips, and puts their identities
// into them. With an error it says which of them is meant.
func (s *Store) EnsureGames(ctx context.Context, program uuid.UUID, games []GameOf) (at int, err error) {
	defer wrap(&err, "EnsureGames(%d)", len(games))
	for i := range games {
		if err := cmp.Or(games[i].Opponent.Validate(), games[i].Game.Validate()); err != nil {
			return i, err
		}
	}
	err = s.transact(ctx, func(tx pgx.Tx) error {
		if err := ensureAround(ctx, tx, program, games, &at); err != nil {
			return err
		}
		b := &pgx.Batch{}
		for i := range games {
			g := &games[i].Game
			b.Queue(ensureGame, program, NewID(), g.OpponentID, g.SeasonID, g.Label, g.Week, g.Versus, g.Ours).
				QueryRow(func(row pgx.Row) error { at = i; return row.Scan(&g.ID) })
		}
		return tx.SendBatch(ctx, b).Close()
	})
	return at, err
}

// ensureGame finds or makes a game by its label; one of ours stays ours.
const ensureGame = `
				INSERT INTO games AS g (program_id, id, opponent_id, season_id, label, week, versus, ours)
				VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
				ON CONFLICT (program_id, opponent_id, label) DO UPDATE
				SET ours = g.ours OR EXCLUDED.ours, version = g.version + (EXCLUDED.ours AND NOT g.ours)::int
				RETURNING id`

// ensureAround finds or makes the opponents and the seasons of games.
func ensureAround(ctx context.Context, tx pgx.Tx, program uuid.UUID, games []GameOf, at *int) error {
	b := &pgx.Batch{}
	opponents, seasons := map[string]*uuid.UUID{}, map[string]*uuid.UUID{}
	for i := range games {
		o, season := &games[i].Opponent, games[i].Season
		if opponents[o.Code] == nil {
			id := new(uuid.UUID)
			opponents[o.Code] = id
			b.Queue(`
				INSERT INTO opponents AS o (program_id, id, code, name, note)
				VALUES ($1, $2, $3, $4, $5)
				ON CONFLICT (program_id, code) DO UPDATE SET code = o.code
				RETURNING id`, program, NewID(), o.Code, o.Name, o.Note).
				QueryRow(func(row pgx.Row) error { *at = i; return row.Scan(id) })
		}
		if season != "" && seasons[season] == nil {
			id := new(uuid.UUID)
			seasons[season] = id
			b.Queue(`
				INSERT INTO seasons AS s (program_id, id, label)
				VALUES ($1, $2, $3)
				ON CONFLICT (program_id, label) DO UPDATE SET label = s.label
				RETURNING id`, program, NewID(), season).
				QueryRow(func(row pgx.Row) error { *at = i; return row.Scan(id) })
		}
	}
	if err := tx.SendBatch(ctx, b).Close(); err != nil {
		return err
	}
	for i := range games {
		games[i].Game.OpponentID = *opponents[games[i].Opponent.Code]
		if id := seasons[games[i].Season]; id != nil {
			games[i].Game.SeasonID = id
		}
	}
	return nil
}

// OpponentByCode returns an opponent by its code, or a NotFound.
func (s *Store) OpponentByCode(ctx context.Context, program uuid.UUID, code string) (_ tags.Opponent, err error) {
	defer wrap(&err, "OpponentByCode(%s)", code)
	missing := fmt.Sprintf("there is no opponent %q", code)
	if !tags.Storable(code) {
		return tags.Opponent{}, tags.Errorf(tags.NotFound, "%s", missing)
	}
	return one[tags.Opponent](ctx, s.db, missing, `
		SELECT `+opponents.selected()+`
		FROM opponents
		WHERE program_id = $1 AND code = $2`, program, code)
}
