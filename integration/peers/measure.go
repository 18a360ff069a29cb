package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// A cell is what a peer must find for one group: enough to see that it counted the same.
type cell struct {
	key                             string
	plays, runs, gainSum, successes int
	median                          float64
	throws, depthSum                int
}

// A peer answers questions over the plays it was given.
type peer struct {
	name string
	ask  func(q question) ([]cell, error)
	less bool // counts no median
}

// A timing is what a peer took for a question.
type timing struct {
	peer     string
	p50, p99 time.Duration
	n        int
}

// times asks until there are enough answers or the time is up, and never fewer than five.
func times(p peer, q question, most int, limit time.Duration) (timing, []cell, error) {
	var got []cell
	var err error
	for range 3 { // whatever is kept warm is warm
		if got, err = p.ask(q); err != nil {
			return timing{}, nil, fmt.Errorf("%s: %s: %w", p.name, q.name, err)
		}
	}
	var took []time.Duration
	for began := time.Now(); len(took) < most && (len(took) < 5 || time.Since(began) < limit); {
		at := time.Now()
		if _, err := p.ask(q); err != nil {
			return timing{}, nil, fmt.Errorf("%s: %s: %w", p.name, q.name, err)
		}
		took = append(took, time.Since(at))
	}
	slices.Sort(took)
	return timing{p.name, took[len(took)/2], took[min(len(took)-1, len(took)*99/100)], len(took)}, got, nil
}

// same says where two peers counted differently.
func same(a, b []cell) error {
	order := func(x, y cell) int { return cmp.Compare(x.key, y.key) }
	slices.SortFunc(a, order)
	slices.SortFunc(b, order)
	if len(a) != len(b) {
		return fmt.Errorf("%d cells, not %d", len(b), len(a))
	}
	for i := range a {
		if a[i] != b[i] {
			return fmt.Errorf("%+v, not %+v", b[i], a[i])
		}
	}
	return nil
}

// compare asks every peer every question, and prints a line each.
func compare(plays []play, peers []peer, most int, limit time.Duration) error {
	for _, q := range questions {
		fmt.Printf("\n%d plays, %s\n%-52s %10s %10s %6s %8s\n", len(plays), q.name, "", "p50 ms", "p99 ms", "n", "ratio")
		var first timing
		var want []cell
		for i, p := range peers {
			t, got, err := times(p, q, most, limit)
			if err != nil {
				return err
			}
			if p.less { // the others have it
				for k := range got {
					got[k].median = medianOf(want, got[k].key)
				}
			}
			if i == 0 {
				first, want = t, got
			} else if err := same(want, got); err != nil {
				return fmt.Errorf("%s counts otherwise than %s: %s: %w", p.name, peers[0].name, q.name, err)
			}
			fmt.Printf("%-52s %10.3f %10.3f %6d %8.2f\n", t.peer, ms(t.p50), ms(t.p99), t.n, float64(t.p50)/float64(first.p50))
		}
	}
	return nil
}

func ms(d time.Duration) float64 { return float64(d) / 1e6 }

// measures is what all of our columns are in SQL, over a table with the bands ready; median
// is the dialect's. judged: every invented play has what it takes.
func measures(median string) string {
	return `count(*) AS plays, sum(CASE WHEN called = 'run' THEN 1 ELSE 0 END) AS runs,
		sum(CASE WHEN called = 'pass' THEN 1 ELSE 0 END), sum(gain_yd) AS gain_sum, count(gain_yd), ` + median + ` AS median,
		sum(CASE WHEN touchdown OR 100 * gain_yd >= distance_yd * CASE down WHEN 1 THEN 40 WHEN 2 THEN 60 ELSE 100 END
			THEN 1 ELSE 0 END) AS successes,
		sum(CASE WHEN down IS NOT NULL AND distance_yd IS NOT NULL AND (gain_yd IS NOT NULL OR touchdown) THEN 1 ELSE 0 END),
		sum(CASE WHEN gain_yd >= distance_yd THEN 1 ELSE 0 END), sum(CASE WHEN touchdown THEN 1 ELSE 0 END),
		sum(CASE WHEN gain_yd >= CASE called WHEN 'run' THEN 12 WHEN 'pass' THEN 16 END THEN 1 ELSE 0 END),
		sum(CASE WHEN called IS NOT NULL AND gain_yd IS NOT NULL THEN 1 ELSE 0 END),
		sum(CASE WHEN result IN ('complete', 'incomplete', 'intercepted') THEN 1 ELSE 0 END) AS throws,
		sum(CASE WHEN result = 'complete' THEN 1 ELSE 0 END), sum(CASE WHEN result = 'intercepted' THEN 1 ELSE 0 END),
		sum(CASE WHEN result = 'sack' THEN 1 ELSE 0 END), sum(CASE WHEN result = 'scramble' THEN 1 ELSE 0 END),
		sum(throw_depth_yd) AS depth_sum, count(throw_depth_yd), sum(throw_ds), count(throw_ds),
		sum(CASE WHEN down IS NULL OR distance_yd IS NULL THEN 1 ELSE 0 END)`
}

// statement is a question over the table flat.
func statement(q question, median string) string {
	var conds, by []string
	for _, f := range q.filters {
		value := "'" + f[1] + "'"
		if f[0] == "down" {
			value = f[1]
		}
		conds = append(conds, f[0]+" = "+value)
	}
	for i := range q.by {
		by = append(by, fmt.Sprint(i+1))
	}
	where := ""
	if conds != nil {
		where = " WHERE " + strings.Join(conds, " AND ")
	}
	return "SELECT " + strings.Join(q.by, ", ") + ", " + measures(median) + " FROM flat" + where + " GROUP BY " +
		strings.Join(by, ", ")
}

func medianOf(cells []cell, key string) float64 {
	for i := range cells {
		if cells[i].key == key {
			return cells[i].median
		}
	}
	return 0
}
