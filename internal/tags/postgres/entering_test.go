package postgres_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// TestEnteredIsFresh writes, enters the program and asks, again and again: every answer has the
// last write before it, also where somebody else's question, or a second one of the same
// visitor after another write, came between. The plays themselves are the reference.
func TestEnteredIsFresh(t *testing.T) {
	t.Parallel()
	a := newArchive(t, 10, 110)
	a.kept()
	c := must[*pgx.Conn](t)(pgx.Connect(ctx, a.url))
	t.Cleanup(func() { c.Close(ctx) })
	q := tags.TendencyQuery{By: []string{"ours"}}
	write := func() (want int) {
		_, err := c.Exec(ctx, `UPDATE plays SET gain_yd = 1 + coalesce(gain_yd, 0) WHERE program_id = $1 AND number = $2`,
			a.p.ID, 1+rand.IntN(110))
		if err == nil {
			err = c.QueryRow(ctx, `SELECT sum(gain_yd) FROM plays WHERE status = 'counted'`).Scan(&want)
		}
		if err != nil {
			t.Fatal(err)
		}
		return want
	}
	enter := func() (tags.Program, context.Context) {
		p, under, err := a.s.Enter(ctx, a.s, "ours")
		if err != nil {
			t.Fatal(err)
		}
		return p, under
	}
	ask := func(when string, under context.Context, p tags.Program, want int) {
		t.Helper()
		got := 0
		for _, cell := range must[tags.Tendency](t)(a.s.Tendencies(under, p, q)).Cells {
			got += cell.GainSum
		}
		if got != want {
			t.Fatalf("%s: %d yards, not %d", when, got, want)
		}
	}
	before := a.s.Kept().Answered
	for range 30 {
		want := write()
		p, under := enter()
		ask("after a write", under, p, want)
		other, later := enter()
		want = write()
		ask("without having entered", ctx, p, want)
		ask("entered before another's question", later, other, want)
		want = write()
		ask("a second question", under, p, want)
	}
	if n := a.s.Kept().Answered - before; n != 120 {
		t.Errorf("%d of 120 answers came from kept plays", n)
	}
	if _, _, err := a.s.Enter(ctx, a.s, "theirs"); tags.As(err) == nil || tags.As(err).Kind != tags.NotFound {
		t.Errorf("a program that is none: %v", err)
	}
}
