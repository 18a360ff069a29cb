package paper

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"io"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"overhang/internal/reports/ink"
)

// names are of every kind: above U+FFFF, right to left, combining, controls, zero width, halves
// of surrogates as bytes, no text at all, and as long as a name may be.
var names = []string{"Emoji \U0001F3C8 invented", "\U0001D4D0\U00020000\U0010FFFF", hebrew + " \u202e123\u202c",
	"مرحبا",
	"e\u0301\u0323\u0300\u0301\u0301" + strings.Repeat("\u0301", 60), "\x00\x01\x07\x1b[2J\x7f\u0085\u2028\u2029",
	"\u200b\u200d\ufeff\u2060\u00ad", "\xed\xa0\x80\xed\xbf\xbf", "\xff\xfe\xc0\x80", "\xe0", "\xc3", "x\xf0\x9f", "\ufffe\uffff", "]]>--><script>&#0;",
	strings.Repeat("x", 950), strings.Repeat("\U0001F3C8", 950), "=1+1\n@x", "👩‍👩‍👧‍👦🏳️‍🌈", ""}

// FuzzNames writes a name wherever one can stand, in every format. What is written can be read by
// somebody else: XML and CSV by the standard library, the workbook by excelize, HTML and JSON are
// UTF-8, PDF is whole. `go test` runs the kinds above; make fuzz looks for others.
func FuzzNames(f *testing.F) {
	for _, n := range names {
		f.Add(n)
	}
	f.Fuzz(func(t *testing.T, name string) {
		l := &ink.List{W: 100, H: 50, Title: name, Desc: name,
			Styles: ink.Styles{"label": {Fill: "#000000"}, "paper": {Fill: ink.White}}}
		l.Label("label", name, ink.Spot{X: 10, Y: 10}, 8, 0)
		d := &Document{Name: "names", Title: name,
			Furniture: Furniture{Program: name, Opponent: name, Game: name, Plays: 1},
			Blocks: []Block{H2(name), P("%s", name), N("%s", name), &Items{[]string{name, name}, true},
				&Table{Name: name, Columns: Cols("name", name, "n", "n#"), Rows: []Row{Cells(T(name), I(1))}},
				&Grid{Columns: 2, Rows: 2, Cards: []Card{{Title: name, Blocks: []Block{P("%s", name)},
					Back: []Block{P("%s", name)}}}}}}
		for format := range Formats {
			var b bytes.Buffer
			if err := d.Write(&b, format); err != nil {
				t.Fatalf("%s of %q: %v", format, name, err)
			}
			readable(t, format, name, b.Bytes())
		}
		var b bytes.Buffer
		if err := l.SVG(&b); err != nil {
			t.Fatal(err)
		}
		readable(t, "svg", name, b.Bytes())
		b.Reset()
		if err := l.WritePDF(&b, time.Unix(0, 0)); err != nil {
			t.Fatal(err)
		}
		readable(t, "pdf", name, b.Bytes())
	})
}

// readable fails when a reader that is not ours cannot read what was written.
func readable(t *testing.T, format, name string, raw []byte) {
	t.Helper()
	var err error
	switch format {
	case "html":
		if !utf8.Valid(raw) || bytes.ContainsAny(raw, "\x00\x01\x1b") {
			t.Errorf("HTML of %q is no text", name)
		}
	case "svg":
		for x := xml.NewDecoder(bytes.NewReader(raw)); err == nil; {
			_, err = x.Token()
		}
		if err == io.EOF {
			err = nil
		}
	case "csv":
		_, err = csv.NewReader(bytes.NewReader(raw)).ReadAll()
		if err == nil && !utf8.Valid(raw) {
			t.Errorf("CSV of %q is no text", name)
		}
	case "xlsx":
		var w *excelize.File
		if w, err = excelize.OpenReader(bytes.NewReader(raw)); err == nil {
			for _, s := range w.GetSheetList() {
				if _, e := w.GetRows(s); e != nil {
					err = e
				}
			}
			w.Close()
		}
	case "pdf":
		if !bytes.HasPrefix(raw, []byte("%PDF-")) || !bytes.Contains(raw[len(raw)-10:], []byte("%%EOF")) {
			t.Errorf("PDF of %q is not whole", name)
		}
	}
	if err != nil {
		t.Errorf("%s of %q cannot be read: %v", format, name, err)
	}
}
