package ask

import (
	"context"
	"fmt"
	"slices"
	"strconv"

	"overhang/internal/study"
	"overhang/internal/tags"
)

// FalseShare is the usual share of false discoveries that is accepted.
const FalseShare = 0.05

// readable are the dimensions a defense can read before the snap.
var readable = []string{"down", "distance_band", "field_zone", "score_state", "half", "hash", "personnel", "set_name",
	"strength", "strength_to", "backfield", "motion",
	"previous_called", "previous_outcome"}

// A TellsQuestion asks what gives the outcomes away.
type TellsQuestion struct {
	Of         []string // dimensions of outcomes
	By         []string // what may give them away; nil: all that can be read before the snap and is not fixed already
	Within     []string // situations are asked one by one
	FalseShare float64  // of discoveries that may be false
}

// A TellsAnswer is what gives outcomes away, or does not.
type TellsAnswer struct {
	study.Tells
	Method   string `json:"method"`
	WhyEmpty string `json:"why_empty,omitempty"`
	Plays    int    `json:"-"` // behind all tables
}

// Tells asks what gives the outcomes away in the plays of the scope; the opponent is
// one of its filters.
func Tells(ctx context.Context, from Reads, in Scope, q TellsQuestion) (*TellsAnswer, error) {
	out := &TellsAnswer{Method: fmt.Sprintf("Fisher's exact test or chi-square as the counts allow; p_adjusted after "+
		"Benjamini and Hochberg over all questions asked; stands: at most %g of those that stand are expected to be false",
		q.FalseShare)}
	var err error
	out.Tells, out.Plays, err = tells(ctx, from, in, q)
	return out, err
}

// tells finds them; plays counts those behind all tables.
func tells(ctx context.Context, from Reads, in Scope, q TellsQuestion) (_ study.Tells, plays int, err error) {
	if q.By == nil {
		q.By = slices.DeleteFunc(slices.Clone(readable), func(d string) bool {
			return slices.Contains(q.Within,
				d) || in.Filters[d] != nil
		})
	}
	var tables []study.Table
	for _, of := range q.Of {
		for _, d := range q.By {
			if d == of || slices.Contains(q.Within, d) {
				return study.Tells{}, 0, tags.Fieldf(tags.Invalid, "by", "%q is asked about already", d)
			}
			counts, err := from.Counts(ctx, in.Program, append(slices.Clone(q.Within), d, of), in.Filters)
			if err != nil {
				return study.Tells{}, 0, err
			}
			for _, n := range counts {
				plays += n.Plays
			}
			tables = append(tables, study.Table{Within: q.Within, Dimension: d, Of: of, Counts: counts})
		}
	}
	return study.FindTells(tables, q.FalseShare), plays, nil
}

// AllGames is more than an opponent has.
const AllGames = 60

// A TrendQuestion asks what changed in the last games.
type TrendQuestion struct {
	Of              string // a dimension of outcomes
	Recent, Earlier int    // games: the last so many, and so many before them
	FalseShare      float64
}

// A TrendAnswer is what changed in the last games.
type TrendAnswer struct {
	study.Trend
	Recent   int    `json:"recent"`
	Earlier  int    `json:"earlier"`
	WhyEmpty string `json:"why_empty,omitempty"`
}

// Trend compares the recent games with the earlier ones in the plays of the scope.
// Invalid: the scope chooses games itself.
func Trend(ctx context.Context, from Reads, in Scope, q TrendQuestion) (*TrendAnswer, error) {
	if in.Filters["games_ago"] != nil {
		return nil, tags.Fieldf(tags.Invalid, "games_ago", "the spans say which games: use recent and earlier")
	}
	t, err := trend(ctx, from, in, q)
	return &TrendAnswer{Trend: t, Recent: q.Recent, Earlier: q.Earlier}, err
}

func trend(ctx context.Context, from Reads, in Scope, q TrendQuestion) (study.Trend, error) {
	span := func(first, last int) ([]tags.Count, error) {
		f := in.with()
		f["games_ago"] = GamesAgo(first, last)
		return from.Counts(ctx, in.Program, []string{q.Of}, f)
	}
	after, err := span(1, q.Recent)
	if err != nil {
		return study.Trend{}, err
	}
	before, err := span(q.Recent+1, q.Recent+q.Earlier)
	if err != nil {
		return study.Trend{}, err
	}
	return study.FindTrend(q.Of, before, after, q.FalseShare), nil
}

// GamesAgo lists the values of games_ago from one to another.
func GamesAgo(from, to int) (out []string) {
	for i := from; i <= to; i++ {
		out = append(out, strconv.Itoa(i))
	}
	return out
}
