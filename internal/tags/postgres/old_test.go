package postgres_test

import (
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"overhang/db/migrations"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestHistoryOfOldPlays: a play that was stored before there was a history has one after the
// schema's steps, from the time that its identity carries, and no other play gets another.
func TestHistoryOfOldPlays(t *testing.T) {
	ctx, url := t.Context(), postgrestest.URL(t)
	s := opened(t, url)
	p, err := s.EnsureProgram(ctx, tags.Program{Code: "ours", Name: "Invented", Level: "college", Invented: true})
	if err != nil {
		t.Fatal(err)
	}
	g, err := s.EnsureGame(ctx, p.ID, tags.Opponent{Code: "o1", Name: "Invented"}, "2031", tags.Game{Label: "week 1"})
	if err != nil {
		t.Fatal(err)
	}
	var made [2]tags.Play
	for i := range made {
		if made[i], err = s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: i + 1, Status: "counted"}); err != nil {
			t.Fatal(err)
		}
	}
	c, err := pgx.Connect(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(ctx)
	if _, err := c.Exec(ctx, `DELETE FROM play_changes WHERE play_id = $1`, made[0].ID); err != nil {
		t.Fatal(err)
	}
	if _, err := s.History(ctx, p.ID, made[0].ID, 10, 0); err == nil {
		t.Fatal("the play has a history already: the test shows nothing")
	}
	if err := migrations.To(url, 12); err != nil {
		t.Fatal(err)
	}
	if err := migrations.Up(url); err != nil {
		t.Fatal(err)
	}
	for i := range made {
		h, err := s.History(ctx, p.ID, made[i].ID, 10, 0)
		if err != nil || len(h) != 1 || h[0].Before != nil || h[0].After == nil || time.Since(h[0].At).Abs() > time.Hour {
			t.Errorf("play %d: %+v, %v", i+1, h, err)
		}
	}
}
