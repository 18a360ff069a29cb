package plan

import (
	"context"
	"errors"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// TestCanceled: nothing is played for somebody who has left, whatever was asked.
func TestCanceled(t *testing.T) {
	p, err := call.Lookup("quarters match")
	if err != nil {
		t.Fatal(err)
	}
	n, sit := Named{Name: "quarters match", Compiled: p}, Terms{Setting: stress.Usual}
	b := must(Build(t.Context(), []Named{n}, Concepts(rows()), 20, field.HighSchool, sit))
	r := must(b.Run.Play(t.Context(), n, 0))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	of := ours(make([]tags.Play, 1))
	for what, err := range map[string]error{
		"play":    second(b.Run.Play(ctx, n, 0)),
		"board":   second(Build(ctx, []Named{n}, Concepts(rows()), 20, field.HighSchool, sit)),
		"week":    second(NewWeek(ctx, []Named{n}, Concepts(rows()), 20, field.HighSchool, sit)),
		"cases":   second(Cases(ctx, &b, 10, []Named{n})),
		"fixes":   second(b.Run.Fixes(ctx, n, 0, 0, 3)),
		"stands":  second(b.Run.SweepAlignment(ctx, n, 0, r.Defender(0), 3)),
		"breaks":  second(b.Run.SweepBreak(ctx, n, 0, "P1", 2, 16, 0.5)),
		"threats": second(findThreats(ctx, &of)),
	} {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v, want that it was canceled", what, err)
		}
	}
}
