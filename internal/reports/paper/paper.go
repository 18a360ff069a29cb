// Package paper is what every report is made of: a document as data (headings,
// paragraphs, tables, drawings, cards in a grid, page breaks, the furniture of a
// page), written as HTML that prints, as PDF, and as CSV and XLSX of its tables.
// It lays out and computes nothing.
//
//	d := paper.Document{Name: "stress-alder", Title: "Stress report", Furniture: paper.Furniture{...},
//		Blocks: []paper.Block{paper.H2("The board"), &paper.Table{...}, &paper.Figure{Drawing: &scene}}}
//	err := d.Write(w, "pdf")
//
// The same document gives the same bytes in every format. Text in a PDF is text,
// in the embedded font of package drawing; right-to-left words stand in visual
// order. Nothing is cut: text wraps, a word wider than its room is broken, a row or
// card that does not fit goes to the next page. Only the cards of a grid with fixed
// rows have a given height; their text shrinks to fit it.
package paper

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"overhang/internal/reports/ink"
	"overhang/internal/tags"
)

// A Document is a report before any layout.
type Document struct {
	Name  string // of a file, without its extension
	Title string
	Furniture
	Landscape bool
	A4        bool // else US letter
	// Pages is how many pages it may take, 0: as many as it needs. The text of the
	// PDF is then made as large as fits, between 60 and 170% of the usual size.
	Pages  int
	Blocks []Block
}

// Furniture is what stands on every page: whose it is, against whom, how much is
// behind it, when it was made, and whether it is invented.
type Furniture struct {
	Program  string    `json:"program"`
	Opponent string    `json:"opponent"`
	Game     string    `json:"game,omitempty"` // our game it is for, "" when none is named
	Plays    int       `json:"plays"`          // counted plays of the opponent behind it
	Date     time.Time `json:"date"`
	Invented bool      `json:"invented"`
	// Whose says whose choice of calls a sheet prints, "" where it prints none.
	Whose string `json:"whose_choice,omitempty"`
}

// Behind says how much is behind a page.
func (f *Furniture) Behind() string {
	if f.Plays == 1 {
		return "1 counted play behind this"
	}
	return fmt.Sprintf("based on %d counted plays", f.Plays)
}

// Day is the date, on the clock it was told on.
func (f *Furniture) Day() string { return f.Date.Format("Jan 2, 2006") }

// Against is the opponent with the game.
func (f *Furniture) Against() string {
	if f.Game == "" {
		return f.Opponent
	}
	return f.Opponent + ", " + f.Game
}

// A Block is one piece of a document: a *Heading, *Paragraph, *Items, *Table,
// *Figure, *Grid, *Spread or *PageBreak.
type Block interface{ Kind() string }

// A Heading starts a part; Level is 2 or 3.
type Heading struct {
	Level int
	Text  string
}

// A Look is how a paragraph stands out.
type Look string

// The looks of a paragraph: as it is, small and gray, bold, large and bold, and
// white on black; and a call.
const (
	Plain  Look = ""
	Note   Look = "note"
	Strong Look = "strong"
	Large  Look = "large"
	Invert Look = "invented"
	Order  Look = "order"  // one order of several: a line of its own, the next one set in
	Called Look = "called" // a call read at arm's length: bold, of CallSize at least
)

// A Paragraph is running text.
type Paragraph struct {
	Text string
	Look Look
}

// Items is a list, numbered or with dots.
type Items struct {
	Texts    []string
	Numbered bool
}

// A Drawing is anything that can be laid out at a width in millimeters: a scene, a
// timeline, a heat map.
type Drawing interface {
	List(w float64) *ink.List
}

// A Figure is a drawing with a line under it. Width is in mm, 0: as wide as there
// is room.
type Figure struct {
	Drawing Drawing
	Width   float64
	Caption string
}

// A Grid is cards side by side. Rows fixes how many rows fill a page; 0 lets every
// row be as high as its highest card. Cards with a back are printed for paper that
// is turned on its long edge: a page of fronts, then a page of their backs.
type Grid struct {
	Columns int // 1 to 4
	Rows    int
	Cards   []Card
}

// A Card is a box with a title; one that is marked has it white on black, one that is read at
// arm's length as large as a call.
type Card struct {
	Title  string
	Marked bool
	Far    bool
	Blocks []Block
	Back   []Block
}

// A Spread is one page: a head, a body in two columns, a foot, both across. Its text shrinks
// to the smallest there is before a second page is begun. Apart is printed instead where even
// so it takes more than one.
type Spread struct{ Head, Body, Foot, Apart []Block }

// A PageBreak starts a new page.
type PageBreak struct{}

// Kind names the block for the template.
func (*Heading) Kind() string { return "heading" }

// Kind names the block for the template.
func (*Paragraph) Kind() string { return "paragraph" }

// Kind names the block for the template.
func (*Items) Kind() string { return "items" }

// Kind names the block for the template.
func (*Table) Kind() string { return "table" }

// Kind names the block for the template.
func (*Figure) Kind() string { return "figure" }

// Kind names the block for the template.
func (*Grid) Kind() string { return "grid" }

// Kind names the block for the template.
func (*Spread) Kind() string { return "spread" }

// Kind names the block for the template.
func (*PageBreak) Kind() string { return "break" }

// H2 is a heading of a part.
func H2(text string) *Heading { return &Heading{2, text} }

// H3 is a heading under one of H2.
func H3(text string) *Heading { return &Heading{3, text} }

// P is a plain paragraph.
func P(f string, args ...any) *Paragraph { return &Paragraph{fmt.Sprintf(f, args...), Plain} }

// N is a note.
func N(f string, args ...any) *Paragraph { return &Paragraph{fmt.Sprintf(f, args...), Note} }

// B is a paragraph in bold.
func B(f string, args ...any) *Paragraph { return &Paragraph{fmt.Sprintf(f, args...), Strong} }

// Formats are the forms a document is written in, with their media types.
var Formats = map[string]string{
	"html": "text/html; charset=utf-8", "pdf": "application/pdf", "csv": "text/csv; charset=utf-8; header=present",
	"xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

// Write writes the document in one of Formats; an unknown one is a *tags.Error.
func (d *Document) Write(w io.Writer, format string) error {
	switch format {
	case "html":
		return printable(w, d.WriteHTML)
	case "pdf":
		return d.WritePDF(w)
	case "csv":
		return printable(w, d.WriteCSV)
	case "xlsx":
		return d.WriteXLSX(w)
	}
	return tags.Fieldf(tags.Invalid, "format", "%q is not a format here: use html, pdf, csv or xlsx", format)
}

// printable writes text without what no document of text may hold.
func printable(w io.Writer, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	_, err := io.WriteString(w, ink.Printable(b.String()))
	return err
}
