// Package demo makes one invented season: a program of our own, four opponents
// with habits of their own, five games each, and a game of ours against the last of
// them. Everything in it is invented and marked so; the same bytes every time.
package demo

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// Code is the demo program's code.
const Code = "demo"

const season = "2031 (invented)"

// active are the calls the invented staff carries into the season; the rest of
// the built-in book is stored and can be switched on.
var active = map[string]bool{"cover 1": true, "cover 2 spot": true, "tampa 2": true, "two-man": true, "cover 3 spot": true, "cover 3 match": true,
	"cover 6": true, "fire zone": true, "palms": true, "quarters match": true}

// Load puts the season into the store. Loading it again changes nothing.
func Load(ctx context.Context, s *postgres.Store) error {
	p, err := s.EnsureProgram(ctx, tags.Program{Code: Code, Name: "Demo staff (invented)", Level: "high_school", Invented: true})
	if err != nil {
		return err
	}
	if err := s.AddWords(ctx, p.ID, Words()); err != nil {
		return err
	}
	for _, plan := range call.Book() {
		body, err := plan.Call.Encode()
		if err != nil {
			return err
		}
		_, err = s.Calls().Create(ctx, p.ID, tags.Call{Name: plan.Call.Name, Active: active[plan.Call.Name], Body: body})
		if err := unless(err, tags.Conflict); err != nil {
			return err
		}
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
	f, err := s.Films().Create(ctx, p.ID, tags.Film{GameID: g.ID, Location: "https://film.example.invalid/" + g.ID.String() + ".mp4", Angle: &angle})
	if err != nil {
		return unless(err, tags.Conflict)
	}
	stored, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 500, Filters: map[string]string{"game_id": g.ID.String()}})
	if err != nil {
		return err
	}
	return s.Atomically(ctx, func(s *postgres.Store) error {
		for i := range stored {
			at := float64(stored[i].Number) * 40
			if _, err := s.Clips().Create(ctx, p.ID, tags.Clip{FilmID: f.ID, PlayID: &stored[i].ID, StartS: at, EndS: at + 9}); err != nil {
				return err
			}
		}
		return nil
	})
}

// Words is the starter vocabulary: sets, backfields, motions, concepts, routes
// and coverages of the trade, with their other names as aliases.
func Words() []tags.Word {
	var out []tags.Word
	add := func(field, word string, also ...string) {
		out = append(out, tags.Word{Field: field, Word: word})
		for _, a := range also {
			if a != "" && a != word {
				out = append(out, tags.Word{Field: field, Word: a, AliasOf: &word})
			}
		}
	}
	for _, n := range picture.SetNames() {
		set, _ := picture.LookupSet(n)
		add("set_name", n, set.Also...)
	}
	for _, n := range picture.RouteNames() {
		r, _ := picture.LookupRoute(n)
		add("route", n, r.Also...)
	}
	for _, e := range picture.Library() {
		add("concept", e.Concept, e.Also)
	}
	for _, w := range []string{"inside zone", "outside zone", "power", "counter", "draw"} {
		add("concept", w)
	}
	for _, w := range []string{"gun", "pistol", "under center", "empty"} {
		add("backfield", w)
	}
	for _, w := range []string{"none", "jet", "orbit", "across"} {
		add("motion", w)
	}
	coverages := []string{"cover 0", "cover 1", "cover 2", "cover 3", "cover 4", "cover 6", "two-man"}
	for _, plan := range call.Book() {
		// The calls carried, so that a game of ours can be tagged with them.
		if n := plan.Call.Name; active[n] && !slices.Contains(coverages, n) {
			coverages = append(coverages, n)
		}
	}
	for _, w := range coverages {
		add("coverage", w)
	}
	return out
}
