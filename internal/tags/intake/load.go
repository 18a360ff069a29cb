package intake

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// Words brings the records to the program's vocabulary. With new_words: add it
// returns the words that are missing; otherwise a record with one is bad.
func (f *File) Words(v *tags.Vocabulary, m *Mapping) []tags.Word {
	var fresh []tags.Word
	if m.NewWords == "add" {
		seen := map[string]bool{}
		add := func(field string, w *string) {
			if w == nil || seen[field+*w] {
				return
			}
			seen[field+*w] = true
			if _, ok := v.Lookup(field, *w); !ok {
				fresh = append(fresh, tags.Word{Field: field, Word: *w})
			}
		}
		for i := range f.Records {
			p := &f.Records[i].Play
			add("set_name", p.SetName)
			add("backfield", p.Backfield)
			add("motion", p.Motion)
			add("concept", p.Concept)
			add("coverage", p.Coverage)
			add("route", p.TargetRoute)
			for k := range p.Routes {
				add("route", &p.Routes[k].Route)
			}
		}
		return fresh
	}
	good := f.Records[:0]
	for _, r := range f.Records {
		if err := v.Apply(&r.Play); err != nil {
			f.Bad = append(f.Bad, BadRow{r.Line, tags.As(err).Fields, r.cells})
			continue
		}
		good = append(good, r)
	}
	f.Records = good
	slices.SortFunc(f.Bad, func(a, b BadRow) int { return a.Line - b.Line })
	return nil
}

// Store puts the good records away in one transaction: words, games where they
// are missing, plays. progress is told how many records are done, none at first.
func (f *File) Store(ctx context.Context, s *postgres.Store, p tags.Program, fresh []tags.Word,
	progress func(done, of int)) (done postgres.Loaded, err error) {
	err = s.Atomically(ctx, func(s *postgres.Store) error {
		done, err = f.store(ctx, s, p, fresh, progress)
		return err
	})
	return done, err
}

func (f *File) store(ctx context.Context, s *postgres.Store, p tags.Program, fresh []tags.Word,
	progress func(done, of int)) (postgres.Loaded, error) {
	if err := s.AddWords(ctx, p.ID, fresh); err != nil {
		return postgres.Loaded{}, err
	}
	type key struct {
		opponent, game string
		ours           bool
	}
	games, line, at := []postgres.GameOf{}, []int{}, map[key]int{}
	of := make([]int, len(f.Records))
	for i := range f.Records {
		r := &f.Records[i]
		k := key{r.Opponent, r.Game.Label, r.Game.Ours}
		g, ok := at[k]
		if !ok {
			g = len(games)
			at[k] = g
			games = append(games, postgres.GameOf{Opponent: tags.Opponent{Code: r.Opponent,
				Name: cmp.Or(r.opponentName, r.Opponent)}, Season: r.Season, Game: r.Game})
			line = append(line, r.Line)
		}
		of[i] = g
	}
	if bad, err := s.EnsureGames(ctx, p.ID, games); err != nil {
		if len(games) > 0 {
			err = fmt.Errorf("line %d: %w", line[bad], err)
		}
		return postgres.Loaded{}, err
	}
	plays := make([]*tags.Play, len(f.Records))
	for i := range f.Records {
		play, g := &f.Records[i].Play, &games[of[i]].Game
		play.ID, play.GameID, play.OpponentID = uuid.Nil, g.ID, g.OpponentID
		plays[i] = play
	}
	if progress == nil {
		progress = func(int, int) {}
	}
	progress(0, len(plays))
	return s.LoadOwn(ctx, p.ID, plays, func(done int) { progress(done, len(plays)) })
}
