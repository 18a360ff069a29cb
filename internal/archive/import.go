package archive

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"overhang/db/migrations"
	"overhang/internal/tags/postgres"
)

// Imported says what an import made.
type Imported struct {
	Code string
	Rows map[string]int64 // by table
}

// Import makes a program of an export, under another code where one is given, all
// or nothing. Invalid: what is no export, does not add up, or has a row that cannot
// be stored, which is named by file and line; Conflict: the code is taken.
func Import(ctx context.Context, s *postgres.Store, r io.ReaderAt, size int64, code string) (Imported, error) {
	return imported(ctx, s.Import, r, size, code)
}

// Try is Import that keeps nothing: it says whether an export can come back, beside the program
// it is of.
func Try(ctx context.Context, s *postgres.Store, r io.ReaderAt, size int64) error {
	_, err := imported(ctx, s.TryImport, r, size, "tried-"+strings.ToLower(rand.Text())) // a code of nobody's
	return err
}

func imported(ctx context.Context, into func(context.Context, func(*postgres.Import) error) error, r io.ReaderAt,
	size int64, code string) (Imported, error) {
	out := Imported{Rows: map[string]int64{}}
	b, err := open(r, size)
	if err == nil {
		err = b.verify(ctx)
	}
	if err != nil {
		return out, err
	}
	err = into(ctx, func(in *postgres.Import) error {
		for _, table := range postgres.Exported() {
			r := b.resource(table)
			if r == nil {
				continue // of an older schema, which did not have it
			}
			if table == "play_changes" || table == "call_versions" { // without it their history begins now
				if err := in.ForgetHistory(ctx, table); err != nil {
					return err
				}
			}
			l := &loader{ctx: ctx, in: in, r: r, code: code}
			if err := l.load(b, b.m.Overhang.Schema == migrations.Newest()); err != nil {
				return err
			}
			out.Rows[table] = r.Rows
			if table == "programs" {
				out.Code = l.code
			}
		}
		return nil
	})
	return out, err
}

// A loader fills one table, some rows at a time.
type loader struct {
	ctx     context.Context
	in      *postgres.Import
	r       *resource
	code    string // of the program: as given, else the file's
	columns []string
	kinds   []string
	rows    []json.RawMessage
	first   int // line of the first of rows
}

const batch = 500

func (l *loader) load(b *bundle, whole bool) error {
	err := b.lines(l.r, func(line int, cells []string) error {
		if line == 1 {
			return l.header(cells, whole)
		}
		return l.take(line, cells)
	})
	switch {
	case err != nil:
		return err
	case l.columns == nil:
		return bad("%s has no line of names", l.r.Path)
	case l.r.Name == "programs" && l.r.Rows != 1:
		return bad("%s has %d programs, an export has one", l.r.Path, l.r.Rows)
	}
	return l.flush()
}

// take keeps a row for the next copy, which goes when there are enough.
func (l *loader) take(line int, cells []string) error {
	row, err := l.row(cells)
	if err != nil {
		return err
	}
	if len(l.rows) == 0 {
		l.first = line
	}
	if l.rows = append(l.rows, row); len(l.rows) < batch {
		return nil
	}
	return l.flush()
}

// header finds out what the columns are. A column that the table has and the file
// has not is for files of an older schema only.
func (l *loader) header(cells []string, whole bool) error {
	has, err := l.in.Columns(l.ctx, l.r.Name)
	if err != nil {
		return err
	}
	for _, name := range cells {
		i := slices.IndexFunc(has, func(c postgres.Column) bool { return c.Name == name })
		if i < 0 {
			return bad("%q is no column, or stands there twice", name)
		}
		l.columns, l.kinds = append(l.columns, name), append(l.kinds, has[i].Kind)
		has = slices.Delete(has, i, i+1)
	}
	if whole && len(has) > 0 {
		return bad("there is no column %s", has[0].Name)
	}
	return nil
}

// row makes the JSON of a line, checked as the API would.
func (l *loader) row(cells []string) (json.RawMessage, error) {
	var b bytes.Buffer
	for i, cell := range cells {
		v, err := read(l.kinds[i], cell)
		if err != nil {
			return nil, bad("%s: %v", l.columns[i], err)
		}
		if l.r.Name == "programs" && l.columns[i] == "code" {
			if l.code != "" {
				v, _ = json.Marshal(l.code) // a string can always be written
			}
			json.Unmarshal(v, &l.code)
			if err := l.in.HasProgram(l.ctx, l.code); err != nil {
				return nil, err
			}
		}
		fmt.Fprintf(&b, "%c%q:%s", "{,"[min(i, 1)], l.columns[i], v)
	}
	b.WriteByte('}')
	return b.Bytes(), check(l.r.Name, b.Bytes())
}

// flush stores the rows that wait.
func (l *loader) flush() error {
	if len(l.rows) == 0 {
		return nil
	}
	err := l.in.Insert(l.ctx, l.r.Name, l.columns, l.rows)
	var one *postgres.RowError
	if errors.As(err, &one) {
		return at(l.r.Path, l.first+one.Row, one.Err)
	}
	l.rows = l.rows[:0]
	return err
}
