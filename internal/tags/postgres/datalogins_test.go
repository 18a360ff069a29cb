package postgres_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres/postgrestest"
)

// dataLogin makes a login of the archive's program and signs in with it. Names are the
// cluster's, and other tests share it.
func dataLogin(t *testing.T, a *archive) (*pgx.Conn, string) {
	t.Helper()
	name := fmt.Sprintf("lab_%x", rand.Uint64())
	address := must[string](t)(a.s.AddDataLogin(ctx, a.p.ID, name))
	t.Cleanup(func() { a.s.EndDataLogin(ctx, a.p.ID, name) })
	return must[*pgx.Conn](t)(pgx.Connect(ctx, address)), name
}

func texts(t *testing.T, c *pgx.Conn, sql string, args ...any) []string {
	t.Helper()
	rows, err := c.Query(ctx, sql, args...)
	if err != nil {
		t.Fatal(err)
	}
	return must[[]string](t)(pgx.CollectRows(rows, pgx.RowTo[string]))
}

// TestDataLoginSeesItsProgram: every view, by every way round that a login has: a setting, a role, a
// function of its own that is run before the wall, the tables themselves.
func TestDataLoginSeesItsProgram(t *testing.T) {
	a := newArchive(t, 3, 20)
	b := must[tags.Program](t)(a.s.EnsureProgram(ctx, tags.Program{Code: "theirs", Name: "Others", Level: "college"}))
	g := must[tags.Game](t)(a.s.EnsureGame(ctx, b.ID, tags.Opponent{Code: "hidden", Name: "Hidden"}, "hidden",
		tags.Game{Label: "hidden"}))
	must[any](t)(nil, a.s.AddWords(ctx, b.ID, []tags.Word{{Field: "route", Word: "hidden"}}))
	must[any](t)(a.s.LoadPlays(ctx, b.ID, []tags.Play{{GameID: g.ID, OpponentID: g.OpponentID, Number: 1,
		Status: "counted", Note: ptr("hidden"), Routes: []tags.Route{{Side: "left", Number: 1, Eligible: "receiver",
			Route: "hidden"}}}}))
	owner := must[*pgx.Conn](t)(pgx.Connect(ctx, a.url))
	defer owner.Close(ctx)
	must[pgconn.CommandTag](t)(owner.Exec(ctx, `INSERT INTO calls (program_id, id, name, body)
		VALUES ($1, gen_random_uuid(), 'hidden', '{}'), ($2, gen_random_uuid(), 'ours', '{}')`, b.ID, a.p.ID))
	c, _ := dataLogin(t, a)
	defer c.Close(ctx)
	views := texts(t, c, `SELECT relname::text FROM pg_class WHERE relnamespace = 'data'::regnamespace`)
	if len(views) < 8 {
		t.Fatalf("views %v", views)
	}
	for _, how := range []string{"", "SET overhang.program = '" + b.ID.String() + "'; SET search_path = public",
		"SET default_transaction_read_only = off"} {
		if _, err := c.Exec(ctx, how); err != nil {
			t.Fatal(err)
		}
		for _, v := range views {
			all := strings.Join(texts(t, c, "SELECT to_jsonb(v)::text FROM data."+v+" v"), "\n")
			if all == "" || strings.Contains(strings.ToLower(all), "hidden") || strings.Contains(all, `"theirs"`) {
				t.Errorf("after %q data.%s shows nothing of ours, or something of theirs:\n%.200s", how, v, all)
			}
		}
	}
	notThere(t, c, views)
	leaks(t, a, c.Config())
}

// notThere asks for what no data login may do.
func notThere(t *testing.T, c *pgx.Conn, views []string) {
	t.Helper()
	asks := []string{"SET ROLE overhang_server", "SET SESSION AUTHORIZATION overhang_server",
		"CREATE TABLE data.mine (x int)", "SELECT * FROM pg_authid",
		"INSERT INTO public.data_logins SELECT program_id, 'x' FROM public.plays",
		"DROP VIEW data.plays", "CREATE ROLE other", "ALTER ROLE overhang_data LOGIN"}
	for _, v := range views {
		asks = append(asks, "DELETE FROM data."+v, "TRUNCATE data."+v)
	}
	asks = append(asks, "UPDATE data.opponents SET note = 'x'",
		"INSERT INTO data.words (field, word) VALUES ('route', 'x')")
	for _, table := range texts(t, c, `SELECT relname::text FROM pg_class
		WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p', 'S')`) {
		asks = append(asks, "SELECT * FROM public."+table, "DELETE FROM public."+table)
	}
	for _, ask := range asks {
		_, err := c.Exec(ctx, ask)
		if pg, ok := err.(*pgconn.PgError); !ok || pg.Code != "42501" && pg.Code != "55000" && pg.Code != "42809" {
			t.Errorf("%s: %v, want that it may not", ask, err)
		}
	}
}

