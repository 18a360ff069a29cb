package tags

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"overhang/integration/outside"
)

// sit writes a situation as "q2 600 3&7@45 -3", with ? for the unknown.
func (s Start) String() string {
	w := func(v *int) string {
		if v == nil {
			return "?"
		}
		return strconv.Itoa(*v)
	}
	return fmt.Sprintf("q%s %s %s&%s@%s %s", w(s.Quarter), w(s.ClockS), w(s.Down), w(s.DistanceYd), w(s.YardsToGoal),
		w(s.ScoreMargin))
}

// at reads a play from "q2 600 3&7@45 -3" and what it gained.
func at(t *testing.T, situation, result string, gain *int) Play {
	t.Helper()
	var q, c, d, dist, spot, margin string
	if _, err := fmt.Sscanf(strings.NewReplacer("&", " ", "@", " ").Replace(situation), "q%s %s %s %s %s %s", &q, &c, &d,
		&dist, &spot, &margin); err != nil {
		t.Fatalf("%s: %v", situation, err)
	}
	n := func(s string) *int {
		v, err := strconv.Atoi(s)
		if err != nil {
			return nil
		}
		return &v
	}
	p := Play{Number: 7, Status: "counted", Quarter: n(q), ClockS: n(c), Down: n(d), DistanceYd: n(dist),
		YardsToGoal: n(spot), ScoreMargin: n(margin), GainYd: gain}
	if result != "" {
		p.Result = &result
	}
	return p
}

// TestPropose: the series of downs is the same in every rule book: four downs, ten
// yards in advance or the goal line (NFHS rule 5-1, NCAA 5-1, NFL 7-3; MEM). The
// arithmetic is CALC, by hand.
func TestPropose(t *testing.T) {
	for _, tt := range []struct {
		name, from, result string
		gain               *int
		want, series       string
	}{
		{"short of the line", "q1 700 1&10@75 0", "rush", ptr(3), "q1 700 2&7@72 0", SeriesGoesOn},
		{"a sack", "q1 700 2&7@72 0", "sack", ptr(-8), "q1 700 3&15@80 0", SeriesGoesOn},
		{"an incompletion gains nothing by rule", "q2 30 1&10@40 -7", "incomplete", nil, "q2 30 2&10@40 -7", SeriesGoesOn},
		{"to the line exactly", "q1 700 3&4@50 3", "complete", ptr(4), "q1 700 1&10@46 3", SeriesGoesOn},
		{"first and goal", "q1 700 3&4@12 3", "complete", ptr(5), "q1 700 1&7@7 3", SeriesGoesOn},
		{"fourth down made", "q4 10 4&1@31 3", "rush", ptr(1), "q4 10 1&10@30 3", SeriesGoesOn},
		{"fourth down short", "q4 10 4&2@31 3", "rush", ptr(1), "q4 10 ?&?@? ?", SeriesEnds},
		{"intercepted", "q4 10 1&10@31 3", "intercepted", ptr(0), "q4 10 ?&?@? ?", SeriesEnds},
		{"a safety", "q4 10 1&10@98 3", "sack", ptr(-4), "q4 10 ?&?@? ?", SeriesEnds},
		{"a gain nobody tagged", "q4 10 1&10@31 3", "complete", nil, "q4 10 ?&?@? ?", SeriesUnknown},
		{"a penalty", "q4 10 1&10@31 3", "penalty", nil, "q4 10 ?&?@? 3", SeriesUnknown},
		{"a spot nobody tagged", "q4 10 1&10@? 3", "rush", ptr(12), "q4 10 1&?@? 3", SeriesGoesOn},
		{"over the goal line without a touchdown", "q4 10 1&10@9 3", "rush", ptr(9), "q4 10 ?&?@? ?", SeriesUnknown},
	} {
		p := at(t, tt.from, tt.result, tt.gain)
		got := Propose(&p)
		if got.Start.String() != tt.want || got.Series != tt.series || got.Number != 8 || got.Why == "" {
			t.Errorf("%s: after %s %s: %v, %s (%s); want %s, %s", tt.name, tt.from, tt.result, got.Start, got.Series, got.Why,
				tt.want, tt.series)
		}
	}
	if p := Propose(nil); p.Number != 1 || p.Series != SeriesUnknown {
		t.Errorf("before the first play: %+v", p)
	}
	td := at(t, "q4 10 1&10@9 3", "rush", ptr(9))
	td.Touchdown = true
	if p := Propose(&td); p.Series != SeriesEnds || p.ScoreMargin != nil {
		t.Errorf("after a touchdown: %+v; the try decides the score", p)
	}
}

