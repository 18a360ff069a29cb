package archive

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"overhang/db/migrations"
)

// FuzzCell: every text that can be stored comes back as it was, through CSV as well;
// its cell is one line and no formula.
func FuzzCell(f *testing.F) {
	for _, s := range []string{"", "=1+1", "'", `'"`, "a\r\nb", "-", "\t", "a,b", `"`, "\u2028", " x ", "null", "<&>",
		"\x7f"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if !utf8.ValidString(s) || strings.Contains(s, "\x00") {
			return // the database stores no such text
		}
		cell := write("string", []byte(s))
		if cell == "" || strings.ContainsAny(cell, "\r\n") || strings.ContainsRune("=+-@\t", rune(cell[0])) {
			t.Fatalf("%q stands as %q", s, cell)
		}
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.UseCRLF = true
		w.Write([]string{cell, ""})
		w.Flush()
		cells, err := cellsOf(strings.TrimSuffix(b.String(), "\r\n"), 2)
		if err != nil || cells[0] != cell || cells[1] != "" {
			t.Fatalf("%q: %q, %v", cell, cells, err)
		}
		raw, err := read("string", cells[0])
		var back string
		if err != nil || json.Unmarshal(raw, &back) != nil || back != s {
			t.Fatalf("%q stands as %q and is read as %s, %v", s, cell, raw, err)
		}
	})
}

// FuzzRead: no cell makes anything but JSON, or a refusal.
func FuzzRead(f *testing.F) {
	for _, kind := range kinds {
		for _, cell := range []string{"", "1", "-0", "1e9", "01", "0x1", "NaN", "true", "{}", "[]", `{"a"`,
			"2031-10-04T12:00:00.123456+00:00", "018f2c3d-0000-7000-8000-000000000000", "'\"x\"", "'\"\\ud800\""} {
			f.Add(kind, cell)
		}
	}
	f.Fuzz(func(t *testing.T, kind, cell string) {
		raw, err := read(kind, cell)
		if err == nil && !json.Valid(raw) {
			t.Fatalf("%s %q became %q", kind, cell, raw)
		}
	})
}

var kinds = []string{"string", "integer", "number", "boolean", "datetime", "uuid", "object", "array"}

// FuzzOpen: no file, whole or not, makes more of the reader than a refusal.
func FuzzOpen(f *testing.F) {
	whole, err := os.ReadFile(filepath.Join("testdata", "schema-8.zip"))
	if err != nil {
		f.Fatal(err)
	}
	if b, err := open(bytes.NewReader(whole), int64(len(whole))); err != nil || b.m.Overhang.Schema > migrations.Newest() {
		f.Fatalf("the seed is refused: %v", err)
	}
	f.Add(whole)
	f.Add(whole[:len(whole)/2])
	f.Add([]byte("PK\x05\x06" + strings.Repeat("\x00", 18))) // a zip of nothing (APPNOTE.TXT 4.3.16)
	f.Fuzz(func(t *testing.T, raw []byte) {
		b, err := open(bytes.NewReader(raw), int64(len(raw)))
		if err != nil {
			return
		}
		if b.verify(t.Context()) != nil {
			return
		}
		for i := range b.m.Resources {
			r := &b.m.Resources[i]
			b.lines(r, func(_ int, cells []string) error {
				for i, cell := range cells {
					read(kinds[i%len(kinds)], cell)
				}
				return nil
			})
		}
	})
}
