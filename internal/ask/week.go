package ask

import (
	"context"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// Week plays the program's active calls against what the opponent runs in the scope
// and keeps what was found: what a staff teaches from. Of a plan only its calls are played,
// and the one asked for by name.
func Week(ctx context.Context, from Reads, in Scope, of *PlannedAnswer, asked string) (*plan.Week, error) {
	set, err := in.Setting(ctx, from)
	if err != nil {
		return nil, err
	}
	concepts, err := in.concepts(ctx, from, in.Filters)
	if err != nil {
		return nil, err
	}
	total, err := from.CountPlays(ctx, in.Program, in.Opponent.ID, in.Filters)
	if err != nil {
		return nil, err
	}
	return plan.NewWeek(ctx, of.among(set.Calls, asked), concepts, total, set.Level, set.Situation)
}

// Usages counts where the opponent runs what.
func Usages(ctx context.Context, from Reads, in Scope) ([]plan.Usage, error) {
	f := in.Theirs()
	t, err := from.Tendencies(ctx, in.Program, tags.TendencyQuery{By: plan.UsageBy, Filters: f})
	if err != nil {
		return nil, err
	}
	return plan.Usages(t), nil
}
