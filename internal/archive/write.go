package archive

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"time"

	"overhang/db/migrations"
	"overhang/internal/tags/postgres"
)

//go:embed README.txt
var explained []byte

// Write writes one moment of a program. The same moment gives the same bytes at the
// same time.
func Write(ctx context.Context, w io.Writer, e *postgres.Export, now time.Time) error {
	now = now.UTC().Truncate(time.Second)
	z := zip.NewWriter(w)
	file := func(name string) (io.Writer, error) {
		return z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: now})
	}
	f, err := file(readme)
	if err != nil {
		return err
	}
	if _, err := f.Write(explained); err != nil {
		return err
	}
	m := manifest{Profile: "tabular-data-package", Created: now, Overhang: edition{format, migrations.Newest()}}
	for _, table := range postgres.Exported() {
		if f, err = file(table + ".csv"); err != nil {
			return err
		}
		r, err := writeTable(ctx, f, e, table, &m)
		if err != nil {
			return fmt.Errorf("%s: %w", table, err)
		}
		m.Resources = append(m.Resources, r)
	}
	if f, err = file(descriptor); err != nil {
		return err
	}
	j := json.NewEncoder(f)
	j.SetIndent("", "  ")
	if err := j.Encode(m); err != nil {
		return err
	}
	return z.Close()
}

// writeTable writes one file. Of the program's own it takes the names for the
// descriptor.
func writeTable(ctx context.Context, f io.Writer, e *postgres.Export, table string, m *manifest) (resource, error) {
	cs, err := e.Columns(ctx, table)
	if err != nil {
		return resource{}, err
	}
	n := &counter{to: f, sum: sha256.New()}
	w := csv.NewWriter(n)
	w.UseCRLF = true
	cells := make([]string, len(cs))
	for i, c := range cs {
		cells[i] = c.Name
	}
	if err := w.Write(cells); err != nil {
		return resource{}, err
	}
	err = e.Rows(ctx, table, cs, func(values [][]byte) error {
		for i, c := range cs {
			cells[i] = write(c.Kind, values[i])
			switch {
			case table == "programs" && c.Name == "code":
				m.Name = cells[i]
			case table == "programs" && c.Name == "name":
				m.Title = string(values[i])
			}
		}
		return w.Write(cells)
	})
	if err != nil {
		return resource{}, err
	}
	w.Flush()
	return describe(table, cs, n), w.Error()
}

// A counter knows what has gone through it.
type counter struct {
	to           io.Writer
	sum          hash.Hash
	bytes, lines int64
}

func (c *counter) Write(p []byte) (int, error) {
	n, err := c.to.Write(p)
	c.sum.Write(p[:n])
	c.bytes += int64(n)
	for _, b := range p[:n] {
		if b == '\n' {
			c.lines++
		}
	}
	return n, err
}

func (c *counter) hash() string { return "sha256:" + hex.EncodeToString(c.sum.Sum(nil)) }
