package reports

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/study"
)

// TendencySheet is a row a group of plays.
func TendencySheet(a *ask.TendenciesAnswer) Sheet {
	out := Sheet{Name: "tendencies", Notes: []string{a.Interval, fmt.Sprintf("%d counted plays under the filters",
		a.Total)},
		Columns: append(slices.Clone(a.By), "plays", "runs", "passes", "run_share", "run_low", "run_high", "gain_sum_yd",
			"mean_gain_yd", "share", "share_low", "share_high", "successes", "success_known", "success_rate", "first_downs",
			"touchdowns", "explosives", "run_pass_bits", "gain_known", "median_gain_yd", "success_low", "success_high",
			"explosive_known", "explosive_rate", "explosive_low", "explosive_high",
			"throws", "completions", "completion_rate", "interceptions", "sacks", "scrambles", "throw_depth_known",
			"mean_throw_depth_yd", "throw_s_known", "mean_throw_s", "thin")}
	for _, k := range slices.Sorted(maps.Keys(a.LeftOut)) {
		out.Notes = append(out.Notes, fmt.Sprintf("left out where it matters: %d plays, %s", a.LeftOut[k], k))
	}
	for _, x := range a.Cells {
		out.Rows = append(out.Rows, append(keysOf(a.By, x.Keys), x.Plays, x.Runs, x.Passes, x.RunShare, x.RunLow, x.RunHigh,
			x.GainSum, x.MeanGain,
			x.Share, x.ShareLow, x.ShareHigh, x.Successes, x.SuccessKnown, x.SuccessRate, x.FirstDowns, x.Touchdowns,
			x.Explosives,
			x.RunPassBits, x.GainKnown, x.MedianGain, x.SuccessLow, x.SuccessHigh, x.ExplosiveKnown, x.ExplosiveRate,
			x.ExplosiveLow, x.ExplosiveHigh,
			x.Throws, x.Completions, x.CompletionRate, x.Interceptions, x.Sacks, x.Scrambles, x.DepthKnown, x.MeanDepth,
			x.TimeKnown, x.MeanTime, x.Thin))
	}
	return out
}

func keysOf(by []string, keys map[string]*string) (row []any) {
	for _, d := range by {
		row = append(row, keys[d])
	}
	return row
}

// TellSheet is a row a question that was asked.
func TellSheet(a *ask.TellsAnswer) Sheet {
	out := Sheet{Name: "tells", Columns: []string{"situation", "dimension", "of", "value", "outcome", "plays", "with_x",
		"with_plays", "share_with", "without_x", "without_plays", "share_without",
		"difference", "difference_low", "difference_high", "cramers_v", "pooled", "method", "p", "p_adjusted", "stands"},
		Notes: []string{a.Method, fmt.Sprintf("%d questions asked, %d of them not to be tested with so few plays", a.Asked,
			a.NotTested)}}
	for _, t := range a.Tells.Tells {
		out.Rows = append(out.Rows, []any{t.Situation, t.Dimension, t.Of, t.Value, t.Outcome, t.N, t.X, t.With, t.ShareWith,
			t.OtherX, t.Without, t.ShareOther,
			t.Difference, t.Low, t.High, t.Effect, strings.Join(t.Pooled, "; "), t.Method, t.P, t.Adjusted, t.Stands})
	}
	return out
}

// TrendSheet is a row an outcome.
func TrendSheet(a *ask.TrendAnswer) Sheet {
	out := Sheet{Name: "trend", Columns: []string{a.Of, "before_x", "before_plays", "share_before", "after_x",
		"after_plays", "share_after",
		"difference", "difference_low", "difference_high", "p", "p_adjusted", "stands"},
		Notes: []string{fmt.Sprintf("after: the last %d games; before: up to %d games before them", a.Recent, a.Earlier)}}
	for _, x := range a.Changes {
		out.Rows = append(out.Rows, []any{x.Outcome, x.BeforeX, x.Before, x.ShareBefore, x.AfterX, x.After, x.ShareAfter,
			x.Difference, x.Low, x.High, x.P, x.Adjusted, x.Stands})
	}
	return out
}

