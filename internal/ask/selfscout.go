package ask

import (
	"context"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/study"
	"overhang/internal/tags"
)

// SelfScoutGroupings are what our own calls are counted by; selfScoutAsked what their
// tells are about.
var (
	SelfScoutGroupings = []Grouping{Downs, {"field position", []string{"field_zone"}},
		{"personnel", []string{"personnel"}}, {"sets", []string{"set_name"}}}
	selfScoutAsked = []string{"coverage", "blitz"}
)

// A SelfScoutAnswer is what our own calls say about us in the games we played.
type SelfScoutAnswer struct {
	Scope
	Book   plan.Callbook
	Games  tags.Tendency // by opponent and game
	Calls  tags.Tendency // by coverage
	Groups []Counted
	Tells  study.Tells // of our call and of our blitz, in all that they could go by
}

// Counted is our plays by a grouping and the coverage.
type Counted struct {
	Grouping
	Cells tags.Tendency
}

// SelfScout says what our own calls say about us in the scope, which is of no opponent.
func SelfScout(ctx context.Context, from Reads, in Scope) (*SelfScoutAnswer, error) {
	if in.Filters["ours"] != nil {
		return nil, tags.Fieldf(tags.Invalid, "ours", "a self-scout is always of our own games: leave it out")
	}
	out := &SelfScoutAnswer{Scope: in}
	var err error
	if out.Book, _, err = in.callbook(ctx, from); err != nil {
		return nil, err
	}
	ours := in
	ours.Filters = in.with()
	ours.Filters["ours"] = []string{"yes"}
	counted := func(by ...string) (tags.Tendency, error) {
		return from.Tendencies(ctx, in.Program, tags.TendencyQuery{By: by, Filters: ours.Filters})
	}
	if out.Games, err = counted("opponent", "game"); err != nil {
		return nil, err
	}
	if out.Calls, err = counted("coverage"); err != nil {
		return nil, err
	}
	for _, g := range SelfScoutGroupings {
		t, err := counted(append(slices.Clone(g.By), "coverage")...)
		if err != nil {
			return nil, err
		}
		out.Groups = append(out.Groups, Counted{g, t})
	}
	out.Tells, _, err = tells(ctx, from, ours, TellsQuestion{Of: selfScoutAsked, FalseShare: FalseShare})
	return out, err
}
