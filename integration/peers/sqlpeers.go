package main

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"fmt"
	"strings"

	"github.com/duckdb/duckdb-go/v2"
	"github.com/google/uuid"
	"github.com/jackc/pgx/v5/pgxpool"
	_ "modernc.org/sqlite"
)

// flatColumns are the peers' table: one row a play, bands ready, times in tenths of a second.
const flatColumns = `opponent VARCHAR, game VARCHAR, number INTEGER, quarter INTEGER, down INTEGER, distance_yd INTEGER,
	yards_to_goal INTEGER, distance_band VARCHAR, field_zone VARCHAR, personnel VARCHAR, set_name VARCHAR, called VARCHAR,
	family VARCHAR, concept VARCHAR, result VARCHAR, coverage VARCHAR, gain_yd INTEGER, touchdown BOOLEAN,
	throw_depth_yd INTEGER, throw_ds INTEGER`

func (p *play) flat() []any {
	var depth, tenths any
	if p.depth != noDepth {
		depth, tenths = int32(p.depth), int32(p.throwS*10+.5)
	}
	i := func(n int) int32 { return int32(n) }
	return []any{p.opponent, p.gameLabel, i(p.number), i(p.quarter), i(p.down), i(p.distance), i(p.toGoal), p.band, p.zone,
		p.personnel, p.set, p.called, p.family, p.concept, p.result, p.coverage, i(p.gain), p.touchdown, depth, tenths}
}

// rowsOf reads a statement's cells.
type rowsOf interface {
	Next() bool
	Scan(...any) error
	Err() error
}

func collect(rows rowsOf, keys int) (out []cell, err error) {
	for rows.Next() {
		by, v := make([]any, keys), make([]sql.NullFloat64, 22)
		var dest []any
		for i := range by {
			dest = append(dest, &by[i])
		}
		for i := range v {
			dest = append(dest, &v[i])
		}
		if err := rows.Scan(dest...); err != nil {
			return nil, err
		}
		key := strings.TrimSuffix(fmt.Sprintln(by...), "\n")
		out = append(out, cell{key, int(v[0].Float64), int(v[1].Float64), int(v[3].Float64), int(v[6].Float64),
			v[5].Float64, int(v[12].Float64), int(v[17].Float64)})
	}
	return out, rows.Err()
}

// asksSQL is a peer behind database/sql, with its statement prepared.
func asksSQL(name string, db *sql.DB, median string) peer {
	ready := map[string]*sql.Stmt{}
	return peer{name: name, ask: func(q question) (func() ([]cell, error), error) {
		if ready[q.name] == nil {
			s, err := db.Prepare(statement(q, median))
			if err != nil {
				return nil, err
			}
			ready[q.name] = s
		}
		rows, err := ready[q.name].Query()
		if err != nil {
			return nil, err
		}
		defer rows.Close()
		return given(collect(rows, len(q.by)))
	}}
}

// duck is DuckDB in memory, sorted by opponent, with words as enumerations, on two threads.
func duck(plays []play) (peer, error) {
	connector, err := duckdb.NewConnector("", nil)
	if err != nil {
		return peer{}, err
	}
	db := sql.OpenDB(connector)
	do := func(s string) {
		if err == nil {
			_, err = db.Exec(s)
		}
	}
	do("SET threads = 2")
	do("CREATE TABLE given (" + flatColumns + ")")
	if err != nil {
		return peer{}, err
	}
	c, err := connector.Connect(context.Background())
	if err != nil {
		return peer{}, err
	}
	a, err := duckdb.NewAppenderFromConn(c, "", "given")
	if err != nil {
		return peer{}, err
	}
	for i := range plays {
		var row []driver.Value
		for _, v := range plays[i].flat() {
			row = append(row, v)
		}
		if err := a.AppendRow(row...); err != nil {
			return peer{}, err
		}
	}
	if err := a.Close(); err != nil {
		return peer{}, err
	}
	do("CREATE TABLE flat AS SELECT * FROM given ORDER BY opponent, game, number")
	do("DROP TABLE given")
	for _, w := range []string{"distance_band", "field_zone", "set_name", "called", "family", "concept", "result",
		"coverage"} {
		do(fmt.Sprintf("CREATE TYPE %[1]s_words AS ENUM (SELECT DISTINCT %[1]s FROM flat)", w))
		do(fmt.Sprintf("ALTER TABLE flat ALTER %[1]s TYPE %[1]s_words", w))
	}
	var version string
	if err == nil {
		err = db.QueryRow("SELECT version()").Scan(&version)
	}
	return asksSQL("DuckDB "+version+", 2 threads, all our columns", db, "median(gain_yd)"), err
}

// lite is SQLite in memory with indexes; it has no median, so it counts one column less.
func lite(plays []play) (peer, error) {
	db, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return peer{}, err
	}
	db.SetMaxOpenConns(1)
	if _, err = db.Exec("CREATE TABLE flat (" + flatColumns + ")"); err != nil {
		return peer{}, err
	}
	tx, err := db.Begin()
	if err != nil {
		return peer{}, err
	}
	in, err := tx.Prepare("INSERT INTO flat VALUES (" + strings.TrimSuffix(strings.Repeat("?,", 20), ",") + ")")
	if err != nil {
		return peer{}, err
	}
	for i := range plays {
		if _, err := in.Exec(plays[i].flat()...); err != nil {
			return peer{}, err
		}
	}
	if err := tx.Commit(); err != nil {
		return peer{}, err
	}
	if _, err := db.Exec("CREATE INDEX flat_down ON flat (down, distance_band); ANALYZE"); err != nil {
		return peer{}, err
	}
	var version string
	err = db.QueryRow("SELECT sqlite_version()").Scan(&version)
	p := asksSQL("SQLite "+version+" (modernc), no median", db, "NULL")
	p.less = true
	return p, err
}

const barePgx = "bare pgx, the same tables"

// bare is the same plays in the same database, asked with nothing of ours between.
func bare(db *pgxpool.Pool, program uuid.UUID) peer {
	const flat = `WITH flat AS (SELECT down, distance_yd, gain_yd, called, family, concept, result, touchdown,
		throw_depth_yd, throw_s * 10 AS throw_ds, CASE WHEN distance_yd <= 3 THEN '1-3' WHEN distance_yd <= 6 THEN '4-6'
		WHEN distance_yd <= 10 THEN '7-10' WHEN distance_yd <= 99 THEN '11+' END AS distance_band,
		CASE WHEN yards_to_goal <= 5 THEN 'GOAL' WHEN yards_to_goal <= 20 THEN 'RED' WHEN yards_to_goal <= 49 THEN 'OPP49-21'
		WHEN yards_to_goal <= 79 THEN 'OWN21-50' ELSE 'OWN1-20' END AS field_zone
		FROM plays WHERE program_id = $1 AND status = 'counted') `
	return peer{name: barePgx, ask: func(q question) (func() ([]cell, error), error) {
		rows, err := db.Query(context.Background(),
			flat+statement(q, "percentile_cont(0.5) WITHIN GROUP (ORDER BY gain_yd)"), program)
		if err != nil {
			return nil, err
		}
		defer rows.Close()
		return given(collect(rows, len(q.by)))
	}}
}
