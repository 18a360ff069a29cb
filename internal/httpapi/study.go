package httpapi

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports"
	"overhang/internal/study"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// listed reads a comma separated parameter, or what is usual.
func listed(c echo.Context, name string, usual ...string) []string {
	if s := fields(c.QueryParam(name)); s != nil {
		return s
	}
	return usual
}

// falsely reads the share of false discoveries that is accepted.
func falsely(c echo.Context) float64 {
	if f, err := strconv.ParseFloat(c.QueryParam("false_share"), 64); err == nil { // the contract has checked it
		return f
	}
	return ask.FalseShare
}

func (s *server) tells(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	out, plays, err := ask.Tells(c.Request().Context(), s.store, ask.Scope{Program: p, Filters: filters(c)},
		ask.TellsQuestion{Of: listed(c, "of", "called"), By: fields(c.QueryParam("by")), Within: listed(c, "within"), FalseShare: falsely(c)})
	if err != nil {
		return err
	}
	sheet := reports.Sheet{Name: "tells", Columns: []string{"situation", "dimension", "of", "value", "outcome", "plays", "with_x", "with_plays", "share_with", "without_x", "without_plays", "share_without",
		"difference", "difference_low", "difference_high", "cramers_v", "pooled", "method", "p", "p_adjusted", "stands"},
		Notes: []string{tellNote(c), fmt.Sprintf("%d questions asked, %d of them not to be tested with so few plays", out.Asked, out.NotTested)}}
	for _, t := range out.Tells {
		sheet.Rows = append(sheet.Rows, []any{t.Situation, t.Dimension, t.Of, t.Value, t.Outcome, t.N, t.X, t.With, t.ShareWith, t.OtherX, t.Without, t.ShareOther,
			t.Difference, t.Low, t.High, t.Effect, strings.Join(t.Pooled, "; "), t.Method, t.P, t.Adjusted, t.Stands})
	}
	return s.table(c, p, plays, sheet, map[string]any{"asked": out.Asked, "not_tested": out.NotTested, "left_out": out.LeftOut, "tells": out.Tells, "method": tellNote(c)})
}

func tellNote(c echo.Context) string {
	return fmt.Sprintf("Fisher's exact test or chi-square as the counts allow; p_adjusted after Benjamini and Hochberg over all questions asked; stands: at most %g of those that stand are expected to be false", falsely(c))
}

func (s *server) trend(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	only, of := filters(c), listed(c, "of", "called")[0]
	if only["games_ago"] != nil {
		return tags.Fieldf(tags.Invalid, "games_ago", "the spans say which games: use recent and earlier")
	}
	recent, earlier := 3, ask.AllGames
	for name, at := range map[string]*int{"recent": &recent, "earlier": &earlier} {
		if v := c.QueryParam(name); v != "" {
			*at, _ = strconv.Atoi(v) // the contract has checked it
		}
	}
	out, err := ask.Trend(c.Request().Context(), s.store, ask.Scope{Program: p, Filters: only},
		ask.TrendQuestion{Of: of, Recent: recent, Earlier: earlier, FalseShare: falsely(c)})
	if err != nil {
		return err
	}
	sheet := reports.Sheet{Name: "trend", Columns: []string{of, "before_x", "before_plays", "share_before", "after_x", "after_plays", "share_after", "difference", "difference_low", "difference_high", "p", "p_adjusted", "stands"},
		Notes: []string{fmt.Sprintf("after: the last %d games; before: up to %d games before them", recent, earlier)}}
	for _, x := range out.Changes {
		sheet.Rows = append(sheet.Rows, []any{x.Outcome, x.BeforeX, x.Before, x.ShareBefore, x.AfterX, x.After, x.ShareAfter, x.Difference, x.Low, x.High, x.P, x.Adjusted, x.Stands})
	}
	return s.table(c, p, out.Before+out.After+out.LeftOut, sheet, map[string]any{"of": of, "recent": recent, "earlier": earlier,
		"before_plays": out.Before, "after_plays": out.After, "left_out": out.LeftOut, "changes": out.Changes})
}

