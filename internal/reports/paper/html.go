package paper

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"
)

//go:embed document.html
var documentHTML string

var page = template.Must(template.New("document").Funcs(template.FuncMap{"svg": svg, "class": class,
	"sheets": (*Grid).sheets}).Parse(documentHTML))

// WriteBody writes the document as what stands in a page that somebody else frames.
func (d *Document) WriteBody(w io.Writer) error { return page.ExecuteTemplate(w, "body", d) }

// WriteHTML writes the document as a page that prints on its own. It asks for
// /assets/style.css; drawings stand in it as SVG with their text alternatives.
func (d *Document) WriteHTML(w io.Writer) error {
	return page.Execute(w, d)
}

// htmlWidth is the width in mm drawings are laid out at for a screen; they scale.
const htmlWidth = 120

// svg draws a figure.
func svg(f *Figure) (template.HTML, error) {
	w := f.Width
	if w == 0 {
		w = htmlWidth
	}
	var b bytes.Buffer
	err := f.Drawing.List(w).SVG(&b)
	return template.HTML(b.String()), err // written by package drawing, which escapes
}

// class puts a table's row or cell into the stylesheet's words.
func class(c Column) string {
	switch {
	case c.Number:
		return "n"
	case c.Strong:
		return "strong"
	}
	return ""
}

// A side is one side of a sheet of cards.
type side struct {
	Columns  int
	Cards    []Card
	Back     bool
	TwoSided bool // and narrow: small enough that a side fits a page
}

// sheets puts cards on the sides of sheets: backs stand behind their fronts when
// the paper is turned on its long edge.
func (g *Grid) sheets() []side {
	n := len(g.Cards)
	if g.Rows > 0 {
		n = g.Rows * g.Columns
	}
	var out []side
	for start := 0; start < len(g.Cards); start += n {
		fronts := g.Cards[start:min(start+n, len(g.Cards))]
		backs := mirrored(fronts, g.Columns)
		out = append(out, side{g.Columns, fronts, false, backs != nil && g.Columns > 1})
		if backs != nil {
			out = append(out, side{g.Columns, backs, true, g.Columns > 1})
		}
	}
	return out
}

// mirrored is the backs in the order they are printed; nil when there are none.
func mirrored(fronts []Card, columns int) []Card {
	any := false
	rows := (len(fronts) + columns - 1) / columns
	out := make([]Card, rows*columns)
	for i, c := range fronts {
		row, col := i/columns, i%columns
		if c.Back != nil {
			any = true
			out[row*columns+columns-1-col] = Card{Title: c.Title, Far: c.Far, Blocks: c.Back}
		}
	}
	if !any {
		return nil
	}
	return out
}
