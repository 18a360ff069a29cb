package ask

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"overhang/internal/tags"
)

// Shared is what an association's questions read.
type Shared interface {
	Resolve(ctx context.Context, p tags.Program, filters map[string][]string) (map[string][]string, error)
	// SharedCells counts the plays of each program that shares them with p.
	SharedCells(ctx context.Context, p tags.Program, by []string) ([][]tags.Cell, error)
}

// What bounds an association's question, filters included: what is left out is found among all
// tables of fewer dimensions, by equations. 1,627 cells of forty programs took 0.6 s, 3,637 took 2.8.
const (
	mostShared      = 3
	mostLeagueCells = 2000
)

// A LeagueCell is one group of plays of several programs with what its counts come to. No
// median, no sum of seconds: a median may be one play's.
type LeagueCell struct {
	Keys           map[string]*string `json:"keys"`
	Programs       int                `json:"programs"` // that have such a play
	Plays          int                `json:"plays"`
	Share          float64            `json:"share"`
	ShareLow       float64            `json:"share_low"`
	ShareHigh      float64            `json:"share_high"`
	Runs           int                `json:"runs"`
	Passes         int                `json:"passes"`
	RunShare       float64            `json:"run_share"` // of the plays whose call is known
	RunLow         float64            `json:"run_low"`
	RunHigh        float64            `json:"run_high"`
	GainKnown      int                `json:"gain_known"`
	MeanGain       *float64           `json:"mean_gain_yd,omitempty"`
	Successes      int                `json:"successes"`
	SuccessKnown   int                `json:"success_known"`
	SuccessRate    *float64           `json:"success_rate,omitempty"`
	SuccessLow     *float64           `json:"success_low,omitempty"`
	SuccessHigh    *float64           `json:"success_high,omitempty"`
	Explosives     int                `json:"explosives"`
	ExplosiveKnown int                `json:"explosive_known"`
	ExplosiveRate  *float64           `json:"explosive_rate,omitempty"`
	ExplosiveLow   *float64           `json:"explosive_low,omitempty"`
	ExplosiveHigh  *float64           `json:"explosive_high,omitempty"`
	Thin           bool               `json:"thin"`
}

// LeagueAnswer is what the programs that share with an association have on film, together.
type LeagueAnswer struct {
	By       []string     `json:"by"`
	Programs int          `json:"programs"` // that share
	Needed   int          `json:"needed"`   // programs behind every cell, at least
	Total    int          `json:"total"`    // plays in the cells
	Cells    []LeagueCell `json:"cells"`
	LeftOut  int          `json:"cells_left_out"`
	Interval string       `json:"interval"`
	WhyEmpty string       `json:"why_empty,omitempty"`
}

// League counts the plays of all programs that share with an association by dimensions. What
// could tell of one program is left out (hide).
func League(ctx context.Context, from Shared, in Scope, by, within []string) (*LeagueAnswer, error) {
	q := tags.TendencyQuery{By: by, Within: within, Filters: in.Filters}
	dims, err := leagueDims(q)
	if err != nil {
		return nil, err
	}
	only, err := from.Resolve(ctx, in.Program, in.Filters)
	if err != nil {
		return nil, err
	}
	shared, err := from.SharedCells(ctx, in.Program, dims)
	if err != nil {
		return nil, err
	}
	out := &LeagueAnswer{By: by, Programs: len(shared), Needed: fewestPrograms, Cells: []LeagueCell{},
		Interval: "Wilson 95%; shares are of the group named by within, else of all plays in the cells"}
	hidden, err := hide(ctx, len(dims), shared)
	if err != nil {
		return nil, err
	}
	cells := map[string]*leagueSum{}
	gone := map[string]bool{}
	for program, cs := range shared {
		for i := range cs {
			switch key := keyOf(cs[i].Keys, all(len(dims))); {
			case !meets(cs[i].Keys, dims, only):
			case hidden[key]:
				gone[key] = true
			default:
				sumOf(cells, cs[i].Keys[:len(by)]).add(program, &cs[i])
			}
		}
	}
	out.LeftOut = len(gone)
	out.score(q, slices.Collect(maps.Values(cells)))
	out.WhyEmpty = whyNoLeague(out)
	return out, nil
}

