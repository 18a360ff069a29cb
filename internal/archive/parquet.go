package archive

import (
	"archive/zip"
	"cmp"
	"context"
	_ "embed"
	"fmt"
	"io"
	"slices"
	"strconv"
	"time"

	"github.com/google/uuid"
	"github.com/parquet-go/parquet-go"

	"overhang/internal/tags/postgres"
)

//go:embed PARQUET.txt
var explainedParquet []byte

// rowsAtOnce is how many rows of a table are held before they are written: a play's change is
// some kilobytes.
const rowsAtOnce = 10000

// WriteParquet writes one moment of a program for tools that read columns: a zip of one
// Parquet file (parquet.apache.org/docs/file-format) a table, typed as the database has it.
// JSON stays JSON. It is to be read, not to be imported: that is what Write is for.
func WriteParquet(ctx context.Context, w io.Writer, e *postgres.Export, now time.Time) error {
	now = now.UTC().Truncate(time.Second)
	z := zip.NewWriter(w)
	file := func(name string) (io.Writer, error) { // packed by column already
		return z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store, Modified: now})
	}
	f, err := file(readme)
	if err == nil {
		_, err = f.Write(explainedParquet)
	}
	if err != nil {
		return err
	}
	for _, table := range postgres.Exported() {
		if f, err = file(table + ".parquet"); err == nil {
			err = writeColumns(ctx, f, e, table)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", table, err)
		}
	}
	return z.Close()
}

func writeColumns(ctx context.Context, f io.Writer, e *postgres.Export, table string) error {
	cs, err := e.Columns(ctx, table)
	if err != nil {
		return err
	}
	w := parquet.NewWriter(f, parquet.NewSchema(table, columnsOf(cs)), parquet.Compression(&parquet.Zstd))
	row, held := make(parquet.Row, len(cs)), 0
	err = e.Rows(ctx, table, cs, func(values [][]byte) error {
		for i, c := range cs {
			v, err := valueOf(c.Kind, values[i])
			if err != nil {
				return fmt.Errorf("%s: %w", c.Name, err)
			}
			defined := 0
			if c.Null && !v.IsNull() {
				defined = 1
			}
			row[i] = v.Level(0, defined, i)
		}
		if _, err := w.WriteRows([]parquet.Row{row}); err != nil {
			return err
		}
		if held++; held%rowsAtOnce == 0 {
			return w.Flush()
		}
		return nil
	})
	if err != nil {
		return err
	}
	return w.Close()
}

// A columns is a group in the table's own order; the library's is by name.
type columns struct {
	parquet.Group
	at map[string]int
}

func (c columns) Fields() []parquet.Field {
	return slices.SortedFunc(slices.Values(c.Group.Fields()), func(a, b parquet.Field) int {
		return cmp.Compare(c.at[a.Name()], c.at[b.Name()])
	})
}

func columnsOf(cs []postgres.Column) columns {
	out := columns{parquet.Group{}, map[string]int{}}
	for i, c := range cs {
		n := nodeOf(c.Kind)
		if c.Null {
			n = parquet.Optional(n)
		}
		out.Group[c.Name], out.at[c.Name] = n, i
	}
	return out
}

func nodeOf(kind string) parquet.Node {
	switch kind {
	case "integer":
		return parquet.Int(64)
	case "number":
		return parquet.Leaf(parquet.DoubleType)
	case "boolean":
		return parquet.Leaf(parquet.BooleanType)
	case "datetime":
		return parquet.Timestamp(parquet.Microsecond)
	case "uuid":
		return parquet.UUID()
	case "object", "array":
		return parquet.JSON()
	}
	return parquet.String()
}

// valueOf reads the text of a value; nil is unknown.
func valueOf(kind string, text []byte) (parquet.Value, error) {
	if text == nil {
		return parquet.NullValue(), nil
	}
	switch kind {
	case "integer":
		n, err := strconv.ParseInt(string(text), 10, 64)
		return parquet.Int64Value(n), err
	case "number":
		x, err := strconv.ParseFloat(string(text), 64)
		return parquet.DoubleValue(x), err
	case "boolean":
		b, err := strconv.ParseBool(string(text))
		return parquet.BooleanValue(b), err
	case "datetime":
		t, err := time.Parse(time.RFC3339Nano, string(text))
		return parquet.Int64Value(t.UnixMicro()), err
	case "uuid":
		id, err := uuid.ParseBytes(text)
		return parquet.FixedLenByteArrayValue(id[:]), err
	}
	return parquet.ByteArrayValue(text), nil
}
