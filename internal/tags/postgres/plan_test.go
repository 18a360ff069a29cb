package postgres_test

import (
	"strings"
	"testing"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestPlans holds the plans that matter, with fifty programs of 1,500 plays and more than
// 100,000 touched games in the same tables: a question about one opponent goes by its
// index, what is news by the transactions, a game by its key; none reads other programs' rows.
func TestPlans(t *testing.T) {
	t.Parallel()
	url := postgrestest.URL(t)
	s := opened(t, url)
	p := must[tags.Program](t)(s.EnsureProgram(ctx, tags.Program{Code: "p1", Name: "Invented", Level: "college"}))
	c := must[*pgx.Conn](t)(pgx.Connect(ctx, url))
	defer c.Close(ctx)
	fillPrograms(t, c)
	var game uuid.UUID
	var opponent, now string
	err := c.QueryRow(ctx, `SELECT g.id, o.code, pg_current_snapshot()::text FROM games g JOIN opponents o
		ON o.id = g.opponent_id		WHERE g.program_id = $1 ORDER BY g.id LIMIT 1`, p.ID).Scan(&game, &opponent, &now)
	if err != nil {
		t.Fatal(err)
	}
	one := map[string][]string{"opponent": {opponent}}
	for _, x := range []struct {
		what, index string
		plan        func() (string, error)
	}{
		{"one opponent by down", "plays_", func() (string, error) {
			return s.PlanOfTendency(ctx, p, []string{"down", "distance_band"}, one)
		}},
		{"one opponent's third downs", "plays_opponent_down", func() (string, error) {
			return s.PlanOfTendency(ctx, p, []string{"concept"}, map[string][]string{"opponent": {opponent}, "down": {"3"}})
		}},
		{"what is news", "touched_games_xid", func() (string, error) { return s.PlanOfNews(ctx, p, now) }},
		{"a game again", "plays_", func() (string, error) { return s.PlanOfReading(ctx, p, game) }},
	} {
		plan, err := x.plan()
		if err != nil {
			t.Fatalf("%s: %v", x.what, err)
		}
		if !strings.Contains(plan, x.index) || strings.Contains(plan, "Seq Scan on plays") ||
			strings.Contains(plan, "Seq Scan on touched_games") {
			t.Errorf("%s: want it by %s* and no table read whole:\n%s", x.what, x.index, plan)
		}
	}
}

// fillPrograms makes fifty programs beside one and gives each 20 games of 75 plays, with no
// triggers.
func fillPrograms(t *testing.T, c *pgx.Conn) {
	t.Helper()
	for _, sql := range []string{
		`SET session_replication_role = replica`,
		`INSERT INTO programs (id, code, name, level, settings) SELECT gen_random_uuid(), 'p' || n, 'Invented', 'college',
			(SELECT settings FROM programs LIMIT 1) FROM generate_series(2, 51) n`,
		`INSERT INTO opponents (program_id, id, code, name) SELECT id, gen_random_uuid(), 'o' || n, 'Invented'
			FROM programs, generate_series(1, 4) n`,
		`INSERT INTO games (program_id, id, opponent_id, label) SELECT program_id, gen_random_uuid(), id, 'g' || n
			FROM opponents, generate_series(1, 5) n`,
		`INSERT INTO plays (program_id, id, game_id, opponent_id, number, down, distance_yd, called, gain_yd)
			SELECT program_id, gen_random_uuid(), id, opponent_id, n, 1 + n % 4, 1 + n % 12, 'run', n % 9
			FROM games, generate_series(1, 75) n`,
		`INSERT INTO touched_games (program_id, game_id, xid) SELECT program_id, id, n::text::xid8
			FROM games, generate_series(3, 110) n`,
		`ANALYZE`,
	} {
		if _, err := c.Exec(ctx, sql); err != nil {
			t.Fatalf("%s: %v", sql, err)
		}
	}
}