func TestCheckChain(t *testing.T) {
	for _, tt := range []struct {
		name, a, result string
		gain            int
		b, since, says  string // says "" for a chain that holds
	}{
		{"as it should be", "q1 700 1&10@75 0", "rush", 3, "q1 660 2&7@72 0", "", ""},
		{"a down that does not follow", "q1 700 1&10@75 0", "rush", 3, "q1 660 3&7@72 0", "", "down is 3 where 2"},
		{"a distance that does not follow", "q1 700 1&10@75 0", "rush", 3, "q1 660 2&8@72 0", "", "distance_yd is 8 where 7"},
		{"a spot that does not follow", "q1 700 1&10@75 0", "rush", 3, "q1 660 2&7@27 0", "", "yards_to_goal is 27 where 72"},
		{"points from nowhere", "q1 700 1&10@75 0", "rush", 3, "q1 660 2&7@72 7", "", "score_margin is 7 where 0"},
		{"a clock that rises", "q1 700 1&10@75 0", "rush", 3, "q1 760 2&7@72 0", "", "clock_s rises"},
		{"a new quarter's clock", "q1 3 1&10@75 0", "rush", 3, "q2 900 2&7@72 0", "", ""},
		{"a quarter that comes back", "q2 3 1&10@75 0", "rush", 3, "q1 2 2&7@72 0", "", "quarter 1 follows"},
		{"a half lies between", "q2 3 1&10@75 0", "rush", 3, "q3 880 1&10@70 0", "", ""},
		{"a half lies between, and second down", "q2 3 1&10@75 0", "rush", 3, "q3 880 2&7@72 0", "", "new series"},
		{"they kicked on fourth down", "q1 700 3&7@50 0", "rush", 3, "q1 400 1&10@80 -3", "", ""},
		{"a first down from nowhere", "q1 700 2&7@50 0", "rush", 3, "q1 400 1&10@80 0", "", "down is 1 where 3"},
		{"a quick kick, said", "q1 700 2&7@50 0", "rush", 3, "q1 400 1&10@80 0", "kick", ""},
		{"after an interception", "q1 700 2&7@50 0", "intercepted", 0, "q1 400 1&10@80 -7", "", ""},
		{"after an interception, second down", "q1 700 2&7@50 0", "intercepted", 0, "q1 400 2&10@80 0", "", "new series"},
		{"a series begins with ten yards", "q1 700 2&7@50 0", "intercepted", 0, "q1 400 1&15@80 0", "", "distance_yd is 15"},
		{"five yards against them", "q1 700 1&10@75 0", "penalty", 0, "q1 690 1&15@80 0", "", ""},
		{"ten yards for holding on a run that stood, said", "q1 700 2&7@50 0", "rush", 2, "q1 690 2&15@58 0", "penalty", ""},
		{"a penalty does not move the line to gain", "q1 700 2&7@50 0", "penalty", 0, "q1 690 2&10@55 0", "", "line to gain"},
		{"a penalty that gives a first down", "q1 700 3&7@50 0", "penalty", 0, "q1 690 1&10@35 0", "", ""},
		{"a penalty that takes two downs", "q1 700 1&10@50 0", "penalty", 0, "q1 690 3&10@50 0", "", "down is 3 after 1"},
		{"a review moved the spot, said", "q1 700 3&4@50 0", "complete", 4, "q1 690 4&1@47 0", "review", ""},
		{"the same, not said", "q1 700 3&4@50 0", "complete", 4, "q1 690 4&1@47 0", "", "down is 4 where 1"},
		{"over the goal line without a touchdown", "q1 700 3&4@4 0", "complete", 4, "q1 690 1&10@47 7", "",
			"no touchdown is tagged"},
	} {
		a, b := at(t, tt.a, tt.result, ptr(tt.gain)), at(t, tt.b, "", nil)
		b.Number = 8
		if tt.since != "" {
			b.SinceLast = &tt.since
		}
		c := CheckChain([]Play{b, a}) // in whatever order they come
		switch {
		case tt.says == "" && len(c.Breaks) != 0:
			t.Errorf("%s: %v; want none", tt.name, c.Breaks)
		case tt.says != "" && (len(c.Breaks) != 1 || !strings.Contains(c.Breaks[0].Message, tt.says) ||
			c.Breaks[0].First.Number != 7 || c.Breaks[0].Second.Number != 8):
			t.Errorf("%s: %v; want plays 7 and 8 named, saying %q", tt.name, c.Breaks, tt.says)
		}
	}
	open := CheckChain([]Play{{Number: 1}, {Number: 2, Down: ptr(2)}, {Number: 4}})
	if open.Links != 2 || open.Checked != 0 || len(open.Breaks) != 0 ||
		open.Unchecked["down of the later play not tagged"] != 1 {
		t.Errorf("untagged plays: %+v; want two links, neither checked, no break", open)
	}
}

