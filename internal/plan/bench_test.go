package plan

import (
	"context"
	"fmt"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// BenchmarkCalls makes boards of 1 to 100 calls, of which nothing is known, against twenty concepts
// of the library: how cost grows with calls, side by side.
func BenchmarkCalls(b *testing.B) {
	var concepts []Concept
	for i, e := range picture.Library()[:20] {
		concepts = append(concepts, Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes,
			Plays: 50 - i})
	}
	calls := boardCalls(b, 100)
	for _, n := range []int{1, 10, 40, 100} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				pictures = &shelf{most: keptCalls}
				must(Build(context.Background(), calls[:n], concepts, 2000, field.HighSchool, Terms{Setting: stress.Usual}))
			}
		})
	}
}
