package main

import (
	"archive/zip"
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	_ "github.com/duckdb/duckdb-go/v2"
	"github.com/jackc/pgx/v5/pgxpool"

	"overhang/db/migrations"
	"overhang/internal/archive"
	"overhang/internal/database/localdb"
	"overhang/internal/demo"
	"overhang/internal/tags/postgres"
)

// sums counts a column and sums the digests of its values, as texts that both write alike.
const sums = `SELECT count(%[1]s), coalesce(md5(string_agg(md5(%[2]s), '' ORDER BY md5(%[2]s))), '') FROM %[3]s`

// TestParquetInDuckDB: another program reads the export as Parquet, and finds in every column as
// many values, all of them the same, as PostgreSQL has.
func TestParquetInDuckDB(t *testing.T) {
	ctx := context.Background()
	pg, dir := exported(t)
	d, err := sql.Open("duckdb", "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	for _, table := range postgres.Exported() {
		file := "'" + filepath.Join(dir, table+".parquet") + "'"
		var columns []string
		rows, err := d.Query("SELECT column_name, column_type FROM (DESCRIBE SELECT * FROM " + file + ")")
		if err != nil {
			t.Fatalf("%s: %v", table, err)
		}
		for rows.Next() {
			var name, kind string
			rows.Scan(&name, &kind)
			columns = append(columns, name)
			if table == "plays" {
				t.Log(name, kind)
			}
		}
		for _, name := range columns {
			c := `"` + name + `"`
			ours := fmt.Sprintf(sums, c, plain(c, kindOf(ctx, pg, table, name)), table)
			var n, m int
			var want, got string
			if err := pg.QueryRow(ctx, ours).Scan(&n, &want); err != nil {
				t.Fatalf("%s.%s: %v", table, c, err)
			}
			text := c + "::VARCHAR"
			switch kindOf(ctx, pg, table, name) {
			case "timestamptz":
				text = "epoch_us(" + c + ")::VARCHAR"
			case "float8":
				text = "round(" + c + " * 1000)::BIGINT::VARCHAR"
			}
			if err := d.QueryRow(fmt.Sprintf(sums, c, text, file)).Scan(&m, &got); err != nil {
				t.Fatalf("%s.%s: %v", table, c, err)
			}
			if n != m || want != got {
				t.Errorf("%s.%s: %d values summed %s, PostgreSQL has %d, %s", table, c, m, got, n, want)
			}
		}
	}
}

// plain writes a value as DuckDB does.
func plain(column, kind string) string {
	switch kind {
	case "timestamptz":
		return "(extract(epoch FROM " + column + ") * 1000000)::bigint::text"
	case "float8":
		return "round(" + column + " * 1000)::bigint::text"
	case "_route_tag":
		return "to_jsonb(" + column + ")::text"
	}
	return column + "::text"
}

func kindOf(ctx context.Context, pg *pgxpool.Pool, table, column string) (kind string) {
	pg.QueryRow(ctx, `SELECT y.typname FROM pg_attribute a JOIN pg_type y ON y.oid = a.atttypid
		WHERE attrelid = $1::text::regclass AND attname = $2`, table, column).Scan(&kind)
	return kind
}

// exported is the demo's database and a folder with its files; nothing else is in it, so that a
// table is the program's.
func exported(t *testing.T) (*pgxpool.Pool, string) {
	ctx := context.Background()
	server, err := localdb.Start(ctx, localdb.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { server.Stop() })
	if err := server.Ensure(ctx, "columns"); err != nil {
		t.Fatal(err)
	}
	url := server.URL("columns")
	if err := migrations.Up(url); err != nil {
		t.Fatal(err)
	}
	s, err := postgres.Open(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	if err := demo.Load(ctx, s); err != nil {
		t.Fatal(err)
	}
	pg, err := pgxpool.New(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pg.Close)
	p, err := s.Program(ctx, "demo")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := s.Export(ctx, p.ID, func(e *postgres.Export) error {
		return archive.WriteParquet(ctx, &b, e, time.Now())
	}); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, z); err != nil {
		t.Fatal(err)
	}
	return pg, dir
}
