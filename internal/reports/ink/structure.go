package ink

import (
	"fmt"

	"codeberg.org/go-pdf/fpdf"
)

// A Structure says what the marks on the pages of a PDF are, for who does not see them: a tree
// of headings, paragraphs, tables and figures in the order of reading (ISO 32000-1, 14.7 and
// 14.8). The writer of PDFs has no such thing: the marks go into its pages, the tree is put
// behind them by Write.
type Structure struct {
	pdf   *fpdf.Fpdf
	root  *Element
	pages [][]*Element // by page: whose each piece of content is
	all   []*Element
	depth int // of marked content that is open: 1 at most
}

// An Element is a node of the structure.
type Element struct {
	Role  string // a standard structure type: P, H1, Table, TR, TH, TD, Figure, Sect, L, LI, Lbl, LBody
	Alt   string // what a figure shows, in words
	Box   *Box   // where a figure stands, mm from the upper left corner of its page
	kids  []kid
	under *Element
	n     int // of its object; 0 before it is written
}

// A kid is an element or a piece of content on a page.
type kid struct {
	of   *Element
	page int
	id   int
}

// NewStructure begins the structure of a document.
func NewStructure(pdf *fpdf.Fpdf) *Structure {
	s := &Structure{pdf: pdf, root: &Element{Role: "Document"}}
	s.all = []*Element{s.root}
	return s
}

// Root is the whole document.
func (s *Structure) Root() *Element { return s.root }

// Under puts an element below another one, at the end; it is there already when it has been
// put before.
func (s *Structure) Under(parent, e *Element) *Element {
	if e.under == nil {
		e.under = parent
		parent.kids = append(parent.kids, kid{of: e})
		s.all = append(s.all, e)
	}
	return e
}

// Mark paints content of an element on the page that is open.
func (s *Structure) Mark(e *Element, paint func()) {
	if s.depth > 0 {
		paint() // it is marked already, as a part of a figure
		return
	}
	page := s.pdf.PageNo()
	for len(s.pages) < page {
		s.pages = append(s.pages, nil)
	}
	id := len(s.pages[page-1])
	s.pages[page-1] = append(s.pages[page-1], e)
	e.kids = append(e.kids, kid{page: page, id: id})
	s.wrap(fmt.Sprintf("/%s <</MCID %d>> BDC", e.Role, id), paint)
}

// Artifact paints what is no content: rules, boxes, head and foot of a page.
func (s *Structure) Artifact(paint func()) {
	if s.depth > 0 {
		paint()
		return
	}
	s.wrap("/Artifact BMC", paint)
}

func (s *Structure) wrap(begin string, paint func()) {
	s.depth++
	s.pdf.RawWriteStr(begin)
	paint()
	s.pdf.RawWriteStr("EMC")
	s.depth--
}
