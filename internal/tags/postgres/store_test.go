package postgres_test

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/db/migrations"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

func TestMain(m *testing.M) { postgrestest.Main(m) }

func ptr[T any](v T) *T { return &v }

var ctx = context.Background()

// opened is the store of a database, closed when the test is over.
func opened(t testing.TB, url string) *postgres.Store {
	t.Helper()
	s, err := postgres.Open(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s
}

// game makes an opponent with a game and the words the tests use.
func game(t *testing.T, s *postgres.Store, p tags.Program) tags.Game {
	t.Helper()
	g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "Invented opponent"}, "2031",
		tags.Game{Label: "week 1"})
	if err != nil {
		t.Fatal(err)
	}
	err = s.AddWords(ctx, p.ID, []tags.Word{{Field: "concept", Word: "smash"}, {Field: "concept", Word: "hitch-corner",
		AliasOf: ptr("smash")},
		{Field: "set_name", Word: "2x2"}, {Field: "route", Word: "hitch"}, {Field: "route", Word: "corner"}})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// TestEnsureOurGame: a game that is there is marked as ours, and never unmarked.
func TestEnsureOurGame(t *testing.T) {
	s, p := postgrestest.New(t)
	for i, ours := range []bool{false, true, true, false} {
		g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "Invented opponent"}, "", tags.Game{Label: "week 1",
			Ours: ours})
		if err != nil {
			t.Fatal(err)
		}
		g, err = s.Games().Get(ctx, p.ID, g.ID)
		if want := int64(min(i, 1) + 1); err != nil || g.Ours != (i > 0) || g.Version != want {
			t.Errorf("after %d: ours %v, version %d, %v; want %v, %d", i, g.Ours, g.Version, err, i > 0, want)
		}
	}
}

// TestOurPlays: only counted plays of our games against him, and never more than can be read.
func TestOurPlays(t *testing.T) {
	s, p := postgrestest.New(t)
	var opponent uuid.UUID
	for i, ours := range []bool{false, true} {
		g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "Invented opponent"}, "",
			tags.Game{Label: fmt.Sprint("week ", i), Ours: ours})
		if err != nil {
			t.Fatal(err)
		}
		opponent = g.OpponentID
		if _, err := s.LoadPlays(ctx, p.ID, []tags.Play{{GameID: g.ID, OpponentID: opponent, Number: 1, Status: "counted",
			Down: ptr(1)}, {GameID: g.ID, OpponentID: opponent, Number: 2, Status: "counted", Down: ptr(2)},
			{GameID: g.ID, OpponentID: opponent, Number: 3, Status: "kneel"}}); err != nil {
			t.Fatal(err)
		}
	}
	for most, want := range map[int]string{2: "2", 1: "game"} {
		ps, err := s.OurPlays(ctx, p, opponent, nil, most)
		got := fmt.Sprint(len(ps))
		if e := tags.As(err); e != nil && e.Kind == tags.Invalid {
			got = e.Fields[0].Field
		}
		if got != want {
			t.Errorf("at most %d: %s, %v; want %s", most, got, err, want)
		}
	}
	if ps, err := s.OurPlays(ctx, p, opponent, map[string][]string{"down": {"2"}}, 9); err != nil || len(ps) != 1 ||
		ps[0].Number != 2 {
		t.Errorf("second down: %v, %v", ps, err)
	}
}

func TestPlayRoundTrip(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	in := tags.Play{GameID: g.ID, Number: 1, Status: "counted", Down: ptr(3), DistanceYd: ptr(7), Called: ptr("pass"),
		Family:  ptr("dropback"),
		Concept: ptr("Hitch-Corner"), SetName: ptr("2x2"), PlaySide: ptr("right"),
		Routes: []tags.Route{{Side: "right", Number: 1, Eligible: "receiver", Route: "hitch", BreakDepthYd: ptr(5.5),
			BreakDirection: ptr("back"), Targeted: true},
			{Side: "right", Number: 2, Eligible: "receiver", Route: "corner"}}}
	out, err := s.Plays().Create(ctx, p.ID, in)
	if err != nil {
		t.Fatal(err)
	}
	back, err := s.Plays().Get(ctx, p.ID, out.ID)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(out, back); d != "" {
		t.Errorf("stored and read differ (-created +read):\n%s", d)
	}
	in.Meta, in.OpponentID, in.Concept = out.Meta, g.OpponentID, ptr("smash") // the alias counts as its word
	if d := cmp.Diff(in, back); d != "" {
		t.Errorf("sent and read differ (-sent +read):\n%s", d)
	}
	if back.GainYd != nil || back.Routes[1].BreakDepthYd != nil {
		t.Error("an unknown gain or depth came back as a number")
	}
}

