package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/apache/arrow-go/v18/arrow/array"
	"github.com/apache/arrow-go/v18/arrow/compute"
	"github.com/apache/arrow-go/v18/arrow/memory"
	"github.com/jackc/pgx/v5/pgxpool"
)

// What was weighed against our own image of the plays in memory, counts and sums only:
// an exact cube kept in PostgreSQL, and Apache Arrow's arrays with its compute kernels.

// cube counts the plays once by seven dimensions into a table; a question adds it up.
func cube(ctx context.Context, db *pgxpool.Pool, p interface{ String() string }) (peer, error) {
	sums := "count(*) AS plays, " + strings.Join(cubeSums("count(*) FILTER (WHERE called = 'run')", "sum(gain_yd)",
		"count(*) FILTER (WHERE touchdown OR 100 * gain_yd >= distance_yd * CASE down WHEN 1 THEN 40 WHEN 2 THEN 60 "+
			"ELSE 100 END)", "count(*) FILTER (WHERE result IN ('complete', 'incomplete', 'intercepted'))",
		"coalesce(sum(throw_depth_yd), 0)"), ", ")
	_, err := db.Exec(ctx, `DROP TABLE IF EXISTS cube`)
	if err == nil {
		_, err = db.Exec(ctx, `CREATE TABLE cube AS SELECT down, CASE WHEN distance_yd <= 3 THEN '1-3' WHEN distance_yd <= 6
			THEN '4-6' WHEN distance_yd <= 10 THEN '7-10' WHEN distance_yd <= 99 THEN '11+' END AS distance_band,
			CASE WHEN yards_to_goal <= 5 THEN 'GOAL' WHEN yards_to_goal <= 20 THEN 'RED' WHEN yards_to_goal <= 49
			THEN 'OPP49-21' WHEN yards_to_goal <= 79 THEN 'OWN21-50' ELSE 'OWN1-20' END AS field_zone, called, family,
			concept, coverage, `+sums+` FROM plays WHERE program_id = '`+p.String()+`' AND status = 'counted'
			GROUP BY 1, 2, 3, 4, 5, 6, 7`)
	}
	if err == nil {
		_, err = db.Exec(ctx, `ANALYZE cube`)
	}
	var rows int
	if err == nil {
		err = db.QueryRow(ctx, `SELECT count(*) FROM cube`).Scan(&rows)
	}
	name := fmt.Sprintf("a cube in PostgreSQL, %d rows, no median", rows)
	return peer{name: name, less: true, ask: func(q question) (func() ([]cell, error), error) {
		return given(askCube(ctx, db, q))
	}}, err
}

func cubeSums(of ...string) []string {
	for i, name := range []string{"runs", "gain", "successes", "throws", "depth"} {
		of[i] += " AS " + name
	}
	return of
}

func askCube(ctx context.Context, db *pgxpool.Pool, q question) ([]cell, error) {
	by := "concat_ws(' ', " + strings.Join(q.by, ", ") + ")"
	where := ""
	for i, f := range q.filters {
		where += map[bool]string{true: " WHERE ", false: " AND "}[i == 0] + f[0] + "::text = '" + f[1] + "'"
	}
	rows, err := db.Query(ctx, `SELECT `+by+`, sum(plays)::int, sum(runs)::int, sum(gain)::int, sum(successes)::int,
		sum(throws)::int, sum(depth)::int FROM cube`+where+` GROUP BY `+strings.Join(q.by, ", "))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []cell
	for rows.Next() {
		var c cell
		if err := rows.Scan(&c.key, &c.plays, &c.runs, &c.gainSum, &c.successes, &c.throws, &c.depthSum); err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, rows.Err()
}

// A frame is the plays as Arrow's arrays of small codes.
type frame struct {
	codes map[string]*array.Uint8
	words map[string][]string
	plays []play
}

// arrows asks Arrow's kernels for the plays under the filters. Its Go library has no
// grouping, so the groups are counted here.
func arrows(plays []play) peer {
	f := &frame{codes: map[string]*array.Uint8{}, words: map[string][]string{}, plays: plays}
	for name, of := range map[string]func(p *play) string{
		"down": func(p *play) string { return fmt.Sprint(p.down) }, "distance_band": func(p *play) string { return p.band },
		"field_zone": func(p *play) string { return p.zone }, "called": func(p *play) string { return p.called },
		"family": func(p *play) string { return p.family }, "concept": func(p *play) string { return p.concept },
	} {
		b := array.NewUint8Builder(memory.DefaultAllocator)
		seen := map[string]uint8{}
		for i := range plays {
			w := of(&plays[i])
			if _, ok := seen[w]; !ok {
				seen[w] = uint8(len(seen))
				f.words[name] = append(f.words[name], w)
			}
			b.Append(seen[w])
		}
		f.codes[name] = b.NewUint8Array()
	}
	return peer{name: "Arrow Go, filters by its kernels, no median", less: true,
		ask: func(q question) (func() ([]cell, error), error) { return given(f.ask(q)) }}
}

func (f *frame) ask(q question) ([]cell, error) {
	ctx := context.Background()
	var mask compute.Datum
	for _, x := range q.filters {
		code := uint8(255)
		for i, w := range f.words[x[0]] {
			if w == x[1] {
				code = uint8(i)
			}
		}
		met, err := compute.CallFunction(ctx, "equal", nil, compute.NewDatum(f.codes[x[0]]), compute.NewDatum(code))
		if err != nil {
			return nil, err
		}
		if mask != nil {
			if met, err = compute.CallFunction(ctx, "and", nil, mask, met); err != nil {
				return nil, err
			}
		}
		mask = met
	}
	var in *array.Boolean
	if mask != nil {
		in = mask.(*compute.ArrayDatum).MakeArray().(*array.Boolean)
		defer in.Release()
	}
	return f.group(q, in), nil
}

func (f *frame) group(q question, in *array.Boolean) (out []cell) {
	cells := map[int]*cell{}
	var codes [][]uint8
	for _, d := range q.by {
		codes = append(codes, f.codes[d].Uint8Values())
	}
	for i := range f.plays {
		if in != nil && !in.Value(i) {
			continue
		}
		key := 0
		for _, c := range codes {
			key = key<<8 | int(c[i])
		}
		c := cells[key]
		if c == nil {
			var words []string
			for k, d := range q.by {
				words = append(words, f.words[d][codes[k][i]])
			}
			c = &cell{key: strings.Join(words, " ")}
			cells[key] = c
		}
		c.add(&f.plays[i])
	}
	for _, c := range cells {
		out = append(out, *c)
	}
	return out
}

func (c *cell) add(p *play) {
	c.plays++
	c.gainSum += p.gain
	if p.called == "run" {
		c.runs++
	}
	if p.success {
		c.successes++
	}
	if p.depth != noDepth {
		c.depthSum += p.depth
	}
	switch p.result {
	case "complete", "incomplete", "intercepted":
		c.throws++
	}
}
