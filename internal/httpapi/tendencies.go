package httpapi

import (
	"encoding/csv"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// cell is the wire form of one group of plays.
type cell struct {
	Keys         map[string]*string `json:"keys"`
	Plays        int                `json:"plays"`
	Runs         int                `json:"runs"`
	Passes       int                `json:"passes"`
	RunShare     float64            `json:"run_share"` // of the plays whose call is known
	RunLow       float64            `json:"run_low"`
	RunHigh      float64            `json:"run_high"`
	GainSum      int                `json:"gain_sum_yd"`
	MeanGain     *float64           `json:"mean_gain_yd,omitempty"`
	Share        float64            `json:"share"`
	ShareLow     float64            `json:"share_low"`
	ShareHigh    float64            `json:"share_high"`
	Successes    int                `json:"successes"`
	SuccessKnown int                `json:"success_known"`
	SuccessRate  *float64           `json:"success_rate,omitempty"`
	FirstDowns   int                `json:"first_downs"`
	Touchdowns   int                `json:"touchdowns"`
	Explosives   int                `json:"explosives"`
	Thin         bool               `json:"thin"`
}

// filters reads the dimension parameters; several values stand comma separated,
// "(unknown)" asks for what was not tagged.
func filters(c echo.Context) map[string][]string {
	out := map[string][]string{}
	for name, vs := range c.QueryParams() {
		if !slices.Contains(tags.Dimensions, name) {
			continue
		}
		for _, v := range strings.Split(strings.Join(vs, ","), ",") {
			if v == "(unknown)" {
				v = ""
			}
			out[name] = append(out[name], v)
		}
	}
	return out
}

func fields(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, ",")
}

func (s *server) tendencies(c echo.Context) error {
	q := tags.TendencyQuery{By: fields(c.QueryParam("by")), Within: fields(c.QueryParam("within")), Filters: filters(c)}
	t, err := s.store.Tendencies(c.Request().Context(), programOf(c), q)
	if err != nil {
		return err
	}
	cells := scored(q, t)
	if wants(c, "csv") {
		return tendencyCSV(c, q, cells)
	}
	for k, n := range t.Skip {
		if n == 0 {
			delete(t.Skip, k)
		}
	}
	return c.JSON(http.StatusOK, map[string]any{"by": q.By, "total": t.Total, "cells": cells, "left_out": t.Skip,
		"interval": "Wilson 95 %; shares are of the group named by within, else of all plays under the filters"})
}

// wants says that a format was asked for, by parameter or by Accept.
func wants(c echo.Context, format string) bool {
	if f := c.QueryParam("format"); f != "" {
		return f == format
	}
	return strings.Contains(c.Request().Header.Get("Accept"), "text/"+format)
}

// scored puts rates and intervals on the counts.
func scored(q tags.TendencyQuery, t tags.Tendency) []cell {
	groups := map[string]int{}
	group := func(x *tags.Cell) string {
		var b strings.Builder
		for i, d := range q.By {
			if slices.Contains(q.Within, d) {
				if x.Keys[i] != nil {
					b.WriteString(*x.Keys[i])
				}
				b.WriteByte(0)
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
		o := cell{Keys: map[string]*string{}, Plays: x.Plays, Runs: x.Runs, Passes: x.Passes, GainSum: x.GainSum, Successes: x.Successes,
			SuccessKnown: x.SuccessKnown, FirstDowns: x.FirstDowns, Touchdowns: x.Touchdowns, Explosives: x.Explosives, Thin: x.Plays < tendency.Thin}
		for k, d := range q.By {
			o.Keys[d] = x.Keys[k]
		}
		o.Share = tendency.Share(x.Plays, n)
		o.ShareLow, o.ShareHigh = tendency.Wilson(x.Plays, n)
		o.RunShare = tendency.Share(x.Runs, x.Runs+x.Passes)
		o.RunLow, o.RunHigh = tendency.Wilson(x.Runs, x.Runs+x.Passes)
		if x.GainKnown > 0 {
			m := float64(x.GainSum) / float64(x.GainKnown)
			o.MeanGain = &m
		}
		if x.SuccessKnown > 0 {
			r := tendency.Share(x.Successes, x.SuccessKnown)
			o.SuccessRate = &r
		}
		out[i] = o
	}
	return out
}

func tendencyCSV(c echo.Context, q tags.TendencyQuery, cells []cell) error {
	c.Response().Header().Set(echo.HeaderContentType, "text/csv; charset=utf-8; header=present")
	c.Response().WriteHeader(http.StatusOK)
	w := csv.NewWriter(c.Response())
	w.UseCRLF = true // RFC 4180
	w.Write(append(slices.Clone(q.By), "plays", "runs", "passes", "run_share", "run_low", "run_high", "gain_sum_yd", "mean_gain_yd", "share", "share_low", "share_high",
		"successes", "success_known", "success_rate", "first_downs", "touchdowns", "explosives"))
	num := func(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) }
	opt := func(f *float64) string {
		if f == nil {
			return ""
		}
		return num(*f)
	}
	for _, x := range cells {
		var rec []string
		for _, d := range q.By {
			rec = append(rec, plain(x.Keys[d]))
		}
		w.Write(append(rec, strconv.Itoa(x.Plays), strconv.Itoa(x.Runs), strconv.Itoa(x.Passes), num(x.RunShare), num(x.RunLow), num(x.RunHigh), strconv.Itoa(x.GainSum), opt(x.MeanGain),
			num(x.Share), num(x.ShareLow), num(x.ShareHigh), strconv.Itoa(x.Successes), strconv.Itoa(x.SuccessKnown), opt(x.SuccessRate),
			strconv.Itoa(x.FirstDowns), strconv.Itoa(x.Touchdowns), strconv.Itoa(x.Explosives)))
	}
	w.Flush()
	return w.Error()
}

// plain keeps a spreadsheet from running a word as a formula; unknown is empty.
func plain(s *string) string {
	if s == nil {
		return ""
	}
	if *s != "" && strings.ContainsRune("=+-@\t\r", rune((*s)[0])) {
		return "'" + *s
	}
	return *s
}