// TestChainOfARealSeason: in a real season nearly every chain adds up, since its
// officials kept it so. Play-by-play: nflverse (CC BY 4.0). Charting: FTN Data via
// nflverse (CC BY-SA 4.0). Participation: NFL NextGenStats via nflverse and FTN Data
// via nflverse (CC BY-SA 4.0). Trimmed, joined and anonymized; changes made.
// A play whose row says that a penalty was enforced is followed by one since a penalty.
func TestChainOfARealSeason(t *testing.T) {
	rows := outside.Rows(t, "data", "open_plays_2022.csv")
	col := map[string]int{}
	for i, h := range rows[0] {
		col[h] = i
	}
	games, flagged := map[string][]Play{}, map[string]bool{}
	for _, r := range rows[1:] {
		cell := func(name string) string { return r[col[name]] }
		num := func(name string) *int {
			if v, err := strconv.Atoi(cell(name)); err == nil {
				return &v
			}
			return nil
		}
		p := Play{Status: "counted", Number: *num("seq"), Down: num("down"), DistanceYd: num("dist"),
			YardsToGoal: num("yl100"), ScoreMargin: num("score_diff"),
			GainYd: num("gain"), Touchdown: cell("td") == "1"}
		if left := num("sec_left"); left != nil { // of the game; overtime is left out of quarters
			p.Quarter, p.ClockS = ptr(4-min(3, *left/900)), ptr(*left%900)
		}
		switch {
		case cell("type") == "no_play":
			p.Status = "no_play"
		case cell("intercepted") == "1":
			p.Result = ptr("intercepted")
		}
		if p.Quarter != nil && *p.ClockS == 0 {
			p.Quarter, p.ClockS = nil, nil // the first second of one quarter and the last of another look alike
		}
		key := cell("game") + " " + cell("off")
		if flagged[key] {
			p.SinceLast = ptr("penalty")
		}
		flagged[key] = cell("penalty") == "1"
		games[key] = append(games[key], p)
	}
	var all Chain
	kinds := map[string]int{}
	for key, ps := range games {
		c := CheckChain(ps)
		all.Links += c.Links
		all.Checked += c.Checked
		for _, b := range c.Breaks {
			if all.Breaks = append(all.Breaks, b); len(all.Breaks) <= 12 {
				t.Log(key, b.Message)
			}
			for _, part := range strings.Split(b.Message, ";") {
				words := strings.Fields(part[strings.LastIndex(part, ":")+1:])
				kinds[words[0]]++
			}
		}
	}
	// One spot in the middle of each game is put a yard off: how often is that seen?
	seen, put := 0, 0
	for _, ps := range games {
		before := len(CheckChain(ps).Breaks)
		if m := &ps[len(ps)/2]; m.YardsToGoal != nil && *m.YardsToGoal < 99 {
			m.YardsToGoal = ptr(*m.YardsToGoal + 1)
			put++
			if len(CheckChain(ps).Breaks) > before {
				seen++
			}
		}
	}
	t.Logf("of %d spots put a yard off, %d are seen", put, seen)
	if 10*seen < 8*put {
		t.Errorf("%d of %d wrong spots are seen; want four of five", seen, put)
	}
	rate := float64(len(all.Breaks)) / float64(all.Checked)
	t.Logf("%d games of an offense, %d links, %d checked, %d breaks (%.2f%%): %v", len(games), all.Links, all.Checked,
		len(all.Breaks), 100*rate, kinds)
	if all.Checked < 30000 || rate > 0.02 {
		t.Errorf("%d links checked, %.2f%% break; want over 30000 and under 2%%", all.Checked, 100*rate)
	}
}
