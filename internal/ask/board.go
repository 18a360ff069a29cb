package ask

import (
	"context"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// Board plays the program's active calls against what the opponent runs in the scope.
func Board(ctx context.Context, from Reads, in Scope) (plan.Board, error) {
	b, _, err := board(ctx, from, in)
	return b, err
}

// A StressAnswer is a board and the worst conflicts on it.
type StressAnswer struct {
	Scope
	Board plan.Board
	Worst []plan.Case // each with its rule and an answer
}

// WorstCases is how many conflicts a stress report tells.
const WorstCases = 10

// Stress is the board of the scope with its worst conflicts, each answered.
func Stress(ctx context.Context, from Reads, in Scope) (*StressAnswer, error) {
	b, set, err := board(ctx, from, in)
	if err != nil {
		return nil, err
	}
	worst, err := plan.Cases(ctx, &b, WorstCases, set.Calls)
	return &StressAnswer{in, b, worst}, err
}

func board(ctx context.Context, from Reads, in Scope) (b plan.Board, set Setting, err error) {
	if set, err = in.Setting(ctx, from); err != nil {
		return b, set, err
	}
	concepts, err := in.concepts(ctx, from, in.Filters)
	if err != nil {
		return b, set, err
	}
	total, err := from.CountPlays(ctx, in.Program, in.Opponent.ID, in.Filters)
	if err != nil {
		return b, set, err
	}
	b, err = plan.Build(ctx, set.Calls, concepts, total, set.Level, set.Situation)
	return b, set, err
}

// situationOf reads the situation from filters; of several downs or distances
// none is told.
func situationOf(f map[string][]string, set tags.Settings) plan.Terms {
	band := ""
	if vs := f["distance_band"]; len(vs) == 1 {
		band = vs[0]
	}
	return plan.SituationOf(first(f["down"]), first(f["distance"]), band, set)
}

// first reads a filter that holds one whole number, 0 otherwise.
func first(vs []string) int {
	if len(vs) != 1 {
		return 0
	}
	n := 0
	for _, r := range strings.TrimSpace(vs[0]) {
		if r < '0' || r > '9' {
			return 0
		}
		n = 10*n + int(r-'0')
	}
	return n
}
