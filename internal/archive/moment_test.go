package archive_test

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"overhang/internal/archive"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestOneMoment: an export while others write is of one moment: every play has its
// history, and no more.
func TestOneMoment(t *testing.T) {
	s := open(t, postgrestest.URL(t))
	p, err := s.EnsureProgram(t.Context(), tags.Program{Code: "ours", Name: "x", Level: "college"})
	if err != nil {
		t.Fatal(err)
	}
	g, err := s.EnsureGame(t.Context(), p.ID, tags.Opponent{Code: "o", Name: "x"}, "2031", tags.Game{Label: "g"})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	started, done := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		for i := 1; i < 999 && ctx.Err() == nil; i++ {
			s.Plays().Create(ctx, p.ID, tags.Play{GameID: g.ID, Number: i, Status: "counted"})
			if i == 5 {
				close(started)
			}
		}
	}()
	<-started
	for range 5 {
		fs := files(t, export(t, s, "ours"))
		if plays, changes := strings.Count(fs["plays.csv"], "\n"), strings.Count(fs["play_changes.csv"],
			"\n"); plays != changes || plays < 5 {
			t.Errorf("%d plays with %d changes", plays-1, changes-1)
		}
	}
	stop()
	<-done
}

// TestRemove: a program goes with all of it, its export brings it back; when
// somebody wrote to it meanwhile, it stays.
func TestRemove(t *testing.T) {
	address := postgrestest.URL(t)
	s := open(t, address)
	p, other := busy(t, s, "busy"), busy(t, s, "other")
	before, beside := export(t, s, "busy"), export(t, s, "other")
	var raw bytes.Buffer
	err := s.RemoveProgram(t.Context(), p.ID, func(e *postgres.Export) error {
		if err := archive.Write(t.Context(), &raw, e, moment); err != nil {
			return err
		}
		_, err := s.Opponents().Create(t.Context(), p.ID, tags.Opponent{Code: "late", Name: "x"})
		return err
	})
	if e := tags.As(err); e == nil || e.Kind != tags.Unavailable {
		t.Errorf("removed though somebody wrote: %v", err)
	}
	os, err := s.Opponents().List(t.Context(), p.ID, postgres.Page{Limit: 9, Filters: map[string]string{"code": "late"}})
	if err != nil || len(os) != 1 {
		t.Fatalf("what was written meanwhile: %v, %v", os, err)
	}
	raw.Reset()
	err = s.RemoveProgram(t.Context(), p.ID, func(e *postgres.Export) error {
		return archive.Write(t.Context(), &raw, e,
			moment)
	})
	if err != nil {
		t.Fatal(err)
	}
	c, err := pgx.Connect(t.Context(), address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close(t.Context())
	for _, table := range postgres.Exported()[1:] {
		var n int
		if err := c.QueryRow(t.Context(), `SELECT count(*) FROM `+table+` WHERE program_id <> $1`,
			other.ID).Scan(&n); err != nil || n > 0 {
			t.Errorf("%d rows stay in %s, %v", n, table, err)
		}
	}
	if !bytes.Equal(beside, export(t, s, "other")) {
		t.Error("another program has changed")
	}
	if _, err := load(s, raw.Bytes(), ""); err != nil {
		t.Fatal(err)
	}
	after := files(t, export(t, s, "busy"))
	for name, was := range files(t, before) {
		if name != "opponents.csv" && name != "datapackage.json" && after[name] != was {
			t.Errorf("%s is not what it was", name)
		}
	}
}
