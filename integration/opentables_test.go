package integration

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// figures are what a reference row says, by the table's own columns.
type figures map[string]float64

func share(x, n int) float64 { return float64(x) / float64(n) }

// usual are the figures most tables have. The reference counts an unknown gain
// as 0; so does sum / n.
func usual(c cell) figures {
	return figures{"n": float64(c.Plays), "run": float64(c.Runs), "pass": float64(c.Passes),
		"sum_gain": float64(c.GainSum), "first_downs": float64(c.FirstDown), "td": float64(c.TD),
		"pass_rate": share(c.Passes, c.Plays), "first_down_rate": share(c.FirstDown, c.Plays), "avg_gain": share(c.GainSum,
			c.Plays), "successes": float64(c.Successes),
		"completions": float64(c.Completions), "interceptions": float64(c.Interceptions),
		"completion_share": share(c.Completions, c.Plays), "int_rate": share(c.Interceptions, c.Plays),
		"mean_gain": share(c.GainSum, c.Plays), "mean_air_yards": c.MeanDepth, "mean_ttt": c.MeanTime}
}

// keys are the columns that name a row; games is held by TestOpenTables itself.
var keys = []string{"src", "off", "down", "dist", "dist_b", "pers", "form", "zone", "hash", "cov", "coverage", "mz",
	"route", "k", "games"}

// equal holds every printed figure of a row against ours, to the digits its
// column is printed with.
func equal(t *testing.T, at string, row map[string]string, digits map[string]int, ours figures) {
	t.Helper()
	for col, text := range row {
		got, ok := ours[col]
		if slices.Contains(keys, col) || text == "" {
			continue
		}
		if !ok {
			t.Fatalf("%s: nothing is held against %s", at, col)
		}
		want, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("%s: %s is %q", at, col, text)
		}
		if math.Abs(got-want) > 0.5000001*math.Pow(10, -float64(digits[col])) {
			t.Errorf("%s: %s = %v, the table says %s", at, col, got, text)
		}
	}
}

// printed returns the digits a column of a table is rounded to: the most of any
// row, since trailing zeros are cut off.
func printed(rows []map[string]string) map[string]int {
	out := map[string]int{}
	for _, row := range rows {
		for col, v := range row {
			if _, after, ok := strings.Cut(v, "."); ok {
				out[col] = max(out[col], len(after))
			}
		}
	}
	return out
}

// A reference is one table and the question that it answers.
type reference struct {
	file, by, more string
	key            func(map[string]string) string
	only           func(key string) bool // of our cells; nil: all of them must be in the table
	ours           func(cell) figures
}

func columns(cols ...string) func(map[string]string) string {
	return func(r map[string]string) string {
		var out []string
		for _, c := range cols {
			v := r[c]
			switch c {
			case "hash":
				v = map[string]string{"L": "left", "M": "middle", "R": "right", "?": "?"}[v]
			case "mz":
				v = map[string]string{"MAN": "man", "ZONE": "zone", "?": "?"}[v]
			}
			out = append(out, v)
		}
		return strings.Join(out, "|")
	}
}

// thrown are the results of a call that was not a sack.
const thrown = "&called=pass&result=complete,incomplete,intercepted,scramble"

func known(key string) bool { return !strings.HasPrefix(key, "?") }

// everyThrow counts a time that is not known as 0, as ref_coverage does.
func everyThrow(c cell) figures {
	f := usual(c)
	f["mean_ttt"] = c.MeanTime * share(c.TimeKnown, c.Plays)
	return f
}

