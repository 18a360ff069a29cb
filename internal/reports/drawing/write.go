package drawing

import (
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// SVG writes the scene w mm wide as a self-contained document.
func (s *Scene) SVG(out io.Writer, w float64) error { return s.List(w).SVG(out) }

// PDF draws the scene into a document whose unit is the millimeter, with its
// upper left corner at x, y and w wide; Height says how high it is. It adds the
// fonts when they are not there, and leaves line, fill and text settings as the
// drawing had them: set your own before you go on.
func (s *Scene) PDF(pdf *fpdf.Fpdf, x, y, w float64) { s.List(w).PDF(pdf, x, y) }

// WritePDF writes the scene as a document of one page of its own size. at is the
// date the document carries: the same scene and date give the same bytes.
func (s *Scene) WritePDF(out io.Writer, w float64, at time.Time) error {
	return s.List(w).WritePDF(out, at)
}
