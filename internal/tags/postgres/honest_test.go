package postgres_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestUnknownIsLeftOut: a play whose down, side or family nobody tagged may not
// be counted as if somebody had. Expected counts are by hand.
func TestUnknownIsLeftOut(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	route := []tags.Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "hitch"}}
	smash := func(n int, family, side *string) tags.Play {
		return tags.Play{GameID: g.ID, Number: n, Status: "counted", Concept: ptr("smash"), SetName: ptr("2x2"),
			Family: family, PlaySide: side, Routes: route}
	}
	for _, play := range []tags.Play{
		{GameID: g.ID, Number: 1, Status: "counted", Touchdown: true, GainYd: ptr(20)}, // no down, no distance
		{GameID: g.ID, Number: 2, Status: "counted", Down: ptr(1), DistanceYd: ptr(10), GainYd: ptr(5), Called: ptr("run")},
		{GameID: g.ID, Number: 3, Status: "counted"},
		smash(4, ptr("dropback"), ptr("left")),
		smash(5, nil, ptr("left")),
		smash(6, ptr("dropback"), nil),
	} {
		if _, err := s.Plays().Create(ctx, p.ID, play); err != nil {
			t.Fatal(err)
		}
	}
	ten, err := s.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"opponent"}})
	if err != nil {
		t.Fatal(err)
	}
	if c := ten.Cells[0]; c.Plays != 6 || c.Successes != 1 || c.SuccessKnown != 1 {
		t.Errorf("%d successes of %d judged plays; want 1 of 1: a touchdown without a down cannot be judged by down",
			c.Successes, c.SuccessKnown)
	}
	ten, err = s.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"distance", "distance_band"}})
	if err != nil {
		t.Fatal(err)
	}
	sums := map[string]int{}
	for why, n := range ten.Skip {
		measure, _, _ := strings.Cut(why, ":")
		sums[measure] += n
	}
	// By measure: five plays have no distance; four no gain; one can be judged; one has a call.
	for measure, want := range map[string]int{"cells": 5, "mean gain": 4, "success rate": 5, "run share": 5,
		"explosive rate": 5} {
		if sums[measure] != want {
			t.Errorf("%s leaves out %d plays (%v); want %d, each once", measure, sums[measure], ten.Skip, want)
		}
	}
	rows, err := s.ConceptRows(ctx, p, g.OpponentID, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1 || rows[0].N != 1 || rows[0].Side != "play" || rows[0].Family != "dropback" {
		t.Errorf("concept rows %+v; want the one play whose side and family are known", rows)
	}
}

// TestBadInputIsTheCallers: what PostgreSQL refuses in the input comes back as the
// caller's mistake with its field (SQLSTATE 22021, 22P05, 21000, 42601: PostgreSQL manual, appendix A).
func TestBadInputIsTheCallers(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	twice := tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: 8, Status: "counted"}
	for _, tt := range []struct {
		name string
		do   func() error
		word string
	}{
		{"a NUL in a word", func() error {
			_, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted",
				Concept: ptr("sm\x00ash")})
			return err
		}, "concept"},
		{"a NUL in a route", func() error {
			_, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted",
				Routes: []tags.Route{{Side: "left", Number: 1, Eligible: "back", Route: "\x00"}}})
			return err
		}, "routes[0].route"},
		{"no UTF-8 in a note", func() error {
			_, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted", Note: ptr("\xff")})
			return err
		}, "note"},
		{"a NUL in a list's filter", func() error {
			_, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 5, Filters: map[string]string{"concept": "\x00"}})
			return err
		}, "concept"},
		{"a down that is no number in a list's filter", func() error {
			_, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 5, Filters: map[string]string{"down": "third"}})
			return err
		}, "down"},
		{"a NUL in a tendency's filter", func() error {
			_, err := s.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"down"},
				Filters: map[string][]string{"concept": {"\x00"}}})
			return err
		}, "concept"},
		{"a NUL in a filter of the board", func() error {
			_, err := s.ConceptRows(ctx, p, g.OpponentID, map[string][]string{"hash": {"\x00"}})
			return err
		}, "hash"},
		{"a NUL in an opponent's code", func() error { _, err := s.OpponentByCode(ctx, p.ID, "\x00"); return err },
			"opponent"},
		{"a NUL in a program's code", func() error { _, err := s.Program(ctx, "\x00"); return err }, "program"},
		{"a NUL in a call's body", func() error {
			_, err := s.Calls().Create(ctx, p.ID, tags.Call{Name: "x", Active: true, Body: []byte(`{"name":"\u0000"}`)})
			return err
		}, "body"},
		{"one play twice in a batch", func() error {
			_, err := s.LoadPlays(ctx, p.ID,
				[]tags.Play{twice, twice})
			return err
		}, "number"},
		{"a bad play in a batch", func() error {
			bad := twice
			bad.Down = ptr(9)
			_, err := s.LoadPlays(ctx, p.ID, []tags.Play{twice, bad})
			return err
		}, "down"},
		{"an unknown word in a batch", func() error {
			bad := twice
			bad.Number, bad.Concept = 9, ptr("smahs")
			_, err := s.LoadPlays(ctx, p.ID, []tags.Play{twice, bad})
			return err
		}, "concept"},
		{"six backs and ends", func() error {
			_, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted", Personnel: ptr("33")})
			return err
		}, "personnel"},
	} {
		e := tags.As(tt.do())
		if e == nil || !strings.Contains(e.Error(), tt.word) || e.Kind != tags.Invalid && e.Kind != tags.NotFound {
			t.Errorf("%s: %v; want the caller's mistake naming %q", tt.name, tt.do(), tt.word)
		}
	}
	rows, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 5})
	if err != nil || len(rows) != 0 {
		t.Errorf("%d plays were stored by refused requests (%v)", len(rows), err)
	}
}

