package ask

import (
	"context"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/study"
	"overhang/internal/tags"
)

// A Grouping is dimensions that plays are counted by, under a name.
type Grouping struct {
	Name string   `json:"name"`
	By   []string `json:"by"` // dimensions
}

// Downs counts by down and distance.
var Downs = Grouping{"situations", []string{"down", "distance_band"}}

// OpponentGroupings are what an opponent is counted by.
var OpponentGroupings = []Grouping{{"personnel", []string{"personnel"}}, {"sets", []string{"set_name"}}, Downs,
	{"concepts", []string{"concept"}}, {"coverages", []string{"coverage"}}, {"games", []string{"games_ago", "game"}}}

// opponentAsked are the dimensions that tells and trends of an opponent are asked
// about; a trend for each of Recents.
var opponentAsked = []string{"called", "concept"}

// Recents are how many games the trends of an opponent call recent.
var Recents = []int{1, 3}

// Grouped is the plays of a scope counted by a grouping.
type Grouped struct {
	Grouping
	Groups tags.Tendency // by the grouping
	Within tags.Tendency // by it and the concept; empty where the grouping has it
}

// A RecentTrend is what changed in the last games.
type RecentTrend struct {
	Recent int `json:"recent"` // games
	study.Trend
}

// An OpponentAnswer is what an opponent's offense does in the plays of a scope.
type OpponentAnswer struct {
	Scope
	Level    field.Level
	Concepts []plan.Concept // most frequent first
	Groups   []Grouped
	Tells    study.Tells   // of what comes, in all that can be read before the snap
	Trends   []RecentTrend // none where the filters choose games
}

// Opponent says what the opponent's offense does in the scope.
func Opponent(ctx context.Context, from Reads, in Scope) (*OpponentAnswer, error) {
	out := &OpponentAnswer{Scope: in, Trends: []RecentTrend{}}
	var err error
	if out.Concepts, err = in.concepts(ctx, from, in.Filters); err != nil {
		return nil, err
	}
	if out.Level, err = field.ParseLevel(in.Program.Level); err != nil {
		return nil, err
	}
	his := in
	his.Filters = in.Theirs()
	for _, g := range OpponentGroupings {
		x, err := grouped(ctx, from, his, g)
		if err != nil {
			return nil, err
		}
		out.Groups = append(out.Groups, x)
	}
	if out.Tells, _, err = tells(ctx, from, his, TellsQuestion{Of: opponentAsked, FalseShare: FalseShare}); err != nil {
		return nil, err
	}
	if in.Filters["games_ago"] != nil {
		return out, nil
	}
	for _, recent := range Recents {
		for _, of := range opponentAsked {
			t, err := trend(ctx, from, his, TrendQuestion{Of: of, Recent: recent, Earlier: AllGames, FalseShare: FalseShare})
			if err != nil {
				return nil, err
			}
			out.Trends = append(out.Trends, RecentTrend{recent, t})
		}
	}
	return out, nil
}

// grouped counts the plays of a scope by a grouping, and each group by concept.
func grouped(ctx context.Context, from Reads, in Scope, g Grouping) (out Grouped, err error) {
	out.Grouping = g
	if out.Groups, err = from.Tendencies(ctx, in.Program, tags.TendencyQuery{By: g.By, Filters: in.Filters}); err != nil {
		return out, err
	}
	if !slices.Contains(g.By, "concept") {
		out.Within, err = from.Tendencies(ctx, in.Program, tags.TendencyQuery{By: append(slices.Clone(g.By), "concept"),
			Filters: in.Filters})
	}
	return out, err
}

// A GamePlanAnswer is an opponent at a glance: his situations and the board.
type GamePlanAnswer struct {
	Scope
	Downs Grouped
	Board plan.Board
}

// GamePlan is the opponent at a glance, all his plays.
func GamePlan(ctx context.Context, from Reads, p tags.Program, o tags.Opponent) (*GamePlanAnswer, error) {
	out := &GamePlanAnswer{Scope: Scope{Program: p, Opponent: o}}
	his := out.Scope
	his.Filters = map[string][]string{"opponent": {o.Code}}
	var err error
	if out.Downs, err = grouped(ctx, from, his, Downs); err != nil {
		return nil, err
	}
	out.Board, err = Board(ctx, from, out.Scope)
	return out, err
}
