package ask

import (
	"context"
	"maps"
	"slices"
	"strings"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A CellScored is one group of plays with what its counts come to.
type CellScored struct {
	Keys           map[string]*string `json:"keys"`
	Plays          int                `json:"plays"`
	Runs           int                `json:"runs"`
	Passes         int                `json:"passes"`
	RunShare       float64            `json:"run_share"` // of the plays whose call is known
	RunLow         float64            `json:"run_low"`
	RunHigh        float64            `json:"run_high"`
	RunPassBits    float64            `json:"run_pass_bits"`
	GainSum        int                `json:"gain_sum_yd"`
	GainKnown      int                `json:"gain_known"`
	MeanGain       *float64           `json:"mean_gain_yd,omitempty"`
	MedianGain     *float64           `json:"median_gain_yd,omitempty"`
	Share          float64            `json:"share"`
	ShareLow       float64            `json:"share_low"`
	ShareHigh      float64            `json:"share_high"`
	Successes      int                `json:"successes"`
	SuccessKnown   int                `json:"success_known"`
	SuccessRate    *float64           `json:"success_rate,omitempty"`
	SuccessLow     *float64           `json:"success_low,omitempty"`
	SuccessHigh    *float64           `json:"success_high,omitempty"`
	FirstDowns     int                `json:"first_downs"`
	Touchdowns     int                `json:"touchdowns"`
	Explosives     int                `json:"explosives"`
	ExplosiveKnown int                `json:"explosive_known"`
	ExplosiveRate  *float64           `json:"explosive_rate,omitempty"`
	ExplosiveLow   *float64           `json:"explosive_low,omitempty"`
	ExplosiveHigh  *float64           `json:"explosive_high,omitempty"`
	Throws         int                `json:"throws"`
	Completions    int                `json:"completions"`
	CompletionRate *float64           `json:"completion_rate,omitempty"`
	Interceptions  int                `json:"interceptions"`
	Sacks          int                `json:"sacks"`
	Scrambles      int                `json:"scrambles"`
	DepthKnown     int                `json:"throw_depth_known"`
	MeanDepth      *float64           `json:"mean_throw_depth_yd,omitempty"`
	TimeKnown      int                `json:"throw_s_known"`
	MeanTime       *float64           `json:"mean_throw_s,omitempty"`
	Thin           bool               `json:"thin"`
}

// TendenciesAnswer is what an offense does, counted by dimensions and scored.
type TendenciesAnswer struct {
	By       []string       `json:"by"`
	Total    int            `json:"total"` // counted plays under the filters
	Cells    []CellScored   `json:"cells"`
	LeftOut  map[string]int `json:"left_out"` // plays, by "measure: reason"
	Interval string         `json:"interval"` // what the limits are
	WhyEmpty string         `json:"why_empty,omitempty"`
}

// Tendencies counts the plays of a scope by dimensions; shares are of the groups named
// by within, else of all of them.
func Tendencies(ctx context.Context, from Reads, in Scope, by, within []string) (*TendenciesAnswer, error) {
	q := tags.TendencyQuery{By: by, Within: within, Filters: in.Filters}
	t, err := from.Tendencies(ctx, in.Program, q)
	if err != nil {
		return nil, err
	}
	out := &TendenciesAnswer{By: by, Total: t.Total, Cells: make([]CellScored, len(t.Cells)), LeftOut: t.Skip,
		Interval: "Wilson 95%; shares are of the group named by within, else of all plays under the filters"}
	maps.DeleteFunc(t.Skip, func(_ string, n int) bool { return n == 0 })
	of := map[string]int{}
	for i := range t.Cells {
		of[groupOf(&t.Cells[i], q)] += t.Cells[i].Plays
	}
	for i := range t.Cells {
		out.Cells[i] = scored(&t.Cells[i], of[groupOf(&t.Cells[i], q)])
		out.Cells[i].Keys = map[string]*string{}
		for k, d := range by {
			out.Cells[i].Keys[d] = t.Cells[i].Keys[k]
		}
	}
	return out, nil
}

// groupOf is the group whose share a cell is, as one word.
func groupOf(x *tags.Cell, q tags.TendencyQuery) string {
	var b strings.Builder
	for i, d := range q.By {
		switch {
		case !slices.Contains(q.Within, d):
		case x.Keys[i] == nil: // no value, nor two of them in a row, looks like it
			b.WriteString("\x01\x00")
		default:
			b.WriteString(*x.Keys[i] + "\x00")
		}
	}
	return b.String()
}

// Score is what the counts of a cell come to, in of plays.
func Score(x *tags.Cell, of int) tendency.Scores {
	return tendency.Score(tendency.Counts{Plays: x.Plays, Of: of, Runs: x.Runs, Passes: x.Passes, GainSum: x.GainSum,
		GainKnown: x.GainKnown,
		Successes: x.Successes, SuccessKnown: x.SuccessKnown, Explosives: x.Explosives, ExplosiveKnown: x.ExplosiveKnown,
		Completions: x.Completions, Throws: x.Throws, DepthSum: x.DepthSum, DepthKnown: x.DepthKnown, TimeSum: x.TimeSum,
		TimeKnown: x.TimeKnown})
}

func scored(x *tags.Cell, of int) CellScored {
	s := Score(x, of)
	o := CellScored{Plays: x.Plays, Runs: x.Runs, Passes: x.Passes, RunShare: s.Run.Share, RunLow: s.Run.Low,
		RunHigh: s.Run.High, RunPassBits: s.RunPassBits,
		GainSum: x.GainSum, GainKnown: x.GainKnown, MeanGain: s.MeanGain, MedianGain: x.MedianGain, Share: s.Share.Share,
		ShareLow: s.Share.Low, ShareHigh: s.Share.High,
		Successes: x.Successes, SuccessKnown: x.SuccessKnown, FirstDowns: x.FirstDowns, Touchdowns: x.Touchdowns,
		Explosives: x.Explosives, ExplosiveKnown: x.ExplosiveKnown,
		Throws: x.Throws, Completions: x.Completions, Interceptions: x.Interceptions, Sacks: x.Sacks, Scrambles: x.Scrambles,
		DepthKnown: x.DepthKnown, MeanDepth: s.MeanDepth, TimeKnown: x.TimeKnown, MeanTime: s.MeanTime, Thin: s.Thin}
	o.SuccessRate, o.SuccessLow, o.SuccessHigh = s.Success.Split()
	o.ExplosiveRate, o.ExplosiveLow, o.ExplosiveHigh = s.Explosive.Split()
	o.CompletionRate, _, _ = s.Completion.Split()
	return o
}