// TestBandsAreChecked: bands and zones that overlap, are upside down, nameless or
// missing are refused before any query is built from them.
func TestBandsAreChecked(t *testing.T) {
	s, _ := postgrestest.New(t)
	for name, change := range map[string]func(*tags.Settings){
		"no bands":    func(x *tags.Settings) { x.DistanceBands = []tags.Band{} },
		"no zones":    func(x *tags.Settings) { x.FieldZones = nil },
		"upside down": func(x *tags.Settings) { x.DistanceBands = []tags.Band{{Name: "a", From: 9, To: 2}} },
		"overlap": func(x *tags.Settings) {
			x.FieldZones = []tags.Band{{Name: "a", From: 1, To: 50}, {Name: "b", From: 50, To: 99}}
		},
		"one name twice": func(x *tags.Settings) {
			x.FieldZones = []tags.Band{{Name: "a", From: 1, To: 49}, {Name: "a", From: 50, To: 99}}
		},
		"nameless":      func(x *tags.Settings) { x.DistanceBands = []tags.Band{{From: 1, To: 99}} },
		"a NUL":         func(x *tags.Settings) { x.DistanceBands = []tags.Band{{Name: "a\x00", From: 1, To: 99}} },
		"off the field": func(x *tags.Settings) { x.FieldZones = []tags.Band{{Name: "a", From: 0, To: 100}} },
		"no explosive":  func(x *tags.Settings) { x.ExplosiveRunYd = 0 },
	} {
		set := tags.DefaultSettings()
		change(&set)
		_, err := s.EnsureProgram(ctx, tags.Program{Code: "cuts", Name: "Invented", Level: "college", Settings: set})
		if e := tags.As(err); e == nil || e.Kind != tags.Invalid || !strings.Contains(e.Error(), "settings.") {
			t.Errorf("%s: %v; want a refusal naming the setting", name, err)
		}
	}
}

