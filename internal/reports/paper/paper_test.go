package paper

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"overhang/internal/reports/drawing"
	"overhang/internal/reports/golden"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

const hebrew = "מגן פנימי"

// hard is a document with every block and the names that break layouts.
func hard(t *testing.T) *Document {
	t.Helper()
	params := motion.Defaults(field.HighSchool)
	pic, err := picture.New(picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 hitch@6, P2 corner@12",
		Concept: "smash", Receiver: params.Receiver, Back: params.Back})
	if err != nil {
		t.Fatal(err)
	}
	scene := drawing.Concept(pic, drawing.Options{})
	rows := []Row{}
	for i := range 60 {
		rows = append(rows, Row{Cells: []Cell{T("Łódź <b> & " + strings.Repeat("unbreakable", 9)), I(i), Share(1.0 / 3),
			T("a sentence that is long enough to be wrapped into more than one line of its column, twice over")},
			Thin: i%2 == 1})
	}
	cards := []Card{}
	for i := range 5 {
		cards = append(cards, Card{Title: "card " + string(rune('A'+i)), Blocks: []Block{&Figure{Drawing: &scene},
			P("front of %c", 'A'+i)}, Back: []Block{P("back of %c", 'A'+i), P("%s", strings.Repeat("many words ", 80))}})
	}
	return &Document{Name: "hard", Title: "Everything at once",
		Furniture: Furniture{Program: `Own <staff> "ünïcode"`,
			Opponent: hebrew + " " + strings.Repeat("Very-long-name ", 8),
			Game:     "week 3", Plays: 1, Date: time.Date(2026, 3, 5, 0, 0, 0, 0, time.UTC), Invented: true},
		Blocks: []Block{H2("Words"), P("%s", strings.Repeat("plain text runs on ", 60)), N("a note"), B("strong: %s", hebrew),
			&Items{[]string{"one", "two"}, true},
			&Figure{Drawing: &scene, Caption: "the smash"}, H3("A table over pages"),
			&Table{Name: "=plays/of [them]", Columns: Cols("name", "Name", "n", "n#", "share", "Share#", "said", "Said"),
				Rows: rows},
			&Table{Name: "only data", Columns: Cols("name", "Name", "short_yd", "Short#"),
				Rows: []Row{Cells(T("=cmd"), F("%.1f", 1.23456)), Cells(T("x"), Unknown())}, DataOnly: true},
			&Table{Name: "nothing", Columns: Cols("a", "A"), Empty: "No plays are tagged yet."},
			&PageBreak{}, &Grid{Columns: 2, Rows: 2, Cards: cards}}}
}

func write(t *testing.T, d *Document, format string) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := d.Write(&b, format); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestGolden(t *testing.T) { golden.Document(t, "hard", hard(t)) }

// pages reads the text of a PDF page by page with poppler, a reader that is not ours.
func pages(t *testing.T, pdf []byte) []string {
	t.Helper()
	cmd := exec.Command("pdftotext", "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("pdftotext (poppler-utils): %v", err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

func TestPDF(t *testing.T) {
	got := pages(t, write(t, hard(t), "pdf"))
	for i, p := range got {
		for _, want := range []string{"Everything at once", "1 counted play behind this; Mar 5, 2026", "Invented data",
			"of " + itoa(len(got))} {
			if !strings.Contains(p, want) {
				t.Errorf("page %d of %d lacks %q", i+1, len(got), want)
			}
		}
		if strings.Contains(p, "unbreakable") && !strings.Contains(p, "Said") {
			t.Errorf("page %d has rows of the table and not its head", i+1)
		}
	}
	all := strings.Join(got, "")
	for _, want := range []string{"Łódź", "No plays are tagged yet.", "33%"} {
		if !strings.Contains(all, want) {
			t.Errorf("the text of the PDF lacks %q", want)
		}
	}
	if strings.Contains(all, "only data") || strings.Contains(all, "1.23456") {
		t.Error("a data only table was printed")
	}
	// Five cards, four a side: fronts A to D, then their backs mirrored in each row,
	// so that B's back is printed left of A's when the sheet is turned on its long edge.
	last := got[len(got)-4:]
	for i, want := range [][]string{{"front of A", "front of B"}, {"back of B", "back of A"}, {"front of E"},
		{"back of E"}} {
		at := -1
		for _, w := range want {
			k := strings.Index(last[i], w)
			if k <= at {
				t.Errorf("side %d: %q is missing or out of order", i+1, w)
			}
			at = k
		}
	}
}

func itoa(n int) string { return I(n).Text }

func TestTables(t *testing.T) {
	recs, err := csv.NewReader(bytes.NewReader(write(t, hard(t), "csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(recs[0], ","); got != "table,name,n,share,said,short_yd,a" {
		t.Errorf("columns %s", got)
	}
	if len(recs) != 1+60+2 || recs[1][3] != "0.3333333333333333" || recs[61][1] != "'=cmd" || recs[61][5] != "1.23456" ||
		recs[62][5] != "" {
		t.Errorf("%d records, %q, %q, %q: want full precision, formulas neutralised, unknown empty", len(recs), recs[1],
			recs[61], recs[62])
	}
	f, err := excelize.OpenReader(bytes.NewReader(write(t, hard(t), "xlsx")))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got := strings.Join(f.GetSheetList(), "|"); got != "About|=plays of  them|only data|nothing" {
		t.Errorf("sheets %s", got)
	}
	if v, _ := f.GetCellValue("only data", "B2", excelize.Options{RawCellValue: true}); v != "1.23456" {
		t.Errorf("B2 is %q, want the number in full", v)
	}
	if v, _ := f.GetCellFormula("only data", "A2"); v != "" {
		t.Errorf("the word =cmd became the formula %q", v)
	}
	z, err := zip.NewReader(bytes.NewReader(write(t, hard(t), "xlsx")), int64(len(write(t, hard(t), "xlsx"))))
	if err != nil || len(z.File) == 0 {
		t.Errorf("the workbook is no zip: %v", err)
	}
}

func TestHTML(t *testing.T) {
	got := string(write(t, hard(t), "html"))
	for what, want := range map[string]string{
		"names escaped":           "Own &lt;staff&gt; &#34;ünïcode&#34;",
		"direction left to names": `<h1 dir="auto">`,
		"a drawing in words":      "<desc>The offense from 2x2",
		"an empty table's words":  "No plays are tagged yet.",
		"invented data marked":    "Invented data",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%s: the page lacks %q", what, want)
		}
	}
	if strings.Contains(got, "style=") || strings.Contains(got, "<script") {
		t.Error("inline style or script: the content security policy would drop it")
	}
}

// TestPages: a document that may take one page takes one, in large text when there
// is little of it.
func TestPages(t *testing.T) {
	for _, n := range []int{1, 40} {
		d := &Document{Title: "Fit", Pages: 1, Furniture: Furniture{Opponent: "x"}}
		for range n {
			d.Blocks = append(d.Blocks, P("a line of text that says something about a call"))
		}
		if got := pages(t, write(t, d, "pdf")); len(got) != 1 {
			t.Errorf("%d lines: %d pages, want 1", n, len(got))
		}
	}
	empty := &Document{Title: "Empty"}
	if got := pages(t, write(t, empty, "pdf")); len(got) != 1 {
		t.Errorf("a document without blocks: %d pages, want 1", len(got))
	}
	if err := empty.Write(&bytes.Buffer{}, "docx"); err == nil || !strings.Contains(err.Error(), "docx") {
		t.Errorf("an unknown format: %v", err)
	}
}