var references = []reference{
	{"fixture_by_offence_down_distance.csv", "opponent,down,distance", "", columns("off", "down", "dist"), nil, usual},
	{"fixture_by_offence.csv", "opponent", "", columns("off"), nil, usual},
	{"fixture_personnel_formation.csv", "opponent,personnel,set_name", "", columns("off", "pers", "form"), nil, usual},
	{"fixture_by_offence_cells.csv", "opponent,down,distance_band,personnel,set_name,field_zone,hash", "",
		columns("off", "down", "dist_b", "pers", "form", "zone", "hash"), nil, usual},
	{"ref_down_distance.csv", "down,distance_band", "", columns("down", "dist_b"), nil, usual},
	{"ref_down_distance_personnel.csv", "down,distance_band,personnel", "", columns("down", "dist_b", "pers"), nil, usual},
	{"ref_personnel.csv", "personnel", "", columns("pers"), nil, usual},
	{"ref_formation.csv", "set_name", "", columns("form"), nil, usual},
	{"ref_zone.csv", "field_zone", "", columns("zone"), nil, usual},
	{"ref_hash.csv", "hash", "", columns("hash"), nil, usual},
	{"ref_coverage.csv", "coverage,coverage_kind", "&called=pass", columns("cov", "mz"), known, everyThrow},
	{"ref_route_by_manzone.csv", "target_route,coverage_kind", thrown, columns("route", "mz"), known, usual},
	{"ref_route_by_coverage.csv", "target_route,coverage", thrown, columns("route", "coverage"),
		func(k string) bool { return known(k) && !strings.HasSuffix(k, "|?") }, usual},
}

// TestOpenTables: tendencies over the API equal every row of the tables that were
// made from the same plays with independent tools (reference.sql, SQLite).
func TestOpenTables(t *testing.T) {
	p := openProgram(t)
	total := 0
	for _, ref := range references {
		all := table(t, ref.file)
		digits := printed(all)
		for _, program := range []string{"fixture", "open2022"} {
			rows := slices.DeleteFunc(slices.Clone(all), func(r map[string]string) bool {
				src, ok := r["src"]
				if !ok { // of one file only
					src = map[bool]string{true: "fixture", false: "open2022"}[strings.HasPrefix(ref.file, "fixture")]
				}
				return src != program
			})
			if len(rows) == 0 {
				continue
			}
			cells := p.cells(t, program, ref.by, ref.more)
			n := 0
			for k := range cells {
				if ref.only == nil || ref.only(k) {
					n++
				}
			}
			if n != len(rows) {
				t.Errorf("%s, %s: %d rows, the API has %d cells by %s", ref.file, program, len(rows), n, ref.by)
			}
			for _, row := range rows {
				k := ref.key(row)
				c, ok := cells[k]
				if !ok {
					t.Errorf("%s, %s: no cell %s", ref.file, program, k)
					continue
				}
				equal(t, ref.file+" "+program+" "+k, row, digits, ref.ours(c))
			}
			total += len(rows)
		}
	}
	games := map[string]int{}
	for k := range p.cells(t, "fixture", "opponent,game", "") {
		offense, _, _ := strings.Cut(k, "|")
		games[offense]++
	}
	for _, row := range table(t, "fixture_by_offence.csv") {
		if row["games"] != strconv.Itoa(games[row["off"]]) {
			t.Errorf("%s: %d games, the table says %s", row["off"], games[row["off"]], row["games"])
		}
	}
	total += p.totals(t) + p.designs(t) + p.throwTimes(t)
	t.Logf("%d reference rows equal", total)
}

