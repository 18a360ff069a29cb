package ink

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"
)

// pointsPerMM turns millimeters into the unit of a PDF.
const pointsPerMM = 72 / 25.4

var trailerRE = regexp.MustCompile(
	`trailer\n<<\n/Size (\d+)\n/Root (\d+) 0 R\n/Info (\d+) 0 R\n>>\nstartxref\n(\d+)\n`)

// A tail is what is put behind the objects of a finished PDF: new objects, new versions of
// old ones, and a table of all.
type tail struct {
	bytes.Buffer
	old        []byte
	root, info int
	table      int   // where the table of the old ones stood
	at         []int // by number of an object: where it begins
}

// Write writes the document with its structure. It fails when the document was not finished.
func (s *Structure) Write(w io.Writer, height float64) error {
	var b bytes.Buffer
	if err := s.pdf.Output(&b); err != nil {
		return err
	}
	t, err := newTail(b.Bytes())
	if err != nil {
		return err
	}
	first := len(t.at)
	tree, parents := first, first+1
	for i, e := range s.all {
		e.n = first + 2 + i
	}
	t.put(tree, fmt.Sprintf("<</Type /StructTreeRoot /K [%d 0 R] /ParentTree %d 0 R /ParentTreeNextKey %d>>", s.root.n,
		parents, len(s.pages)))
	t.put(parents, s.parentTree())
	for _, e := range s.all {
		t.put(e.n, s.element(e, tree, height))
	}
	for i := range s.pages {
		t.change(pageObject(i+1), "<</Type /Page\n", fmt.Sprintf("<</Type /Page /StructParents %d /Tabs /S\n", i))
	}
	t.change(t.root, "/Type /Catalog\n", fmt.Sprintf("/Type /Catalog\n/StructTreeRoot %d 0 R\n"+
		"/MarkInfo <</Marked true>>\n/ViewerPreferences <</DisplayDocTitle true>>\n", tree))
	return t.finish(w)
}

// pageObject is the number of a page's object: the writer of PDFs gives pages the numbers 3, 5
// and so on.
func pageObject(page int) int { return 1 + 2*page }

func newTail(old []byte) (*tail, error) {
	m := trailerRE.FindSubmatch(old)
	if m == nil {
		return nil, fmt.Errorf("ink: the PDF ends in no table that is known")
	}
	t := &tail{old: old}
	var n [4]int
	for i := range n {
		n[i], _ = strconv.Atoi(string(m[i+1]))
	}
	t.at, t.root, t.info, t.table = make([]int, n[0]), n[1], n[2], n[3]
	rows := old[t.table+len(fmt.Sprintf("xref\n0 %d\n", n[0])):]
	for i := range t.at { // twenty bytes each (7.5.4)
		t.at[i], _ = strconv.Atoi(string(rows[20*i : 20*i+10]))
	}
	t.Write(old[:t.table])
	return t, nil
}

// put writes an object under a number.
func (t *tail) put(n int, body string) {
	for len(t.at) <= n {
		t.at = append(t.at, 0)
	}
	t.at[n] = t.Len()
	fmt.Fprintf(t, "%d 0 obj\n%s\nendobj\n", n, body)
}

// change writes an object anew with a piece of it replaced.
func (t *tail) change(n int, from, to string) {
	body := t.old[t.at[n]:]
	body = body[:bytes.Index(body, []byte("\nendobj"))]
	_, rest, _ := bytes.Cut(body, []byte("obj\n"))
	t.put(n, strings.Replace(string(rest), from, to, 1))
}

// finish writes the table of all objects and the trailer.
func (t *tail) finish(w io.Writer) error {
	at := t.Len()
	fmt.Fprintf(t, "xref\n0 %d\n0000000000 65535 f \n", len(t.at))
	for _, x := range t.at[1:] {
		fmt.Fprintf(t, "%010d 00000 n \n", x)
	}
	fmt.Fprintf(t, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n>>\nstartxref\n%d\n%%%%EOF\n", len(t.at), t.root,
		t.info, at)
	_, err := w.Write(t.Bytes())
	return err
}

// parentTree leads from content on a page to its element (14.7.4.4).
func (s *Structure) parentTree() string {
	var b strings.Builder
	b.WriteString("<</Nums [")
	for i, owners := range s.pages {
		fmt.Fprintf(&b, "%d [", i)
		for _, e := range owners {
			fmt.Fprintf(&b, "%d 0 R ", e.n)
		}
		b.WriteString("]\n")
	}
	b.WriteString("]>>")
	return b.String()
}

// element is the object of one element.
func (s *Structure) element(e *Element, tree int, height float64) string {
	var b strings.Builder
	up, page := tree, 0
	if e.under != nil {
		up = e.under.n
	}
	fmt.Fprintf(&b, "<</Type /StructElem /S /%s /P %d 0 R", e.Role, up)
	for _, k := range e.kids {
		if page = k.page; page > 0 {
			fmt.Fprintf(&b, " /Pg %d 0 R", pageObject(page))
			break
		}
	}
	b.WriteString(" /K [")
	for _, k := range e.kids {
		switch {
		case k.of != nil:
			fmt.Fprintf(&b, "%d 0 R ", k.of.n)
		case k.page == page:
			fmt.Fprintf(&b, "%d ", k.id)
		default:
			fmt.Fprintf(&b, "<</Type /MCR /Pg %d 0 R /MCID %d>> ", pageObject(k.page), k.id)
		}
	}
	b.WriteString("]")
	if e.Alt != "" {
		b.WriteString(" /Alt " + textString(e.Alt))
	}
	switch {
	case e.Role == "TH":
		b.WriteString(" /A <</O /Table /Scope /Column>>")
	case e.Box != nil:
		fmt.Fprintf(&b, " /A <</O /Layout /Placement /Block /BBox [%.2f %.2f %.2f %.2f]>>", e.Box.X0*pointsPerMM,
			(height-e.Box.Y1)*pointsPerMM, e.Box.X1*pointsPerMM, (height-e.Box.Y0)*pointsPerMM)
	}
	b.WriteString(">>")
	return b.String()
}

// textString is a text of a PDF in hexadecimal UTF-16 (7.9.2.2).
func textString(s string) string {
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(Inside(s))) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String() + ">"
}
