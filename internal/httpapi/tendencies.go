package httpapi

import (
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/ask"
	"overhang/internal/reports"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// cell is the wire form of one group of plays.
type cell struct {
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

// filters reads the dimension parameters.
func filters(c echo.Context) map[string][]string { return ask.Filters(c.QueryParams()) }

func fields(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, ",")
}

// asking is the program with the cut points this one request asks for.
func asking(c echo.Context) (tags.Program, error) {
	p := programOf(c)
	if s := c.QueryParam("success_percent"); s != "" {
		for i, v := range fields(s) { // the contract has checked the form
			p.Settings.SuccessPercent[i], _ = strconv.Atoi(v)
		}
	}
	for name, at := range map[string]*int{"explosive_run_yd": &p.Settings.ExplosiveRunYd, "explosive_pass_yd": &p.Settings.ExplosivePassYd} {
		if s := c.QueryParam(name); s != "" {
			*at, _ = strconv.Atoi(s)
		}
	}
	return p, p.Validate()
}

func (s *server) tendencies(c echo.Context) error {
	p, err := asking(c)
	if err != nil {
		return err
	}
	q := tags.TendencyQuery{By: fields(c.QueryParam("by")), Within: fields(c.QueryParam("within")), Filters: filters(c)}
	t, err := s.store.Tendencies(c.Request().Context(), p, q)
	if err != nil {
		return err
	}
	cells := scored(q, t)
	for k, n := range t.Skip {
		if n == 0 {
			delete(t.Skip, k)
		}
	}
	const interval = "Wilson 95 %; shares are of the group named by within, else of all plays under the filters"
	notes := []string{interval, fmt.Sprintf("%d counted plays under the filters", t.Total)}
	for _, k := range slices.Sorted(maps.Keys(t.Skip)) {
		notes = append(notes, fmt.Sprintf("left out where it matters: %d plays, %s", t.Skip[k], k))
	}
	return s.table(c, p, t.Total, tendencySheet(q, cells, notes),
		map[string]any{"by": q.By, "total": t.Total, "cells": cells, "left_out": t.Skip, "interval": interval})
}

// wants says that a format was asked for, by parameter or by Accept.
func wants(c echo.Context, format string) bool {
	if f := c.QueryParam("format"); f != "" {
		return f == format
	}
	accept := c.Request().Header.Get("Accept")
	return strings.Contains(accept, "text/"+format) || format == "xlsx" && strings.Contains(accept, spreadsheet)
}

const spreadsheet = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// table answers in the form that was asked for. Where no play is behind the
// answer it says why: as a member of the JSON form, as a note of the XLSX form,
// and in a header of all of them.
func (s *server) table(c echo.Context, p tags.Program, plays int, sheet reports.Sheet, answer map[string]any) error {
	if plays == 0 {
		why, err := s.store.WhyNone(c.Request().Context(), p, filters(c))
		if err != nil {
			return err
		}
		answer["why_empty"] = why
		sheet.Notes = append(sheet.Notes, why)
		c.Response().Header().Set("Overhang-Why-Empty", why)
	}
	return sent(c, sheet, answer)
}

// sent answers with a sheet where a table was asked for, else with the JSON form.
func sent(c echo.Context, sheet reports.Sheet, answer any) error {
	switch {
	case wants(c, "csv"):
		return written(c, "text/csv; charset=utf-8; header=present", sheet.WriteCSV)
	case wants(c, "xlsx"):
		c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="`+sheet.Name+`.xlsx"`)
		return written(c, spreadsheet, sheet.WriteXLSX)
	}
	return c.JSON(http.StatusOK, answer)
}

// scored puts rates and intervals on the counts.
func scored(q tags.TendencyQuery, t tags.Tendency) []cell {
	groups := map[string]int{}
	group := func(x *tags.Cell) string {
		var b strings.Builder
		for i, d := range q.By {
			if slices.Contains(q.Within, d) {
				b.WriteString(keyed(x.Keys[i]))
			}
		}
		return b.String()
	}
	for i := range t.Cells {
		groups[group(&t.Cells[i])] += t.Cells[i].Plays
	}
	out := make([]cell, len(t.Cells))
	for i := range t.Cells {
		x, n := &t.Cells[i], groups[group(&t.Cells[i])]
		o := cell{Keys: map[string]*string{}, Plays: x.Plays, Runs: x.Runs, Passes: x.Passes, GainSum: x.GainSum, GainKnown: x.GainKnown, MedianGain: x.MedianGain,
			Successes: x.Successes, SuccessKnown: x.SuccessKnown, FirstDowns: x.FirstDowns, Touchdowns: x.Touchdowns, Explosives: x.Explosives, ExplosiveKnown: x.ExplosiveKnown,
			Throws: x.Throws, Completions: x.Completions, Interceptions: x.Interceptions, Sacks: x.Sacks, Scrambles: x.Scrambles,
			DepthKnown: x.DepthKnown, TimeKnown: x.TimeKnown, Thin: x.Plays < tendency.Thin}
		for k, d := range q.By {
			o.Keys[d] = x.Keys[k]
		}
		o.Share = tendency.Share(x.Plays, n)
		o.ShareLow, o.ShareHigh = tendency.Wilson(x.Plays, n)
		o.RunShare = tendency.Share(x.Runs, x.Runs+x.Passes)
		o.RunLow, o.RunHigh = tendency.Wilson(x.Runs, x.Runs+x.Passes)
		o.RunPassBits = tendency.Entropy(x.Runs, x.Passes)
		o.MeanGain = mean(float64(x.GainSum), x.GainKnown)
		o.MeanDepth = mean(float64(x.DepthSum), x.DepthKnown)
		o.MeanTime = mean(x.TimeSum, x.TimeKnown)
		o.SuccessRate, o.SuccessLow, o.SuccessHigh = rate(x.Successes, x.SuccessKnown)
		o.ExplosiveRate, o.ExplosiveLow, o.ExplosiveHigh = rate(x.Explosives, x.ExplosiveKnown)
		o.CompletionRate, _, _ = rate(x.Completions, x.Throws)
		out[i] = o
	}
	return out
}

// keyed writes a value so that no two, nor an unknown one, look alike in a row.
func keyed(v *string) string {
	if v == nil {
		return "\x01\x00"
	}
	return *v + "\x00"
}

// mean and rate are nil where nothing is known.
func mean(sum float64, n int) *float64 {
	if n == 0 {
		return nil
	}
	m := sum / float64(n)
	return &m
}

func rate(x, n int) (share, low, high *float64) {
	if n == 0 {
		return nil, nil, nil
	}
	s := tendency.Share(x, n)
	l, h := tendency.Wilson(x, n)
	return &s, &l, &h
}

func tendencySheet(q tags.TendencyQuery, cells []cell, notes []string) reports.Sheet {
	out := reports.Sheet{Name: "tendencies", Notes: notes, Columns: append(slices.Clone(q.By), "plays", "runs", "passes", "run_share", "run_low", "run_high", "gain_sum_yd", "mean_gain_yd",
		"share", "share_low", "share_high", "successes", "success_known", "success_rate", "first_downs", "touchdowns", "explosives",
		"run_pass_bits", "gain_known", "median_gain_yd", "success_low", "success_high", "explosive_known", "explosive_rate", "explosive_low", "explosive_high",
		"throws", "completions", "completion_rate", "interceptions", "sacks", "scrambles", "throw_depth_known", "mean_throw_depth_yd", "throw_s_known", "mean_throw_s", "thin")}
	for _, x := range cells {
		var row []any
		for _, d := range q.By {
			row = append(row, x.Keys[d])
		}
		out.Rows = append(out.Rows, append(row, x.Plays, x.Runs, x.Passes, x.RunShare, x.RunLow, x.RunHigh, x.GainSum, x.MeanGain,
			x.Share, x.ShareLow, x.ShareHigh, x.Successes, x.SuccessKnown, x.SuccessRate, x.FirstDowns, x.Touchdowns, x.Explosives,
			x.RunPassBits, x.GainKnown, x.MedianGain, x.SuccessLow, x.SuccessHigh, x.ExplosiveKnown, x.ExplosiveRate, x.ExplosiveLow, x.ExplosiveHigh,
			x.Throws, x.Completions, x.CompletionRate, x.Interceptions, x.Sacks, x.Scrambles, x.DepthKnown, x.MeanDepth, x.TimeKnown, x.MeanTime, x.Thin))
	}
	return out
}