// LikenessSheet is a row an opponent.
func LikenessSheet(a *ask.Likeness) Sheet {
	out := Sheet{Name: "likeness", Columns: []string{"opponent", "plays", "situations", "apart_bits", "apart_raw_bits",
		"p"},
		Notes: []string{"Jensen-Shannon divergence in bits, 0 alike to 1 nothing in common, less what chance alone gives; " +
			"situations count by the plays of " + a.Opponent}}
	for _, l := range a.Items {
		out.Rows = append(out.Rows, []any{l.Opponent, l.Plays, l.Situations, l.Apart, l.Raw, l.P})
	}
	return out
}

// EstimateSheet is a row an outcome in a situation.
func EstimateSheet(a *ask.Estimates) Sheet {
	out := Sheet{Name: "estimates", Columns: slices.Concat(a.Chain, []string{a.Of, "situation_plays", "plays", "share",
		"share_low", "share_high",
		"estimate", "estimate_low", "estimate_high", "own_weight"}), Notes: []string{a.Method}}
	for _, e := range a.Items {
		var situation []any
		for _, d := range a.Chain {
			situation = append(situation, e.Keys[d])
		}
		for _, o := range e.Outcomes {
			out.Rows = append(out.Rows, append(slices.Clone(situation), o.Outcome, e.Plays, o.Plays, o.Raw, o.RawLow, o.RawHigh,
				o.Estimate, o.Low, o.High, e.From[0].Weight))
		}
	}
	return out
}

// BreakDepthSheet is a row a route.
func BreakDepthSheet(a *ask.Depths) Sheet {
	out := Sheet{Name: "depths", Columns: slices.Concat(a.By, []string{"number", "eligible", "route", "plays", "targeted",
		"depth_known", "median_yd", "median_low_yd", "median_high_yd",
		"lower_quartile_yd", "upper_quartile_yd", "least_yd", "most_yd"}),
		Notes: []string{"median_low_yd and median_high_yd hold the true median with at least 95%; " +
			"they need six known depths"}}
	for _, x := range a.Items {
		out.Rows = append(out.Rows, append(keysOf(a.By, x.Keys), x.Number, x.Eligible, x.Route, x.Plays, x.Targeted,
			x.DepthKnown, x.MedianYd, x.MedianLowYd, x.MedianHighYd,
			x.LowerYd, x.UpperYd, x.LeastYd, x.MostYd))
	}
	return out
}

// ConceptSheet is a row a receiver of a picture.
func ConceptSheet(a *ask.Concepts) Sheet {
	out := Sheet{Name: "concepts", Columns: []string{"set_name", "concept", "family", "concept_plays", "receiver",
		"in_picture", "route", "plays", "depth_known",
		"median_depth_yd", "lower_quartile_yd", "upper_quartile_yd", "disagreements"},
		Notes: []string{"P is the side the concept is run to, B the other; the number counts from the sideline in; depths " +
			"are those of the break"}}
	for _, k := range a.Items {
		for i, rs := range [][]plan.Receiver{k.Receivers, k.Seldom} {
			for _, r := range rs {
				out.Rows = append(out.Rows, []any{k.SetName, k.Concept, k.Family, k.Plays, r.Name, i == 0, r.Route, r.N, r.Known,
					r.Median, r.Lower, r.Upper, strings.Join(r.Others, "; ")})
			}
		}
	}
	return out
}

// AgreementSheet has a row for every field and every pair of analysts.
func AgreementSheet(a study.Agreement) Sheet {
	out := Sheet{Name: "agreement", Columns: []string{"field", "units", "values", "same", "alpha", "alpha_interval", "a",
		"b", "pair_units", "pair_same", "kappa"},
		Notes: []string{"alpha: Krippendorff, over all analysts; kappa: Cohen, of two; empty where nothing varies",
			"units: clips, or eligibles of clips, that two at least tagged"}}
	for _, f := range a.Fields {
		for _, p := range f.Pairs {
			out.Rows = append(out.Rows, []any{f.Field, f.Units, f.Values, f.Same, f.Alpha, f.Interval, p.A, p.B, p.Units, p.Same,
				p.Kappa})
		}
	}
	return out
}
