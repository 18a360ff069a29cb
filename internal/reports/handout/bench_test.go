package handout

import (
	"context"
	"io"
	"testing"

	"overhang/internal/plan"
	"overhang/internal/stress/picture"
)

// library is an opponent who runs four runs most, and every concept of the built-in library.
func library() []plan.Concept {
	var out []plan.Concept
	for i, r := range picture.Runs()[:4] {
		out = append(out, plan.Concept{SetName: []string{"2x2", "2x1"}[i%2], Concept: r.Concept, Family: "run", Plays: 90 - i,
			Routes: "B1 block"})
	}
	for i, e := range picture.Library() {
		out = append(out, plan.Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Plays: 60 - i, Routes: e.Routes})
	}
	return out
}

// BenchmarkPositions prints every man of the whole built-in book against sixteen concepts.
func BenchmarkPositions(b *testing.B) {
	for b.Loop() {
		s, err := Positions(context.Background(), made, weekOf(whole(), library()), "", "")
		if err != nil {
			b.Fatal(err)
		}
		if err := s.Document().Write(io.Discard, "pdf"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWeek(b *testing.B) {
	for b.Loop() {
		weekOf(whole(), library())
	}
}

// BenchmarkPackets prints all packets of ten calls, once played: the week is played once for
// all sheets (BenchmarkTenCalls).
func BenchmarkPackets(b *testing.B) {
	w := weekOf(named(b, tenCalls...), library())
	for b.Loop() {
		s, err := Positions(context.Background(), made, w, "", "")
		if err != nil {
			b.Fatal(err)
		}
		if err := s.Document().Write(io.Discard, "pdf"); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTenCalls plays ten calls against sixteen concepts.
func BenchmarkTenCalls(b *testing.B) {
	for b.Loop() {
		weekOf(named(b, tenCalls...), library())
	}
}
