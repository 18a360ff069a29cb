package postgres_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// BenchmarkShared counts fifty programs of 400 plays for an association, from the plays and from
// those kept in memory: it asks one program after another.
func BenchmarkShared(b *testing.B) {
	store, p := postgrestest.New(b)
	if err := store.OpenAssociation(ctx, p.ID, true); err != nil {
		b.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 50 {
		of, err := store.EnsureProgram(ctx, tags.Program{Code: fmt.Sprint("p", i), Name: "Invented", Level: "college"})
		if err == nil {
			err = store.GiveShare(ctx, of.ID, p.Code)
		}
		if err != nil {
			b.Fatal(err)
		}
		shareGame(b, store, of, r)
	}
	count := func(b *testing.B) {
		cells, err := store.SharedCells(ctx, p, []string{"down", "called"})
		if err != nil || len(cells) != 50 {
			b.Fatal(len(cells), err)
		}
	}
	store.Keep(0)
	b.Run("plays", func(b *testing.B) {
		for b.Loop() {
			count(b)
		}
	})
	store.Keep(postgres.KeptBytes)
	for end := time.Now().Add(time.Minute); store.Kept().Images < 50 && time.Now().Before(end); {
		count(b)
	}
	b.Run("kept", func(b *testing.B) {
		for b.Loop() {
			count(b)
		}
		b.ReportMetric(float64(store.Kept().Images), "programs-kept")
	})
}

func shareGame(b *testing.B, store *postgres.Store, of tags.Program, r *rand.Rand) {
	g, err := store.EnsureGame(ctx, of.ID, tags.Opponent{Code: "o", Name: "Invented"}, "", tags.Game{Label: "game"})
	if err != nil {
		b.Fatal(err)
	}
	var plays []tags.Play
	for n := range 400 {
		called := []string{"run", "pass"}[r.IntN(2)]
		plays = append(plays, tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: n + 1, Status: "counted",
			Down: ptr(1 + r.IntN(4)), DistanceYd: ptr(10), Called: &called, GainYd: ptr(r.IntN(12))})
	}
	if _, err := store.LoadPlays(ctx, of.ID, plays); err != nil {
		b.Fatal(err)
	}
}