func TestRefusals(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	film, err := s.Films().Create(ctx, p.ID, tags.Film{GameID: g.ID, Location: "/films/one.mp4"})
	if err != nil {
		t.Fatal(err)
	}
	clip := tags.Clip{FilmID: film.ID, StartS: 1, EndS: 9}
	if _, err := s.Clips().Create(ctx, p.ID, clip); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name string
		do   func() error
		kind tags.Kind
		word string
	}{
		{"a down of 5", func() error {
			_, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 2, Status: "counted", Down: ptr(5)})
			return err
		}, tags.Invalid, "down"},
		{"an unknown concept names the nearest", func() error {
			_, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: 2, Status: "counted", Concept: ptr("smahs")})
			return err
		}, tags.Invalid, "smash"},
		{"a game that does not exist", func() error {
			_, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: postgres.NewID(), Number: 2, Status: "counted"})
			return err
		}, tags.Invalid, "game_id"},
		{"a duplicate clip", func() error { _, err := s.Clips().Create(ctx, p.ID, clip); return err }, tags.Conflict,
			"start_s"},
		{"a missing play", func() error { _, err := s.Plays().Get(ctx, p.ID, postgres.NewID()); return err }, tags.NotFound,
			"play"},
		{"a stale opponent", func() error {
			_, err := s.Opponents().Replace(ctx, p.ID, g.OpponentID, 7, tags.Opponent{Code: "o1", Name: "x"})
			return err
		}, tags.Stale, "version"},
		{"another program's game", func() error { _, err := s.Games().Get(ctx, postgres.NewID(), g.ID); return err },
			tags.NotFound, "game"},
	}
	for _, tt := range tests {
		err := tt.do()
		e := tags.As(err)
		if e == nil || e.Kind != tt.kind || !strings.Contains(e.Error(), tt.word) {
			t.Errorf("%s: %v; want kind %v naming %q", tt.name, err, tt.kind, tt.word)
		}
	}
}

// TestConstraints tries what the schema itself must refuse, past the checks of
// package tags.
func TestConstraints(t *testing.T) {
	url := postgrestest.URL(t)
	s := opened(t, url)
	p, _ := s.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "x", Level: "college"})
	g := game(t, s, p)
	c, err := pgx.Connect(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(ctx)
	for _, bad := range []string{"down = 5", "down = 0", "distance_yd = 0", "yards_to_goal = 100", "quarter = 6",
		"gain_yd = 100", "hash = 'center'", "personnel = '99'",
		"called = 'kick'", "family = 'wishbone'", "status = 'maybe'", "number = 0", "result = 'x'", "shell = 'x'",
		"rushers = 12", "clock_s = 901",
		"family = 'run', called = 'pass'", "routes = ARRAY[ROW('up',1,'receiver','hitch',5,'in',false)::route_tag]",
		"routes = ARRAY[ROW('left',6,'receiver','hitch',5,'in',false)::route_tag]",
		"routes = ARRAY[ROW('left',1,'receiver','hitch',61,'in',false)::route_tag]"} {
		tx, _ := c.Begin(ctx)
		_, err := tx.Exec(ctx, `INSERT INTO plays (program_id, id, game_id, opponent_id, number) VALUES ($1, $2, $3, $4, 1)`,
			p.ID, postgres.NewID(), g.ID, g.OpponentID)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := tx.Exec(ctx, "UPDATE plays SET "+bad); err == nil || !strings.Contains(err.Error(), "_check") {
			t.Errorf("UPDATE plays SET %s: %v; want a named check to refuse it", bad, err)
		}
		tx.Rollback(ctx)
	}
}

