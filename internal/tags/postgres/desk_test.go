package postgres_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// A desk is a program with a hand at its database.
type desk struct {
	t *testing.T
	s *postgres.Store
	p tags.Program
	c *pgx.Conn
}

func newDesk(t *testing.T) *desk {
	t.Helper()
	address := postgrestest.URL(t)
	s := opened(t, address)
	p, err := s.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "Invented staff", Level: "college"})
	if err != nil {
		t.Fatal(err)
	}
	c, err := pgx.Connect(ctx, address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { c.Close(ctx) })
	return &desk{t, s, p, c}
}

func (d *desk) strings(sql string, args ...any) []string {
	d.t.Helper()
	rows, err := d.c.Query(ctx, sql, args...)
	if err != nil {
		d.t.Fatal(err)
	}
	out, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		d.t.Fatalf("%s: %v", sql, err)
	}
	return out
}

// tables lists the database's own tables.
func (d *desk) tables() []string {
	return d.strings(`SELECT relname::text FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace ` +
		`ORDER BY 1`)
}

var deletable = []string{"seasons", "opponents", "games", "films", "plays", "clips", "blind_tags", "words", "calls",
	"plans"}

// rows is everything of the program that can be deleted, without versions.
func (d *desk) rows() map[string][]string {
	out := map[string][]string{}
	for _, t := range deletable {
		out[t] = d.strings(`SELECT (to_jsonb(x) - 'version' - 'updated_at')::text FROM ` + t + ` x ORDER BY id`)
	}
	return out
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// fill makes two opponents with everything that can hang on one, each text with
// the mark in it.
func (d *desk) fill(mark string) {
	d.t.Helper()
	s, p, n := d.s.By("ana"), d.p.ID, 0
	key := func() string { n++; return fmt.Sprint(mark, n) }
	season := must[tags.Season](d.t)(s.Seasons().CreateOnce(ctx, p, key(), tags.Season{Label: "season " + mark}))
	if err := s.AddWords(ctx, p, []tags.Word{{Field: "concept", Word: "smash " + mark}, {Field: "concept", Word: "china " +
		mark, AliasOf: ptr("smash " + mark)},
		{Field: "route", Word: "hitch " + mark}, {Field: "set_name", Word: "unused " + mark}}); err != nil {
		d.t.Fatal(err)
	}
	must[tags.Call](d.t)(s.Calls().CreateOnce(ctx, p, key(), tags.Call{Name: "call " + mark, Active: true,
		Body: json.RawMessage(`{"name": "` + mark + `", "depth": 1.50}`)}))
	for o := range 2 {
		opp := must[tags.Opponent](d.t)(s.Opponents().CreateOnce(ctx, p, key(), tags.Opponent{Code: fmt.Sprint("o", o, mark),
			Name: "Invented " + mark, Note: ptr(mark)}))
		for g := range 2 {
			game := must[tags.Game](d.t)(s.Games().CreateOnce(ctx, p, key(), tags.Game{OpponentID: opp.ID, SeasonID: &season.ID,
				Label: fmt.Sprint("week ", g, " ", mark), Versus: ptr(mark)}))
			film := must[tags.Film](d.t)(s.Films().CreateOnce(ctx, p, key(), tags.Film{GameID: game.ID, Location: "/films/" +
				mark + ".mp4", Angle: ptr(mark)}))
			for k := range 3 {
				play := must[tags.Play](d.t)(s.Plays().CreateOnce(ctx, p, key(), tags.Play{GameID: game.ID, Number: k + 1,
					Status: "counted", Concept: ptr("china " + mark),
					Note: ptr(mark), ThrowS: ptr(2.1), Routes: []tags.Route{{Side: "left", Number: 1, Eligible: "receiver",
						Route: "hitch " + mark, BreakDepthYd: ptr(5.1)}}}))
				clip := tags.Clip{FilmID: film.ID, PlayID: &play.ID, StartS: float64(k) + .1, EndS: float64(k) + .7,
					Angle: ptr(mark)}
				if k == 1 {
					clip.Number = ptr(2)
				}
				clip = must[tags.Clip](d.t)(s.Clips().CreateOnce(ctx, p, key(), clip))
				must[tags.BlindTag](d.t)(s.BlindTags().CreateOnce(ctx, p, key(), tags.BlindTag{ClipID: clip.ID, Analyst: "ana " +
					mark, Tags: tags.Seen{Play: tags.Play{Status: "counted", Note: ptr(mark)}}}))
			}
			if g == 0 { // one plan for a game, locked, and one for none
				plan := d.plan(opp.ID, fmt.Sprint("plan ", mark), mark)
				plan.GameID = &game.ID
				plan = must[tags.Plan](d.t)(s.Plans().CreateOnce(ctx, p, key(), plan))
				plan.LockedAt, plan.LockedBy = ptr(time.Now()), ptr("ana "+mark)
				must[tags.Plan](d.t)(s.Plans().Replace(ctx, p, plan.ID, 1, plan))
				must[tags.Plan](d.t)(s.Plans().CreateOnce(ctx, p, key(), d.plan(opp.ID, fmt.Sprint("draft ", mark), mark)))
			}
		}
	}
}

// plan is a plan with the mark in it.
func (d *desk) plan(opponent uuid.UUID, label, mark string) tags.Plan {
	return tags.Plan{PlanHead: tags.PlanHead{OpponentID: opponent, Label: label},
		Content: json.RawMessage(`{"made_at": "2031-09-01T12:00:00Z", "situations": [], "note": "` + mark + `"}`)}
}

func (d *desk) remove(kind string, id uuid.UUID, version int64) error {
	s := d.s.By("ben")
	return map[string]func() error{
		"seasons":    func() error { return s.Seasons().Remove(ctx, d.p.ID, id, version) },
		"opponents":  func() error { return s.Opponents().Remove(ctx, d.p.ID, id, version) },
		"games":      func() error { return s.Games().Remove(ctx, d.p.ID, id, version) },
		"films":      func() error { return s.Films().Remove(ctx, d.p.ID, id, version) },
		"plays":      func() error { return s.Plays().Remove(ctx, d.p.ID, id, version) },
		"clips":      func() error { return s.Clips().Remove(ctx, d.p.ID, id, version) },
		"blind_tags": func() error { return s.BlindTags().Remove(ctx, d.p.ID, id, version) },
		"words":      func() error { return s.Words().Remove(ctx, d.p.ID, id, version) },
		"calls":      func() error { return s.Calls().Remove(ctx, d.p.ID, id, version) },
		"plans":      func() error { return s.Plans().Remove(ctx, d.p.ID, id, version) },
	}[kind]()
}

// any deletes one row of a table, unless it may not be; it says whether it did.
func (d *desk) any(r *rand.Rand, kind string) bool {
	d.t.Helper()
	ids := d.strings(`SELECT id || ' ' || version FROM ` + kind + ` ORDER BY id`)
	if len(ids) == 0 {
		return false
	}
	var id uuid.UUID
	var version int64
	var text string
	fmt.Sscan(ids[r.IntN(len(ids))], &text, &version)
	id = uuid.MustParse(text)
	err := d.remove(kind, id, version)
	if e := tags.As(err); e != nil && e.Kind == tags.Conflict {
		return false // a word or a season that is used
	}
	if err != nil {
		d.t.Fatalf("deleting one of %s: %v", kind, err)
	}
	return true
}

func (d *desk) deletions() []tags.Deletion {
	d.t.Helper()
	return must[[]tags.Deletion](d.t)(d.s.Deletions(ctx, d.p.ID, 500, uuid.Nil))
}
