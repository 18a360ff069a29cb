package ask

import (
	"context"
	"slices"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// WithAside says how boards that are asked with the context work on another core; see package plan.
func WithAside(ctx context.Context, aside func(work func() error) error) context.Context {
	return plan.WithAside(ctx, aside)
}

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

// A FirstAnswer is a board and the conflicts that stand over it.
type FirstAnswer struct {
	Board plan.Board
	First []plan.Shown
}

// overBoard is how many conflicts stand over a board.
const overBoard = 3

// First is the board of the scope with the conflicts that matter most among the calls a
// staff would call, one a concept.
func First(ctx context.Context, from Reads, in Scope) (*FirstAnswer, error) {
	b, set, err := board(ctx, from, in)
	if err != nil {
		return nil, err
	}
	first, err := plan.First(ctx, &b, overBoard, set.Calls)
	return &FirstAnswer{b, first}, err
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

// Seen are the values of dimensions that the opponent was seen with, most frequent first.
func Seen(ctx context.Context, from Reads, in Scope, dimensions ...string) (map[string][]string, error) {
	out := map[string][]string{}
	for _, d := range dimensions {
		q := tags.TendencyQuery{By: []string{d}, Filters: map[string][]string{"opponent": {in.Opponent.Code}}}
		t, err := from.Tendencies(ctx, in.Program, q)
		if err != nil {
			return nil, err
		}
		cells := slices.Clone(t.Cells)
		slices.SortStableFunc(cells, func(a, b tags.Cell) int { return b.Plays - a.Plays })
		for _, c := range cells {
			if len(c.Keys) == 1 && c.Keys[0] != nil {
				out[d] = append(out[d], *c.Keys[0])
			}
		}
	}
	return out, nil
}
