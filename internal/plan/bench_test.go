package plan

import (
	"context"
	"fmt"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// BenchmarkCalls makes boards of 1 to 100 calls, the built-in book compiled over again under
// other names, against twenty concepts of the library: how cost grows with calls, side by side.
func BenchmarkCalls(b *testing.B) {
	var concepts []Concept
	for i, e := range picture.Library()[:20] {
		concepts = append(concepts, Concept{SetName: e.Set, Concept: e.Concept, Family: e.Family, Routes: e.Routes,
			Plays: 50 - i})
	}
	book := call.Book()
	var calls []Named
	for i := range 100 {
		again, err := call.Compile(book[i%len(book)].Call)
		if err != nil {
			b.Fatal(err)
		}
		calls = append(calls, Named{Name: fmt.Sprint("call ", i), Compiled: again})
	}
	for _, n := range []int{1, 10, 40, 100} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				must(Build(context.Background(), calls[:n], concepts, 2000, field.HighSchool, Terms{Setting: stress.Usual}))
			}
		})
	}
}