// totals holds ref_totals.csv.
func (p *process) totals(t *testing.T) int {
	rows := table(t, "ref_totals.csv")
	digits := printed(rows)
	for _, row := range rows {
		src := row["src"]
		c := p.cells(t, src, "season", "")["open play-by-play"]
		by := p.cells(t, src, "called", "&explosive_run_yd=4&explosive_pass_yd=16")
		far := p.cells(t, src, "called", "&explosive_run_yd=10&explosive_pass_yd=20")
		ours := usual(c)
		for col, v := range map[string]float64{"scrambles": float64(c.Scrambles), "sacks": float64(c.Sacks),
			"attempts": float64(c.Throws), "comp_rate": c.Completed, "sack_rate": share(c.Sacks, c.Passes),
			"yards_per_run": share(by["run"].GainSum, by["run"].Plays), "yards_per_dropback": share(by["pass"].GainSum,
				by["pass"].Plays), "yards_per_play": share(c.GainSum, c.Plays),
			"runs_4plus": by["run"].ExplosiveRate, "runs_10plus": far["run"].ExplosiveRate,
			"dropbacks_16plus": by["pass"].ExplosiveRate, "dropbacks_20plus": far["pass"].ExplosiveRate} {
			ours[col] = v
		}
		equal(t, "ref_totals.csv "+src, row, digits, ours)
	}
	return len(rows)
}

// designs holds ref_motion_playaction.csv.
func (p *process) designs(t *testing.T) int {
	rows := table(t, "ref_motion_playaction.csv")
	digits := printed(rows)
	for _, row := range rows {
		src := row["src"]
		rate := func(by, value, more string) (n int, r float64) {
			x := 0
			for k, c := range p.cells(t, src, by, more) {
				if known(k) || by == "family" {
					n += c.Plays
				}
				if k == value {
					x = c.Plays
				}
			}
			return n, share(x, n)
		}
		ours := figures{}
		n, r := rate("motion", "some", "")
		ours["n_charted"], ours["motion_rate"] = float64(n), r
		n, r = rate("play_fake", "yes", "&called=pass")
		ours["n_pass"], ours["play_action_rate"] = float64(n), r
		_, ours["screen_rate"] = rate("family", "screen", "&called=pass")
		_, ours["rpo_rate"] = rate("run_option", "yes", "")
		_, ours["blitz_rate"] = rate("blitz", "yes", "&called=pass")
		equal(t, "ref_motion_playaction.csv "+src, row, digits, ours)
	}
	return len(rows)
}

// throwTimes holds ref_time_to_throw.csv; its quantile is the value at the place
// p (n - 1), rounded down, from 0 (reference.sql).
func (p *process) throwTimes(t *testing.T) int {
	rows := table(t, "ref_time_to_throw.csv")
	digits := printed(rows)
	groups := map[string]map[float64]int{}
	gather := func(by string, name func(string) string) {
		for k, c := range p.cells(t, "open2022", by, "&called=pass&result=complete,incomplete,intercepted") {
			parts := strings.Split(k, "|")
			s, err := strconv.ParseFloat(parts[len(parts)-1], 64)
			if err != nil {
				continue // not known
			}
			g := name(parts[0])
			if groups[g] == nil {
				groups[g] = map[float64]int{}
			}
			groups[g][s] += c.Plays
		}
	}
	gather("throw_time", func(string) string { return "all" })
	gather("throw_depth_band,throw_time", func(b string) string {
		return "air " + map[string]string{"?": "?", "behind the line": "a:<0", "0-9": "b:0-9", "10-19": "c:10-19",
			"20+": "d:20+"}[b]
	})
	gather("pressured,throw_time", func(b string) string {
		return "pressure " + map[string]string{"?": "?", "yes": "1",
			"no": "0"}[b]
	})
	if len(groups) != len(rows) {
		t.Errorf("ref_time_to_throw.csv has %d rows, the API %d groups", len(rows), len(groups))
	}
	for _, row := range rows {
		var all []float64
		sum := 0.0
		for s, n := range groups[row["k"]] {
			for range n {
				all = append(all, s)
			}
			sum += s * float64(n)
		}
		slices.Sort(all)
		ours := figures{"n": float64(len(all)), "mean": sum / float64(len(all))}
		for _, q := range []int{5, 25, 50, 75, 90, 95} {
			ours[fmt.Sprintf("p%02d", q)] = all[q*(len(all)-1)/100]
		}
		equal(t, "ref_time_to_throw.csv "+row["k"], row, digits, ours)
	}
	return len(rows)
}