func TestPagesVisitEachOnce(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	for i := 1; i <= 25; i++ {
		if _, err := s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: i, Status: "counted",
			Down: ptr(1 + i%4)}); err != nil {
			t.Fatal(err)
		}
	}
	seen, after := map[uuid.UUID]bool{}, uuid.Nil
	for {
		page, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 7, After: after})
		if err != nil {
			t.Fatal(err)
		}
		if len(page) == 0 {
			break
		}
		for _, x := range page {
			if seen[x.ID] {
				t.Fatalf("play %d was visited twice", x.Number)
			}
			seen[x.ID] = true
		}
		after = page[len(page)-1].ID
	}
	if len(seen) != 25 {
		t.Errorf("visited %d plays of 25", len(seen))
	}
	third, err := s.Plays().List(ctx, p.ID, postgres.Page{Limit: 100, Filters: map[string]string{"down": "3"}})
	if err != nil || len(third) != 6 { // 25 plays, downs 2 3 4 1 ...: six of them third
		t.Errorf("List of third downs: %d plays, %v; want 6", len(third), err)
	}
}

func TestLoadTwiceChangesNothing(t *testing.T) {
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	var ps []tags.Play
	for i := 1; i <= 30; i++ {
		ps = append(ps, tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: i, Status: "counted", Down: ptr(1),
			DistanceYd: ptr(10), Called: ptr("pass"), GainYd: ptr(i - 10),
			Routes: []tags.Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "hitch", BreakDepthYd: ptr(6.0)}}})
	}
	for i, want := range []postgres.Loaded{{Inserted: 30}, {Unchanged: 30}, {Updated: 1, Unchanged: 29}} {
		if i == 2 {
			ps[4].GainYd = ptr(50)
		}
		again := append([]tags.Play(nil), ps...)
		for k := range again {
			again[k].ID = uuid.Nil
		}
		got, err := s.LoadPlays(ctx, p.ID, again)
		if err != nil || got != want {
			t.Errorf("load %d: %+v, %v; want %+v", i+1, got, err, want)
		}
	}
	// Two loads in one transaction, the second longer than what one statement takes.
	err := s.Atomically(ctx, func(s *postgres.Store) error {
		if _, err := s.LoadPlays(ctx, p.ID, ps[:1]); err != nil {
			return err
		}
		var many []tags.Play
		for week := range 8 {
			g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o2", Name: "Invented"}, "",
				tags.Game{Label: fmt.Sprint("week ", week)})
			if err != nil {
				return err
			}
			for i := range 900 {
				many = append(many, tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: i + 1, Status: "no_play"})
			}
		}
		got, err := s.LoadPlays(ctx, p.ID, many)
		if want := (postgres.Loaded{Inserted: 7200}); err == nil && got != want {
			t.Errorf("a long load: %+v; want %+v", got, want)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	ten, err := s.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"down", "distance_band"}})
	if err != nil {
		t.Fatal(err)
	}
	// Gains are -9..20 with the fifth (-5) made 50: sum of -9..20 is 165, plus 55.
	// between 6 and 7
	want := tags.Cell{Keys: []*string{ptr("1"), ptr("7-10")}, Plays: 30, Passes: 30, GainSum: 220, GainKnown: 30,
		SuccessKnown: 30, ExplosiveKnown: 30, MedianGain: ptr(6.5),
		Successes: 18, FirstDowns: 12, Explosives: 6} // gain >= 4: 4..20 and 50; >= 10: 10..20 and 50; >= 16: 16..20 and 50
	if d := cmp.Diff([]tags.Cell{want}, ten.Cells); d != "" {
		t.Errorf("tendency (-counted by hand +got):\n%s", d)
	}
}

func TestMigrations(t *testing.T) {
	url := postgrestest.Empty(t)
	var wg sync.WaitGroup
	errs := make([]error, 2)
	for i := range errs { // two programs start at once
		wg.Go(func() { errs[i] = migrations.Up(url) })
	}
	wg.Wait()
	for _, err := range append(errs, migrations.To(url, 0), migrations.Up(url)) {
		if err != nil {
			t.Errorf("up twice at once, down, up: %v", err)
		}
	}
	c, _ := pgx.Connect(ctx, url)
	defer c.Close(ctx)
	c.Exec(ctx, "UPDATE schema_migrations SET version = 9999")
	if err := migrations.Up(url); err == nil || !strings.Contains(err.Error(), "newer program") {
		t.Errorf("Up on a newer database: %v; want a refusal that says so", err)
	}
}
