package archive_test

import (
	"fmt"
	"testing"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// BenchmarkCarry says what a large program takes to go out and to come back: 20,000
// plays, about ten seasons of a staff, with a change each.
func BenchmarkCarry(b *testing.B) {
	s := open(b, postgrestest.URL(b))
	p, err := s.EnsureProgram(b.Context(), tags.Program{Code: "large", Name: "x", Level: "college"})
	if err != nil {
		b.Fatal(err)
	}
	for g := range 100 {
		game, err := s.EnsureGame(b.Context(), p.ID, tags.Opponent{Code: fmt.Sprint("o", g%10), Name: "x"}, "2031",
			tags.Game{Label: fmt.Sprint("week ", g)})
		if err != nil {
			b.Fatal(err)
		}
		ps := make([]tags.Play, 200)
		for i := range ps {
			ps[i] = tags.Play{GameID: game.ID, OpponentID: game.OpponentID, Number: i + 1, Status: "counted", Down: ptr(i%4 + 1),
				GainYd: ptr(i % 9), Note: ptr("a note of some length, as analysts write them")}
		}
		if _, err := s.LoadPlays(b.Context(), p.ID, ps); err != nil {
			b.Fatal(err)
		}
	}
	raw := export(b, s, "large")
	b.Run("export", func(b *testing.B) {
		for b.Loop() {
			export(b, s, "large")
		}
		b.ReportMetric(float64(len(raw)), "zip-bytes")
	})
	b.Run("import", func(b *testing.B) {
		n := 0
		for b.Loop() {
			n++
			if _, err := load(s, raw, fmt.Sprint("copy-", n)); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("delete and restore", func(b *testing.B) {
		for b.Loop() {
			os, err := s.Opponents().List(b.Context(), p.ID, postgres.Page{Limit: 1})
			if err != nil {
				b.Fatal(err)
			}
			if err := s.Opponents().Remove(b.Context(), p.ID, os[0].ID, os[0].Version); err != nil {
				b.Fatal(err)
			}
			ds, err := s.Deletions(b.Context(), p.ID, 1, [16]byte{})
			if err != nil {
				b.Fatal(err)
			}
			if _, err := s.Restore(b.Context(), p.ID, ds[0].ID); err != nil {
				b.Fatal(err)
			}
		}
	})
}
