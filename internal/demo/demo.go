// Package demo makes one invented season: a program of our own, four opponents
// with habits of their own, five games each, and our own game against the last of
// them. Everything in it is invented and marked so; the same bytes every time.
package demo

import (
	"context"
	"fmt"
	"math/rand/v2"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/starter"
)

// Code is the demo program's code.
const Code = "demo"

const season = "2031 (invented)"

// Load puts the season into the store. Loading it again changes nothing.
func Load(ctx context.Context, s *postgres.Store) error {
	p, err := s.EnsureProgram(ctx, tags.Program{Code: Code, Name: "Demo staff (invented)", Level: "high_school",
		Invented: true})
	if err != nil {
		return err
	}
	if err := starter.Fill(ctx, s, p.ID); err != nil {
		return err
	}
	for i := range opponents {
		for week := 1; week <= 5; week++ {
			rng := rand.New(rand.NewPCG(uint64(2031+i), uint64(week)))
			versus := fmt.Sprintf("invented opponent %d", 1+rng.IntN(9))
			g, err := ensure(ctx, s, p, i, tags.Game{Label: fmt.Sprintf("week %d", week), Week: &week, Versus: &versus})
			if err != nil {
				return err
			}
			if err := play(ctx, s, p, g, opponents[i].game(rng)); err != nil {
				return err
			}
		}
	}
	return ourGame(ctx, s, p)
}

// unless passes an error on, but for one kind.
func unless(err error, k tags.Kind) error {
	if e := tags.As(err); e != nil && e.Kind == k {
		return nil
	}
	return err
}

// ensure makes a game of opponent i where it is missing.
func ensure(ctx context.Context, s *postgres.Store, p tags.Program, i int, game tags.Game) (tags.Game, error) {
	o := &opponents[i]
	return s.EnsureGame(ctx, p.ID, tags.Opponent{Code: o.code, Name: o.name, Note: &o.note}, season, game)
}

// play stores the plays of a game, and a film of it.
func play(ctx context.Context, s *postgres.Store, p tags.Program, g tags.Game, plays []tags.Play) error {
	for k := range plays {
		plays[k].GameID, plays[k].OpponentID = g.ID, g.OpponentID
	}
	if _, err := s.LoadPlays(ctx, p.ID, plays); err != nil {
		return err
	}
	return film(ctx, s, p, g, len(plays))
}

// film registers an invented recording with a clip a play; the file does not exist.
func film(ctx context.Context, s *postgres.Store, p tags.Program, g tags.Game, plays int) error {
	angle := "wide"
	f, err := s.Films().Create(ctx, p.ID, tags.Film{GameID: g.ID, Location: "https://film.example.invalid/" +
		g.ID.String() + ".mp4", Angle: &angle})
	if err != nil {
		return unless(err, tags.Conflict)
	}
	stored, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 500,
		Filters: map[string]string{"game_id": g.ID.String()}})
	if err != nil {
		return err
	}
	return s.Atomically(ctx, func(s *postgres.Store) error {
		for i := range stored {
			at := float64(stored[i].Number) * 40
			if _, err := s.Clips().Create(ctx, p.ID, tags.Clip{FilmID: f.ID, PlayID: &stored[i].ID, StartS: at,
				EndS: at + 9}); err != nil {
				return err
			}
		}
		return nil
	})
}
