package intake

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestCells reads one cell at a time: what a staff writes there (common practice, no source) and
// what it means; what cannot be meant is refused with the text.
func TestCells(t *testing.T) {
	t.Parallel()
	val := func(n *int) string {
		if n == nil {
			return ""
		}
		return fmt.Sprint(*n)
	}
	shown := map[string]func(*Record) string{
		"quarter":       func(r *Record) string { return val(r.Play.Quarter) },
		"clock_s":       func(r *Record) string { return val(r.Play.ClockS) },
		"down":          func(r *Record) string { return val(r.Play.Down) },
		"distance_yd":   func(r *Record) string { return val(r.Play.DistanceYd) },
		downAndDistance: func(r *Record) string { return val(r.Play.Down) + " & " + val(r.Play.DistanceYd) },
		"gain_yd":       func(r *Record) string { return val(r.Play.GainYd) },
		"rushers":       func(r *Record) string { return val(r.Play.Rushers) },
		"score_margin":  func(r *Record) string { return val(r.Play.ScoreMargin) },
		"touchdown":     func(r *Record) string { return fmt.Sprint(r.Play.Touchdown) },
		week:            func(r *Record) string { return val(r.Game.Week) },
		"personnel": func(r *Record) string {
			if r.Play.Personnel == nil {
				return ""
			}
			return *r.Play.Personnel
		},
	}
	const refused = "refused"
	for field, cells := range map[string]map[string]string{
		"quarter": {"1": "1", "Q4": "4", "3rd": "3", "2nd quarter": "2", "OT": "5", "overtime": "5", "0": refused,
			"6":    refused,
			"half": refused},
		"clock_s": {"15:00": "900", "8:41": "521", "08:41": "521", ":07": "7", "0:00": "0", "8:41:00 AM": "521",
			"15:01": refused,
			"8:60":  refused, "841": refused, "": refused},
		"down": {"1": "1", "3rd": "3", "Fourth down": "4", "2.0": "2", "0": "", "5": refused, "-1": refused,
			"x": refused},
		"distance_yd": {"10": "10", "7 yds": "7", "inches": "1", "Goal": "", "0": refused, "100": refused, "long": refused},
		downAndDistance: {"3rd & 7": "3 & 7", "1 and 10": "1 & 10", "2-8": "2 & 8", "4th down & 1": "4 & 1",
			"1st & goal": "1 & ",
			"5 & 2":      refused, "3 & 0": refused, "third": refused},
		"gain_yd": {"7": "7", "-3": "-3", "(3)": "-3", "+4": "4", "loss of 2": "-2", "L5": "-5", "no gain": "0",
			"gain of 12": "12",
			"7.0":        "7", "99": "99", "100": refused, "a few": refused, "7.5": refused},
		"rushers":      {"4": "4", "0": "0", "11": "11", "12": refused, "-1": refused},
		"score_margin": {"-7": "-7", "0": "0", "199": "199", "200": refused, "tied": refused},
		"touchdown":    {"Y": "true", "td": "true", "x": "true", "no": "false", "0": "false", "maybe": refused},
		week:           {"3": "3", "Week 12": "12", "wk 4": "4", "0": "0", "61": refused, "bye": refused},
		"personnel": {"11": "11", "2.1": "21", "12 personnel": "12", "10p": "10", "33": refused, "6": refused,
			"heavy": refused},
	} {
		for text, want := range cells {
			r := &Record{}
			err := readings[field](r, &column{}, text)
			switch got := shown[field](r); {
			case (err != nil) != (want == refused) || err == nil && got != want:
				t.Errorf("%s %q: %q, %v; want %q", field, text, got, err, want)
			case err != nil && got != "" && got != "false" && got != " & " && field != downAndDistance:
				t.Errorf("%s %q is refused and kept as %q", field, text, got)
			case err != nil && !strings.Contains(err.Error(), strings.Trim(text, " .")) && field != downAndDistance:
				t.Errorf("%s %q: %v does not say what is wrong", field, text, err)
			}
		}
	}
}

