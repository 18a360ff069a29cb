package archive

import (
	"encoding/json"
	"fmt"
	"time"

	"overhang/internal/tags/postgres"
)

// A manifest is the descriptor of a Tabular Data Package (Frictionless Data, Data
// Package 1.0: specs.frictionlessdata.io), with two members of our own: overhang,
// and rows of a resource.
type manifest struct {
	Profile   string     `json:"profile"`
	Name      string     `json:"name"`
	Title     string     `json:"title"`
	Created   time.Time  `json:"created"`
	Overhang  edition    `json:"overhang"`
	Resources []resource `json:"resources"`
}

// An edition says what the files are of: format of this package's way to write
// them, schema of the database they come from.
type edition struct {
	Format int  `json:"format"`
	Schema uint `json:"schema"`
}

const format = 1

type resource struct {
	Name      string  `json:"name"`
	Path      string  `json:"path"`
	Profile   string  `json:"profile"`
	Format    string  `json:"format"`
	Mediatype string  `json:"mediatype"`
	Encoding  string  `json:"encoding"`
	Bytes     int64   `json:"bytes"`
	Hash      string  `json:"hash"` // sha256: and the digest in hexadecimal
	Rows      int64   `json:"rows"`
	Dialect   dialect `json:"dialect"`
	Schema    schema  `json:"schema"`
}

type dialect struct {
	Delimiter      string `json:"delimiter"`
	LineTerminator string `json:"lineTerminator"`
	QuoteChar      string `json:"quoteChar"`
	DoubleQuote    bool   `json:"doubleQuote"`
	Header         bool   `json:"header"`
}

type schema struct {
	Fields        []field  `json:"fields"`
	MissingValues []string `json:"missingValues"`
}

type field struct {
	Name        string          `json:"name"`
	Type        string          `json:"type"`
	Format      string          `json:"format,omitempty"`
	Constraints map[string]bool `json:"constraints,omitempty"`
}

// describe makes the entry of a table that was written.
func describe(table string, cs []postgres.Column, w *counter) resource {
	r := resource{Name: table, Path: table + ".csv", Profile: "tabular-data-resource", Format: "csv",
		Mediatype: "text/csv", Encoding: "utf-8",
		Bytes: w.bytes, Hash: w.hash(), Rows: w.lines - 1,
		Dialect: dialect{",", "\r\n", `"`, true, true}, Schema: schema{MissingValues: []string{""}}}
	for _, c := range cs {
		f := field{Name: c.Name, Type: c.Kind}
		switch c.Kind {
		case "uuid":
			f.Type, f.Format = "string", "uuid"
		case "datetime":
			f.Format = "any"
		}
		if !c.Null {
			f.Constraints = map[string]bool{"required": true}
		}
		r.Schema.Fields = append(r.Schema.Fields, f)
	}
	return r
}

// check refuses a manifest that is not of an export this program can read.
func (m *manifest) check(newest uint) error {
	switch {
	case m.Overhang.Format != format:
		return fmt.Errorf("it is written in format %d, this program reads %d", m.Overhang.Format, format)
	case m.Overhang.Schema > newest:
		return fmt.Errorf("it comes from schema version %d, this program knows up to %d: import it with a newer one",
			m.Overhang.Schema, newest)
	case m.Overhang.Schema < 8: // the first that was exported
		return fmt.Errorf("schema version %d was never exported", m.Overhang.Schema)
	}
	return m.tables(newest)
}

// tables says what is wrong with the list of files: each table once, and all of them in the newest schema.
func (m *manifest) tables(newest uint) error {
	seen := map[string]resource{}
	for _, r := range m.Resources {
		if _, twice := seen[r.Name]; twice {
			return fmt.Errorf("%s stands in it twice", r.Name)
		}
		if r.Path != r.Name+".csv" || r.Bytes < 0 || r.Rows < 0 {
			return fmt.Errorf("what it says of %q is no file of an export", r.Name)
		}
		seen[r.Name] = r
	}
	for _, t := range postgres.Exported() {
		if _, ok := seen[t]; !ok && m.Overhang.Schema == newest {
			return fmt.Errorf("%s.csv is missing", t)
		}
		delete(seen, t)
	}
	for name := range seen {
		return fmt.Errorf("%q is no table of an export", name)
	}
	return nil
}

func decodeManifest(raw []byte) (m manifest, err error) {
	if err = json.Unmarshal(raw, &m); err != nil {
		err = fmt.Errorf("%s is not JSON of the right form: %v", descriptor, err)
	}
	return m, err
}

// The names in an export beside its tables.
const (
	descriptor = "datapackage.json"
	readme     = "README.txt"
)