// TestVocabularyKeepsItself: the ways a vocabulary can be made to contradict itself.
func TestVocabularyKeepsItself(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p) // has smash with the alias hitch-corner
	word := func(w string, alias *string) error {
		_, err := s.Words().Create(ctx, p.ID, tags.Word{Field: "concept", Word: w, AliasOf: alias})
		return err
	}
	refused := func(name string, err error, k tags.Kind, says string) {
		t.Helper()
		if e := tags.As(err); e == nil || e.Kind != k || !strings.Contains(e.Error(), says) {
			t.Errorf("%s: %v; want kind %v saying %q", name, err, k, says)
		}
	}
	refused("a word that differs in case only", word("SMASH", nil), tags.Conflict, "word")
	refused("a word that differs in blanks only", word(" smash ", nil), tags.Conflict, "word")
	refused("an alias of an alias", word("hc", ptr("hitch-corner")), tags.Invalid, "smash")
	refused("an alias of nothing", word("hc", ptr("nothing")), tags.Invalid, "alias_of")
	if err := s.AddWords(ctx, p.ID, []tags.Word{{Field: "concept", Word: "Smash"}}); err != nil {
		t.Errorf("AddWords of a word that is there in other letters: %v; want it left alone", err)
	}
	if _, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted",
		Concept: ptr("smash")}); err != nil {
		t.Fatal(err)
	}
	ws, err := s.Words().List(ctx, p.ID, postgres.Page{Limit: 100, Filters: map[string]string{"field": "concept"}})
	if err != nil || len(ws) != 2 {
		t.Fatalf("words %v, %v; want smash and its alias", ws, err)
	}
	smash := ws[0]
	if smash.AliasOf != nil {
		smash = ws[1]
	}
	refused("removing a word that has an alias", s.Words().Remove(ctx, p.ID, smash.ID, smash.Version), tags.Conflict,
		"hitch-corner")
	alias := ws[0]
	if alias.AliasOf == nil {
		alias = ws[1]
	}
	if err := s.Words().Remove(ctx, p.ID, alias.ID, alias.Version); err != nil {
		t.Fatal(err)
	}
	refused("removing a word that a play uses", s.Words().Remove(ctx, p.ID, smash.ID, smash.Version), tags.Conflict,
		"1 play")
	renamed := smash
	renamed.Word = "smashed"
	_, err = s.Words().Replace(ctx, p.ID, smash.ID, smash.Version, renamed)
	refused("renaming a word that a play uses", err, tags.Conflict, "1 play")
}

// TestTaggingGoesOn: a long load that adds words does not hold up who tags.
func TestTaggingGoesOn(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	err := s.Atomically(ctx, func(load *postgres.Store) error {
		if err := load.AddWords(ctx, p.ID, []tags.Word{{Field: "concept", Word: "china", AliasOf: ptr("smash")},
			{Field: "concept", Word: "mesh"}}); err != nil {
			return err
		}
		soon, cancel := context.WithTimeout(ctx, 5*time.Second)
		defer cancel()
		_, err := s.Plays().Create(soon, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted", Concept: ptr("smash")})
		return err
	})
	if err != nil {
		t.Errorf("a play while words are being added: %v; want it stored", err)
	}
}

// TestClipsStayInTheirGame: a clip belongs to a play of the game its film shows,
// and outlives the play.
func TestClipsStayInTheirGame(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	other, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "Invented opponent"}, "2031",
		tags.Game{Label: "week 2"})
	if err != nil {
		t.Fatal(err)
	}
	film, err := s.Films().Create(ctx, p.ID, tags.Film{GameID: g.ID, Location: "/films/one.mp4"})
	if err != nil {
		t.Fatal(err)
	}
	here, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 1, Status: "counted"})
	if err != nil {
		t.Fatal(err)
	}
	there, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: other.ID, Number: 1, Status: "counted"})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Clips().Create(ctx, p.ID, tags.Clip{FilmID: film.ID, PlayID: &there.ID, StartS: 1, EndS: 9})
	if e := tags.As(err); e == nil || e.Kind != tags.Invalid || !strings.Contains(e.Error(), "play_id") {
		t.Errorf("a clip of another game's play: %v; want a refusal naming play_id", err)
	}
	clip, err := s.Clips().Create(ctx, p.ID, tags.Clip{FilmID: film.ID, PlayID: &here.ID, StartS: 1, EndS: 9})
	if err != nil {
		t.Fatal(err)
	}
	moved := here
	moved.GameID, moved.Number = other.ID, 2
	if _, err := s.Plays().Replace(ctx, p.ID, here.ID, here.Version, moved); tags.As(err) == nil ||
		tags.As(err).Kind != tags.Conflict {
		t.Errorf("moving a play with a clip to another game: %v; want a conflict", err)
	}
	if err := s.Plays().Remove(ctx, p.ID, here.ID, here.Version); err != nil {
		t.Fatalf("removing a play that has a clip: %v; the clip can stay without it", err)
	}
	if clip, err = s.Clips().Get(ctx, p.ID, clip.ID); err != nil || clip.PlayID != nil {
		t.Errorf("the clip of a removed play: %+v, %v; want it without a play", clip, err)
	}
	h, err := s.History(ctx, p.ID, here.ID, 1, 0)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Undo(ctx, p.ID, h[0].ChangeID); err != nil {
		t.Fatal(err)
	}
	clips, _, err := s.FilmClips(ctx, p.ID, film.ID)
	if err != nil || len(clips) != 1 || clips[0].PlayID == nil || *clips[0].PlayID != here.ID {
		t.Errorf("the clip of a play that came back: %+v, %v; want it to show the play", clips, err)
	}
}