// leagueDims are all dimensions that a question is about, those of its cells first. The
// answer is worked out on them together whichever of them are filters, so that the same cell is
// left out however it is asked for.
func leagueDims(q tags.TendencyQuery) ([]string, error) {
	if err := q.Validate(); err != nil {
		return nil, err
	}
	dims := slices.Clone(q.By)
	for _, d := range slices.Sorted(maps.Keys(q.Filters)) {
		if !slices.Contains(dims, d) {
			dims = append(dims, d)
		}
	}
	for _, d := range []string{"opponent", "game"} { // whom a program prepares for is its own
		if slices.Contains(dims, d) {
			return nil, tags.Fieldf(tags.Invalid, d, "is each program's own: an association can't ask by it")
		}
	}
	if len(dims) > mostShared {
		return nil, tags.Fieldf(tags.Invalid, "by", "%d dimensions with the filters: at most %d over many programs",
			len(dims), mostShared)
	}
	return dims, nil
}

func meets(keys []*string, dims []string, only map[string][]string) bool {
	for i, d := range dims {
		value := ""
		if keys[i] != nil {
			value = *keys[i]
		}
		if allowed := only[d]; allowed != nil && !slices.Contains(allowed, value) {
			return false
		}
	}
	return true
}

// A leagueSum adds cells of programs up.
type leagueSum struct {
	tags.Cell
	programs map[int]bool
}

func sumOf(cells map[string]*leagueSum, keys []*string) *leagueSum {
	key := keyOf(keys, all(len(keys)))
	if cells[key] == nil {
		cells[key] = &leagueSum{tags.Cell{Keys: keys}, map[int]bool{}}
	}
	return cells[key]
}

func (s *leagueSum) add(program int, c *tags.Cell) {
	s.programs[program] = true
	s.Add(c)
}

// score makes cells of sums, most frequent first and by keys among equals.
func (a *LeagueAnswer) score(q tags.TendencyQuery, sums []*leagueSum) {
	slices.SortFunc(sums, func(x, y *leagueSum) int {
		if x.Plays != y.Plays {
			return y.Plays - x.Plays
		}
		return strings.Compare(keyOf(x.Keys, all(len(q.By))), keyOf(y.Keys, all(len(q.By))))
	})
	of := map[string]int{}
	for _, x := range sums {
		of[groupOf(&x.Cell, q)] += x.Plays
		a.Total += x.Plays
	}
	for _, x := range sums {
		s := Score(&x.Cell, of[groupOf(&x.Cell, q)])
		o := LeagueCell{Keys: map[string]*string{}, Programs: len(x.programs), Plays: x.Plays, Share: s.Share.Share,
			ShareLow: s.Share.Low, ShareHigh: s.Share.High, Runs: x.Runs, Passes: x.Passes, RunShare: s.Run.Share,
			RunLow: s.Run.Low, RunHigh: s.Run.High, GainKnown: x.GainKnown, MeanGain: s.MeanGain, Successes: x.Successes,
			SuccessKnown: x.SuccessKnown, Explosives: x.Explosives, ExplosiveKnown: x.ExplosiveKnown, Thin: s.Thin}
		o.SuccessRate, o.SuccessLow, o.SuccessHigh = s.Success.Split()
		o.ExplosiveRate, o.ExplosiveLow, o.ExplosiveHigh = s.Explosive.Split()
		for k, d := range q.By {
			o.Keys[d] = x.Keys[k]
		}
		a.Cells = append(a.Cells, o)
	}
}

func whyNoLeague(a *LeagueAnswer) string {
	switch {
	case len(a.Cells) > 0:
		return ""
	case a.Programs < fewestPrograms:
		return fmt.Sprintf("programs that share with this one: %d; nothing is counted before there are %d", a.Programs,
			fewestPrograms)
	}
	return "no cell under these filters has enough programs behind it"
}
