package postgres_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5/pgconn"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// TestLockedPlan: whoever writes, a locked plan stays as it is; it can be deleted,
// comes back locked, and a copy of it is free.
func TestLockedPlan(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	s := d.s.Plans()
	p := must[tags.Plan](t)(s.Create(ctx, d.p.ID, d.plan(g.OpponentID, "week 1", "x")))
	p.GameID, p.Label = &g.ID, "week one"
	p = must[tags.Plan](t)(s.Replace(ctx, d.p.ID, p.ID, 1, p)) // not locked: it changes
	p.LockedAt, p.LockedBy = ptr(time.Now()), ptr("ana")
	p = must[tags.Plan](t)(s.Replace(ctx, d.p.ID, p.ID, 2, p))
	before := d.strings(`SELECT p::text FROM plans p`)
	other := p
	other.Label = "changed"
	_, err := s.Replace(ctx, d.p.ID, p.ID, p.Version, other)
	wantKind(t, "changing a locked plan", err, tags.Conflict, "locked")
	other.Label, other.LockedAt, other.LockedBy = p.Label, nil, nil
	_, err = s.Replace(ctx, d.p.ID, p.ID, p.Version, other)
	wantKind(t, "unlocking", err, tags.Conflict, "locked")
	_, err = s.Replace(ctx, d.p.ID, p.ID, 1, p)
	wantKind(t, "an old version", err, tags.Stale, "version 1")
	// A hand at the database meets the same wall.
	for _, sql := range []string{`UPDATE plans SET locked_at = NULL, locked_by = NULL`, `UPDATE plans SET content = '{}'`,
		`UPDATE plans SET label = label`} {
		_, err := d.c.Exec(ctx, sql)
		if pg, ok := err.(*pgconn.PgError); !ok || pg.ConstraintName != "plans_locked_check" {
			t.Errorf("%s: %v; want plans_locked_check", sql, err)
		}
	}
	if err := d.remove("plans", p.ID, p.Version); err != nil {
		t.Fatal(err)
	}
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, d.deletions()[0].ID))
	back := must[tags.Plan](t)(s.Get(ctx, d.p.ID, p.ID))
	if back.LockedAt == nil || !back.LockedAt.Equal(*p.LockedAt) || *back.LockedBy != "ana" || back.Version != p.Version+
		1 {
		t.Errorf("restored: %+v, before %v", back, before)
	}
	back.ID, back.Label, back.LockedAt, back.LockedBy = uuid.Nil, "copy", nil, nil
	back = must[tags.Plan](t)(s.Create(ctx, d.p.ID, back))
	back.Label = "copy changed"
	must[tags.Plan](t)(s.Replace(ctx, d.p.ID, back.ID, 1, back))
}

// TestPlanHangs: a plan goes with its game and with its opponent, comes back with
// either, waits for a game that was deleted by itself, and goes for good with one that is purged.
func TestPlanHangs(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	s := d.s.Plans()
	free := must[tags.Plan](t)(s.Create(ctx, d.p.ID, d.plan(g.OpponentID, "for no game", "x")))
	bound := d.plan(g.OpponentID, "for the game", "x")
	bound.GameID = &g.ID
	bound = must[tags.Plan](t)(s.Create(ctx, d.p.ID, bound))
	there := func() int { return len(d.strings(`SELECT label FROM plans`)) }
	if err := d.remove("games", g.ID, 1); err != nil || there() != 1 {
		t.Fatalf("deleting the game: %v, %d plans stay; want the one for no game", err, there())
	}
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, d.deletions()[0].ID))
	o := must[tags.Opponent](t)(d.s.Opponents().Get(ctx, d.p.ID, g.OpponentID))
	if err := d.remove("opponents", o.ID, o.Version); err != nil || there() != 0 {
		t.Fatalf("deleting the opponent: %v, %d plans stay", err, there())
	}
	if n := d.deletions()[0].Rows["plans"]; n != 2 {
		t.Errorf("%d plans went with the opponent; want each once", n)
	}
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, d.deletions()[0].ID))
	for _, p := range []tags.Plan{free, bound} {
		now := must[tags.Plan](t)(s.Get(ctx, d.p.ID, p.ID))
		if err := d.remove("plans", p.ID, now.Version); err != nil {
			t.Fatal(err)
		}
	}
	g = must[tags.Game](t)(d.s.Games().Get(ctx, d.p.ID, g.ID))
	if err := d.remove("games", g.ID, g.Version); err != nil {
		t.Fatal(err)
	}
	ds := d.deletions() // the game, the plan for it, the plan for none
	_, err := d.s.Restore(ctx, d.p.ID, ds[1].ID)
	wantKind(t, "a plan whose game is gone", err, tags.Conflict, "restore week 1")
	must[int](t)(d.s.Purge(ctx, d.p.ID, ds[0].ID))
	if left := d.deletions(); len(left) != 1 || left[0].ID != ds[2].ID || !strings.HasPrefix(left[0].What,
		"for no game, ") {
		t.Fatalf("after the game was purged: %+v; want the plan for no game alone", left)
	}
	must[tags.Deletion](t)(d.s.Restore(ctx, d.p.ID, ds[2].ID))
}

// TestPlanRefuses: what the schema forbids, named by field.
func TestPlanRefuses(t *testing.T) {
	d := newDesk(t)
	g := game(t, d.s, d.p)
	o := must[tags.Opponent](t)(d.s.Opponents().Create(ctx, d.p.ID, tags.Opponent{Code: "o8", Name: "Invented"}))
	good := func() tags.Plan { return d.plan(g.OpponentID, "a", "x") }
	must[tags.Plan](t)(d.s.Plans().Create(ctx, d.p.ID, good()))
	for name, x := range map[string]struct {
		change func(*tags.Plan)
		kind   tags.Kind
		word   string
	}{
		"the same label": {func(*tags.Plan) {}, tags.Conflict, "label"},
		"no label":       {func(p *tags.Plan) { p.Label = " " }, tags.Invalid, "label"},
		"no opponent":    {func(p *tags.Plan) { p.OpponentID = postgres.NewID() }, tags.Invalid, "opponent_id"},
		"no game": {func(p *tags.Plan) { p.GameID, p.Label = ptr(postgres.NewID()), "b" }, tags.Invalid,
			"game_id"},
		"a game of another opponent": {func(p *tags.Plan) { p.OpponentID, p.GameID = o.ID, &g.ID }, tags.Invalid, "game_id"},
		"locked by, not locked":      {func(p *tags.Plan) { p.LockedBy = ptr("ana") }, tags.Invalid, "locked_by"},
		"a list as content":          {func(p *tags.Plan) { p.Content = json.RawMessage(`[]`) }, tags.Invalid, "content"},
	} {
		p := good()
		x.change(&p)
		_, err := d.s.Plans().Create(ctx, d.p.ID, p)
		wantKind(t, name, err, x.kind, x.word)
	}
}
