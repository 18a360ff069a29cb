package httpapi_test

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/internal/httpapi"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// go test ./internal/httpapi -run TestManyPrograms -load -v -timeout 30m
var (
	manyPrograms = flag.Int("programs", 1000, "with -load: how many programs share a database")
	playsOfEach  = flag.Int("plays", 400, "with -load: plays of each")
)

// TestManyPrograms measures a program's writes and questions, through the door and the
// walls, in a database of its own and in one it shares with a thousand others: in turn,
// so that whatever else the machine does falls on both; and what the rows take on
// disk. That a question reads no other program's rows is asserted, from PostgreSQL's
// own counters.
func TestManyPrograms(t *testing.T) {
	if !*load20 {
		t.Skip("with -load only: it measures, for minutes")
	}
	alone, among := newHouse(t), newHouse(t)
	at := time.Now()
	for i := range *manyPrograms - 1 {
		among.another(i)
	}
	t.Logf("%d programs with %d plays each stored in %v", *manyPrograms, *playsOfEach, time.Since(at).Round(time.Second))
	for _, h := range []*house{alone, among} {
		execute(t, h.db, "VACUUM ANALYZE")
		execute(t, h.db, "CHECKPOINT")
	}
	inTurn := func(what string, n int, do func(h *house, n int)) {
		var took [2][]time.Duration
		for i := range n {
			for k, h := range []*house{alone, among} {
				at := time.Now()
				do(h, i)
				took[k] = append(took[k], time.Since(at))
			}
		}
		for k, name := range []string{"alone", fmt.Sprintf("one of %d", *manyPrograms)} {
			slices.Sort(took[k])
			t.Logf("%s, %s: p50 %.1f ms, p99 %.1f ms (n = %d)", what, name, took[k][n/2].Seconds()*1000,
				took[k][n*99/100].Seconds()*1000, n)
		}
	}
	inTurn("a play stored", 500, func(h *house, n int) { h.ask(201, "POST", "/plays", h.play(1, n+1)) })
	before := among.scanned()
	inTurn("tendencies", 200, func(h *house, _ int) { h.ask(200, "GET", "/tendencies?by=down,distance_band", nil) })
	inTurn("100 plays listed", 200, func(h *house, _ int) { h.ask(200, "GET", "/plays?limit=100", nil) })
	after := among.scanned()
	own := int64(*playsOfEach + 500)
	if seq, rows := after[0]-before[0], after[1]-before[1]; seq > 0 || rows > 400*own {
		t.Errorf("400 questions of a program with %d plays: %d rows read by scanning the table, %d by index", own, seq, rows)
	}
	among.sizes()
}

// A house is a desk behind the door and the walls, with plays in its first game.
type house struct {
	*desk
	token string
}

func newHouse(t *testing.T) *house {
	t.Helper()
	d := newDesk(t, 2)
	h, err := httpapi.New(behindWalls(t, d.store), slog.New(slog.DiscardHandler), httpapi.WithLogin(d.store))
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	d.url = srv.URL + ours
	d.fill(d.p, d.games[0], *playsOfEach)
	return &house{d, (&client{t: t, url: srv.URL}).person(d.store, "ours", "head", staff.Owner).token}
}

// fill loads n plays into a game, as a spreadsheet would be.
func (d *desk) fill(p tags.Program, g tags.Game, n int) {
	d.t.Helper()
	ps := make([]tags.Play, n)
	for i := range ps {
		if err := json.Unmarshal(d.play(0, i+1), &ps[i]); err != nil {
			d.t.Fatal(err)
		}
		ps[i].GameID, ps[i].OpponentID = g.ID, g.OpponentID
	}
	if _, err := d.store.LoadPlays(context.Background(), p.ID, ps); err != nil {
		d.t.Fatal(err)
	}
}

func (d *desk) another(i int) {
	ctx := context.Background()
	p, err := d.store.EnsureProgram(ctx, tags.Program{Code: fmt.Sprintf("p%04d", i), Name: "Invented", Level: "college",
		Invented: true})
	if err != nil {
		d.t.Fatal(err)
	}
	g, err := d.store.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "Invented"}, "", tags.Game{Label: "week 1"})
	if err != nil {
		d.t.Fatal(err)
	}
	if err := d.store.AddWords(ctx, p.ID, deskWords()); err != nil {
		d.t.Fatal(err)
	}
	d.fill(p, g, *playsOfEach)
}

func (h *house) ask(want int, method, path string, body []byte) {
	code, raw, err := send(h.t.Context(), http.DefaultClient, method, h.url+path, body, "Authorization", "Bearer "+h.token)
	if err != nil || code != want {
		h.t.Fatalf("%s %s: %d %v %.300s", method, path, code, err, raw)
	}
}

// scanned returns how many rows of plays were read by scanning the table, and by an
// index, once all connections that read have ended: they report when they do.
func (d *desk) scanned() (read [2]int64) {
	execute(d.t, d.db, `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND `+
		`pid <> pg_backend_pid() AND backend_type = 'client backend'`)
	time.Sleep(time.Second)
	c, err := pgx.Connect(context.Background(), d.db)
	if err != nil {
		d.t.Fatal(err)
	}
	defer c.Close(context.Background())
	if err := c.QueryRow(context.Background(),
		`SELECT seq_tup_read, coalesce(idx_tup_fetch, 0) FROM pg_stat_user_tables WHERE relname = 'plays'`).Scan(&read[0],
		&read[1]); err != nil {
		d.t.Fatal(err)
	}
	return read
}

// sizes prints what the rows take, indexes apart.
func (d *desk) sizes() {
	c, err := pgx.Connect(context.Background(), d.db)
	if err != nil {
		d.t.Fatal(err)
	}
	defer c.Close(context.Background())
	rows, _ := c.Query(context.Background(), `
		SELECT format('%s: %s rows, %s MB table, %s MB indexes, %s bytes a play', relname, n, heap / 1000000, (whole - heap) / 1000000, whole / (SELECT count(*) FROM plays))
		FROM (SELECT relname, reltuples::bigint AS n, pg_table_size(oid) AS heap, pg_total_relation_size(oid) AS whole
			FROM pg_class WHERE relname IN ('plays', 'play_changes')) s`)
	said, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		d.t.Fatal(err)
	}
	for _, s := range said {
		d.t.Log(s)
	}
}

func execute(t *testing.T, url, sql string) {
	t.Helper()
	c, err := pgx.Connect(context.Background(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(context.Background())
	if _, err := c.Exec(context.Background(), sql); err != nil {
		t.Fatal(err)
	}
}
