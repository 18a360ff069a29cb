package archive_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/parquet-go/parquet-go"

	"overhang/internal/archive"
	"overhang/internal/demo"
	"overhang/internal/tags/postgres"
	"overhang/internal/tags/postgres/postgrestest"
)

// TestParquet: every value of the export as CSV stands in the export as Parquet, in the same
// order, under a column of its name and kind. That other programs read the files is held beside
// DuckDB (integration/peers).
func TestParquet(t *testing.T) {
	s := open(t, postgrestest.URL(t))
	if err := demo.Load(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	p, err := s.Program(t.Context(), "demo")
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := s.Export(t.Context(), p.ID, func(e *postgres.Export) error {
		return archive.WriteParquet(t.Context(), &b, e, moment)
	}); err != nil {
		t.Fatal(err)
	}
	columns := files(t, b.Bytes())
	values := 0
	for name, text := range files(t, export(t, s, p.Code)) {
		table, ok := strings.CutSuffix(name, ".csv")
		if !ok {
			continue
		}
		lines, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		raw := columns[table+".parquet"]
		f, err := parquet.OpenFile(strings.NewReader(raw), int64(len(raw)))
		if err != nil {
			t.Fatalf("%s: %v", table, err)
		}
		rows := make([]parquet.Row, f.NumRows())
		if len(rows) != len(lines)-1 {
			t.Fatalf("%s: %d rows, %d as CSV", table, len(rows), len(lines)-1)
		}
		read(t, f, rows)
		for i, field := range f.Schema().Fields() {
			if field.Name() != lines[0][i] {
				t.Fatalf("%s: column %d is %s, %s as CSV", table, i, field.Name(), lines[0][i])
			}
			for n, row := range rows {
				if got, want := asCell(field, row[i]), lines[n+1][i]; got != want && !sameText(got, want) {
					t.Fatalf("%s, row %d, %s: %q, %q as CSV", table, n, field.Name(), got, want)
				}
				values++
			}
		}
	}
	if values < 50000 {
		t.Errorf("%d values looked at", values)
	}
}

func read(t *testing.T, f *parquet.File, rows []parquet.Row) {
	t.Helper()
	for n := 0; n < len(rows); {
		for _, g := range f.RowGroups() {
			r := g.Rows()
			for got := -1; got != 0 && n < len(rows); n += got {
				got, _ = r.ReadRows(rows[n:])
			}
			r.Close()
		}
	}
	for i := range rows {
		rows[i] = rows[i].Clone()
	}
}

// asCell is a value as a cell of CSV has it.
func asCell(field parquet.Field, v parquet.Value) string {
	if v.IsNull() {
		return ""
	}
	kind := ""
	if l := field.Type().LogicalType(); l != nil {
		kind, _, _ = strings.Cut(l.String(), "(")
	}
	switch kind {
	case "UUID":
		id, _ := uuid.FromBytes(v.ByteArray())
		return id.String()
	case "TIMESTAMP":
		return time.UnixMicro(v.Int64()).UTC().Format("2006-01-02T15:04:05.999999-07:00")
	}
	return v.String()
}

// sameText: a cell that a spreadsheet would run stands behind an apostrophe, and a number may be
// written in two ways.
func sameText(got, want string) bool {
	if strings.HasPrefix(want, "'") {
		return fmt.Sprintf("'%q", got) == want
	}
	a, bad := strconv.ParseFloat(got, 64)
	b, worse := strconv.ParseFloat(want, 64)
	return bad == nil && worse == nil && a == b
}