func (s *server) likeness(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	o, err := s.opponent(c)
	if err != nil {
		return err
	}
	only, of, within := filters(c), listed(c, "of", "called")[0], listed(c, "within", "down", "distance_band")
	if only["opponent"] != nil {
		return tags.Fieldf(tags.Invalid, "opponent", "he is compared with everybody")
	}
	counts, err := s.store.Counts(c.Request().Context(), p, append(append([]string{"opponent"}, within...), of), only)
	if err != nil {
		return err
	}
	out, leftOut, err := study.Likest(o.Code, counts)
	if err != nil {
		return err
	}
	sheet := reports.Sheet{Name: "likeness", Columns: []string{"opponent", "plays", "situations", "apart_bits", "apart_raw_bits", "p"},
		Notes: []string{"Jensen-Shannon divergence in bits, 0 alike to 1 nothing in common, less what chance alone gives; situations count by the plays of " + o.Code}}
	for _, l := range out {
		sheet.Rows = append(sheet.Rows, []any{l.Opponent, l.Plays, l.Situations, l.Apart, l.Raw, l.P})
	}
	return s.table(c, p, len(counts), sheet, map[string]any{"opponent": o.Code, "of": of, "within": within, "left_out": leftOut, "items": out})
}

func (s *server) estimates(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	only, of, chain := filters(c), listed(c, "of", "called")[0], listed(c, "chain")
	asked, under := map[string][]string{}, map[string][]string{}
	for d, vs := range only {
		if slices.Contains(chain, d) {
			if slices.Contains(vs, "") {
				return tags.Fieldf(tags.Invalid, d, "what is not known is no situation to estimate")
			}
			asked[d] = vs
		} else {
			under[d] = vs
		}
	}
	if asked, err = s.store.Resolve(c.Request().Context(), p, asked); err != nil {
		return err
	}
	counts, err := s.store.Counts(c.Request().Context(), p, append(slices.Clone(chain), of), under)
	if err != nil {
		return err
	}
	out, leftOut := study.Estimates(chain, counts, asked)
	sheet := reports.Sheet{Name: "estimates", Columns: slices.Concat(chain, []string{of, "situation_plays", "plays", "share", "share_low", "share_high", "estimate", "estimate_low", "estimate_high", "own_weight"}),
		Notes: []string{estimateNote}}
	plays := 0
	for _, e := range out {
		plays += e.Plays
		for _, o := range e.Outcomes {
			var row []any
			for _, d := range chain {
				row = append(row, e.Keys[d])
			}
			sheet.Rows = append(sheet.Rows, append(row, o.Outcome, e.Plays, o.Plays, o.Raw, o.RawLow, o.RawHigh, o.Estimate, o.Low, o.High, e.From[0].Weight))
		}
	}
	if out == nil {
		out = []study.Estimate{}
	}
	return s.table(c, p, max(plays, len(counts)), sheet, map[string]any{"of": of, "chain": chain, "left_out": leftOut, "items": out, "method": estimateNote})
}

const estimateNote = "each level's shares are drawn toward those of the next coarser one, as strongly as situations of the same kind are alike; the interval takes the coarser level as known"

func (s *server) depths(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	by := listed(c, "by")
	groups, err := s.store.Depths(c.Request().Context(), p, by, filters(c))
	if err != nil {
		return err
	}
	sheet := reports.Sheet{Name: "depths", Columns: slices.Concat(by, []string{"number", "eligible", "route", "plays", "targeted", "depth_known", "median_yd", "median_low_yd", "median_high_yd",
		"lower_quartile_yd", "upper_quartile_yd", "least_yd", "most_yd"}), Notes: []string{"median_low_yd and median_high_yd hold the true median with at least 95 %; they need six known depths"}}
	items := []map[string]any{}
	for _, g := range groups {
		d := tendency.Depths(g.Depths)
		item := map[string]any{"number": g.Number, "eligible": g.Eligible, "route": g.Route, "plays": g.N, "targeted": g.Targeted, "depth_known": d.N}
		if d.Defined {
			item["median_yd"], item["lower_quartile_yd"], item["upper_quartile_yd"], item["least_yd"], item["most_yd"] = d.Median, d.Lower, d.Upper, d.Least, d.Most
		}
		if d.Bounded {
			item["median_low_yd"], item["median_high_yd"] = d.Low, d.High
		}
		var row []any
		keys := map[string]*string{}
		for i, name := range by {
			keys[name] = g.Keys[i]
			row = append(row, g.Keys[i])
		}
		for _, col := range sheet.Columns[len(by):] {
			row = append(row, item[col])
		}
		sheet.Rows = append(sheet.Rows, row)
		item["keys"] = keys
		items = append(items, item)
	}
	return s.table(c, p, len(groups), sheet, map[string]any{"by": append([]string{}, by...), "items": items})
}