// TestSpots: -35 and own 35 are 65 yards from the goal line, +35 and opp 35 are 35; a number alone
// is what its column means, or is asked about; yard lines run from 1 to 50.
func TestSpots(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		text, side string
		bare       int
		want       int // 0: refused
	}{
		{"-35", "", 0, 65}, {"+35", "", 0, 35}, {"own 35", "", 0, 65}, {"Opp 35", "", 0, 35}, {"o35", "", 0, 65}, {"d35",
			"", 0, 35},
		{"35 own", "", 0, 65}, {"their 8 yd line", "", 0, 8}, {"50", "", 0, 50}, {"midfield", "", 0, 50}, {"-50", "", 0,
			50},
		{"goal line", "", 0, 1}, {"35", "own", 0, 65}, {"35", "opp", 0, 35}, {"35", "", -1, 65}, {"35", "", 1, 35}, {"35",
			"", 0, 0},
		{"-1", "", 0, 99}, {"+1", "", 0, 1}, {"+0", "", 0, 0}, {"-51", "", 0, 0}, {"51", "", 1, 0}, {"somewhere", "", 0, 0},
		{"+35", "own", 0, 35}, {"Alder 35", "", 0, 0},
	} {
		got, err := spotOf(tt.text, tt.side, tt.bare)
		if (err != nil) != (tt.want == 0) || err == nil && got != tt.want {
			t.Errorf("%q beside %q, bare %d: %d, %v; want %d", tt.text, tt.side, tt.bare, got, err, tt.want)
		}
	}
	versus := "Birch Creek"
	for text, want := range map[string]int{"Alder 35": 65, "ALD 35": 65,
		"Birch 35": 35, "BC 20": 20, "Cedar 35": 0, "A 35": 0} {
		r := &Record{Opponent: "Alder"}
		r.Game.Versus = &versus
		err := readSpot(r, &column{}, text)
		if got := r.Play.YardsToGoal; (err != nil) != (want == 0) || err == nil && *got != want {
			t.Errorf("%q when Alder plays Birch Creek: %v, %v; want %d", text, got, err, want)
		}
	}
}

// TestDates: as they are written, and as a workbook counts days: day 44197 is 1 January 2021
// (ECMA-376, 18.17.4.1, the system of 1900).
func TestDates(t *testing.T) {
	t.Parallel()
	day := func(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }
	for text, want := range map[string]time.Time{"2026-09-12": day(2026,
		9, 12), "9/12/2026": day(2026, 9, 12), "9/5/26": day(2026, 9, 5),
		"Sept 12, 2026": day(2026, 9, 12), "September 12th, 2026": day(2026, 9, 12), "12.9.2026": day(2026, 9, 12),
		"Sat, Sep 12, 2026": day(2026, 9, 12), "31/12/2026": {}, "2026-02-30": {}, "soon": {}, "": {}} {
		r := &Record{}
		if err := readDate(r, &column{}, text); (err != nil) != want.IsZero() || !r.day.Equal(want) {
			t.Errorf("%q: %v, %v; want %v", text, r.day, err, want)
		}
	}
	for kept, want := range map[string]time.Time{"44197": day(2021,
		1, 1), "44197.75": day(2021, 1, 1), "123": {}, "": {}} {
		r := &Record{}
		if err := readDate(r, &column{kept: kept}, "x"); (err != nil) != want.IsZero() || !r.day.Equal(want) {
			t.Errorf("day %q of a workbook: %v, %v; want %v", kept, r.day, err, want)
		}
	}
}

// TestNumerals: numbers that are said become figures, where the column has numbers; other words
// and columns stay.
func TestNumerals(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"third and ten": "third and 10",
		"twenty-one": "21", "Fifty": "50", "forty five": "45",
		"ninety nine yards": "99 yards", "twenty ten": "20 ten", "no numbers": "no numbers", "": ""} {
		if got := numerals(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	for _, tt := range []struct{ field, in, want string }{{"gain_yd",
		"twelve", "12"}, {"gain_yd", "twelve 3", "twelve 3"},
		{"concept", "four verticals", "four verticals"}, {"down", "Goal", "Goal"}} {
		if got := figured(tt.field, tt.in); got != tt.want {
			t.Errorf("%s %q: %q, want %q", tt.field, tt.in, got, tt.want)
		}
	}
}
