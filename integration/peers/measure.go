package main

import (
	"cmp"
	"fmt"
	"os"
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

// A peer answers questions over the plays it was given. What of an answer is only for
// the comparison (a body that is read) is done by read, which is not timed.
type peer struct {
	name string
	ask  func(q question) (read func() ([]cell, error), err error)
	less bool // counts no median
}

// given is an answer that is read already.
func given(cells []cell, err error) (func() ([]cell, error), error) {
	return func() ([]cell, error) { return cells, nil }, err
}

// A timing is what a peer took for a question.
type timing struct {
	peer     string
	p50, p99 time.Duration
	n        int
}

// atOnce is how many answers of a peer are timed before it is another's turn: all of them
// meet the same machine, whatever else it does, and none is always cold.
const atOnce = 50

// A clock times one peer's answers to a question.
type clock struct {
	peer peer
	took []time.Duration
	all  time.Duration
	got  []cell
}

// warm asks until whatever is kept is kept, and reads the answer.
func (c *clock) warm(q question) error {
	for range 3 {
		read, err := c.peer.ask(q)
		if err == nil {
			c.got, err = read()
		}
		if err != nil {
			return fmt.Errorf("%s: %s: %w", c.peer.name, q.name, err)
		}
	}
	return nil
}

// turn times some answers; false: there are enough, or the time is up and there are a few.
func (c *clock) turn(q question, most int, limit time.Duration) (more bool, err error) {
	for range atOnce {
		if len(c.took) >= most || len(c.took) >= atOnce && c.all >= limit {
			return false, nil
		}
		at := time.Now()
		if _, err := c.peer.ask(q); err != nil {
			return false, fmt.Errorf("%s: %s: %w", c.peer.name, q.name, err)
		}
		c.took = append(c.took, time.Since(at))
		c.all += c.took[len(c.took)-1]
	}
	return true, nil
}

func (c *clock) timing() timing {
	slices.Sort(c.took)
	n := len(c.took)
	return timing{c.peer.name, c.took[n/2], c.took[min(n-1, n*99/100)], n}
}

// times asks all peers a question in turn.
func times(peers []peer, q question, most int, limit time.Duration) ([]*clock, error) {
	clocks := make([]*clock, len(peers))
	for i, p := range peers {
		clocks[i] = &clock{peer: p}
		if err := clocks[i].warm(q); err != nil {
			return nil, err
		}
	}
	for going := true; going; {
		going = false
		for _, c := range clocks {
			more, err := c.turn(q, most, limit)
			if err != nil {
				return nil, err
			}
			going = going || more
		}
	}
	return clocks, nil
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

// compare asks every peer every question, and prints a line each: the ratio is to bare pgx.
func compare(plays []play, peers []peer, most int, limit time.Duration) error {
	for _, q := range questions {
		clocks, err := times(peers, q, most, limit)
		if err != nil {
			return err
		}
		floor := clocks[slices.IndexFunc(peers, func(p peer) bool { return p.name == barePgx })].timing()
		load, _ := os.ReadFile("/proc/loadavg")
		fmt.Printf("\n%d plays, %s, load %.4s\n%-52s %10s %10s %6s %8s\n", len(plays), q.name, load, "", "p50 ms", "p99 ms",
			"n", "to bare")
		want := clocks[0].got
		for i, c := range clocks {
			if c.peer.less { // the others have it
				for k := range c.got {
					c.got[k].median = medianOf(want, c.got[k].key)
				}
			}
			if err := same(want, c.got); i > 0 && err != nil {
				return fmt.Errorf("%s counts otherwise than %s: %s: %w", c.peer.name, peers[0].name, q.name, err)
			}
			t := c.timing()
			fmt.Printf("%-52s %10.3f %10.3f %6d %8.2f\n", t.peer, ms(t.p50), ms(t.p99), t.n, float64(t.p50)/float64(floor.p50))
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
