package paper

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"overhang/integration/outside"
	"overhang/internal/reports/ink"
)

// TestTagged: of a document with every block, the structure is there, sound, in the order of
// reading, and holds everything that is painted. Read by qpdf and poppler; the roles are those of
// ISO 32000-1, 14.8.4, the marks those of 14.6.
func TestTagged(t *testing.T) {
	pdf := write(t, hard(t), "pdf")
	outside.SoundPDF(t, pdf)
	if bad := outside.UnmarkedPDF(t, pdf); len(bad) > 0 {
		t.Errorf("%d pieces of content outside of the structure: %.300q", len(bad), bad)
	}
	short := hard(t)
	for _, b := range short.Blocks {
		if table, ok := b.(*Table); ok {
			table.Rows = table.Rows[:min(2, len(table.Rows))]
		}
	}
	got := outside.PDFStructureText(t, write(t, short, "pdf"))
	at := 0
	for _, want := range []string{"Document", "H1", "Everything at once", "H2", "Words", "P", "plain text runs on",
		"L ", "LI", "Lbl", "LBody", "Figure", "the smash", "H3", "A table over pages", "Table", "TR", "TH", "Said", "TD",
		"No plays are tagged yet.", "Sect", "front of A", "front of B"} {
		k := strings.Index(got[at:], want)
		if k < 0 {
			t.Fatalf("the structure lacks %q, or has it in another place:\n%.1500s", want, got[at:])
		}
		at += k
	}
	if n := len(regexp.MustCompile(`(?m)^ *TR\b`).FindAllString(outside.PDFStructure(t, pdf), -1)); n != 61 {
		t.Errorf("%d rows in the structure, want 61: heads on later pages repeat the first", n)
	}
	for _, say := range []string{"/MarkInfo <</Marked true>>", "/Lang (en-US)", "/DisplayDocTitle true"} {
		if !bytes.Contains(pdf, []byte(say)) {
			t.Errorf("the file lacks %s", say)
		}
	}
	if alt := regexp.MustCompile(`/S /Figure [^\n]*/Alt <FEFF`); !alt.Match(pdf) {
		t.Error("a figure has no words")
	}
}

// TestHeadingsLeaveNoLevelOut: a card in a document without headings has one of the second level.
func TestHeadingsLeaveNoLevelOut(t *testing.T) {
	d := &Document{Title: "Cards", Blocks: []Block{H3("deep"), &Grid{Columns: 1, Cards: []Card{{Title: "one",
		Blocks: []Block{P("words")}}, {Title: "two", Blocks: []Block{P("words")}}}}}}
	got := regexp.MustCompile(`H\d`).FindAllString(outside.PDFStructure(t, write(t, d, "pdf")), -1)
	if want := []string{"H1", "H2", "H3", "H3"}; !slices.Equal(got, want) {
		t.Errorf("headings %v, want %v", got, want)
	}
}

// TestReaderSeesFaults: what the tests of paper lean on finds what it must find.
func TestReaderSeesFaults(t *testing.T) {
	pdf := ink.NewPDF(100, 100, hard(t).Date)
	pdf.AddPage()
	pdf.SetFont(ink.Family, "", 8.1)
	pdf.Text(10, 10, "too small, and outside")
	var b bytes.Buffer
	if err := pdf.Output(&b); err != nil {
		t.Fatal(err)
	}
	if got := outside.LeastPDFText(t, b.Bytes()); got >= 8.5 || got < 7.5 {
		t.Errorf("text of 8.1 pt is read as %.2f", got)
	}
	if len(outside.UnmarkedPDF(t, b.Bytes())) == 0 {
		t.Error("text outside of the structure was not found")
	}
	if got := outside.LeastPDFText(t, write(t, hard(t), "pdf")); got < 8.5 {
		t.Errorf("the smallest text of a document is %.2f pt, want 8.5", got)
	}
}