// leaks has a function of the login's own, cheap and so put first, say which rows it is handed.
func leaks(t *testing.T, a *archive, cfg *pgx.ConnConfig) {
	t.Helper()
	var said []string
	cfg.OnNotice = func(_ *pgconn.PgConn, n *pgconn.Notice) { said = append(said, n.Message) }
	c := must[*pgx.Conn](t)(pgx.ConnectConfig(ctx, cfg))
	defer c.Close(ctx)
	must[pgconn.CommandTag](t)(c.Exec(ctx, `SET default_transaction_read_only = off`))
	must[pgconn.CommandTag](t)(c.Exec(ctx, `CREATE FUNCTION pg_temp.tell(o text, n text) RETURNS boolean LANGUAGE plpgsql
		COST 0.0000001 AS $$ BEGIN RAISE NOTICE '% %', o, n; RETURN true; END $$`))
	var n int
	if err := c.QueryRow(ctx, `SELECT count(*) FROM data.plays WHERE pg_temp.tell(note, '')`).Scan(&n); err != nil {
		t.Fatal(err)
	}
	if slices.ContainsFunc(said, func(s string) bool { return strings.Contains(s, "hidden") }) || len(said) == 0 {
		t.Errorf("a function was handed rows behind the wall, or none at all: %d notices of %d plays", len(said), n)
	}
}

// TestDataLoginEnds: an ended login does not get in, one of a program that is gone sees nothing, and
// a login that is taken or no name is refused.
func TestDataLoginEnds(t *testing.T) {
	a := newArchive(t, 1, 5)
	c, name := dataLogin(t, a)
	for login, kind := range map[string]tags.Kind{name: tags.Conflict, `x"; DROP`: tags.Invalid, "pg_x": tags.Invalid} {
		if _, err := a.s.AddDataLogin(ctx, a.p.ID, login); tags.As(err) == nil || tags.As(err).Kind != kind {
			t.Errorf("%s: %v", login, err)
		}
	}
	if got := must[int](t)(len(texts(t, c, `SELECT id::text FROM data.plays`)), nil); got != 5 {
		t.Errorf("%d plays", got)
	}
	owner := must[*pgx.Conn](t)(pgx.Connect(ctx, a.url))
	defer owner.Close(ctx)
	must[any](t)(owner.Exec(ctx, `DELETE FROM seasons; DELETE FROM opponents; DELETE FROM programs`))
	if got := texts(t, c, `SELECT id::text FROM data.plays UNION ALL SELECT code FROM data.program`); len(got) > 0 {
		t.Errorf("a login of no program sees %v", got)
	}
	c.Close(ctx)
	a = newArchive(t, 1, 5)
	c, name = dataLogin(t, a)
	address := c.Config().ConnString()
	c.Close(ctx)
	if err := a.s.EndDataLogin(ctx, a.p.ID, name); err != nil {
		t.Fatal(err)
	}
	if _, err := pgx.Connect(ctx, address); err == nil {
		t.Error("an ended login gets in")
	}
}

// TestDataIsDescribed: no view and no column without words, and every tag of a play is shown.
func TestDataIsDescribed(t *testing.T) {
	c := must[*pgx.Conn](t)(pgx.Connect(ctx, postgrestest.URL(t)))
	defer c.Close(ctx)
	if bare := texts(t, c, `
		SELECT concat_ws('.', c.relname, a.attname)
		FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0
		WHERE c.relnamespace = 'data'::regnamespace AND coalesce(col_description(c.oid, a.attnum), '') = ''
		UNION ALL
		SELECT relname FROM pg_class WHERE relnamespace = 'data'::regnamespace AND obj_description(oid, 'pg_class') IS NULL`,
	); len(bare) > 0 {
		t.Errorf("no COMMENT on %v", bare)
	}
	left := texts(t, c, `
		SELECT attname::text FROM pg_attribute WHERE attrelid = 'plays'::regclass AND attnum > 0 AND NOT attisdropped
		EXCEPT SELECT attname::text FROM pg_attribute WHERE attrelid = 'data.plays'::regclass ORDER BY 1`)
	// Whose it is, how often it was changed, and the routes, which are a view of their own.
	if diff := cmp.Diff([]string{"program_id", "routes", "version"}, left); diff != "" {
		t.Errorf("columns of plays that data.plays has not (-want +got):\n%s", diff)
	}
}

// TestDataCountsAsTendencies: what the views call a band, a zone, a success and an explosive play is
// what the API counts.
func TestDataCountsAsTendencies(t *testing.T) {
	a := newArchive(t, 8, 60)
	c, _ := dataLogin(t, a)
	defer c.Close(ctx)
	by := []string{"opponent", "season", "game", "week", "ours", "distance_band", "field_zone", "success", "explosive",
		"down", "called", "concept", "hash", "touchdown", "coverage", "personnel"}
	for _, d := range by {
		column := d
		if slices.Contains([]string{"ours", "success", "explosive", "touchdown"}, d) {
			column = "CASE " + d + " WHEN true THEN 'yes' WHEN false THEN 'no' END"
		}
		want := map[string]bool{}
		for _, cell := range must[tags.Tendency](t)(a.s.Tendencies(ctx, a.p, tags.TendencyQuery{By: []string{d}})).Cells {
			want[fmt.Sprintf("%s %d", word(cell.Keys[0]), cell.Plays)] = true
		}
		got := map[string]bool{}
		for _, line := range texts(t, c, `SELECT coalesce(`+column+`::text, '`+word(nil)+`') || ' ' || count(*)
			FROM data.plays WHERE status = 'counted' GROUP BY `+column) {
			got[line] = true
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-tendencies +view):\n%s", d, diff)
		}
	}
}
