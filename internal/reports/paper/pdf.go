package paper

import (
	"cmp"
	"fmt"
	"io"

	"overhang/internal/reports/ink"

	"codeberg.org/go-pdf/fpdf"
)

// Paper and margins in mm; sizes of text in mm at 100 %.
const (
	letterW, letterH = 215.9, 279.4 // 8.5 by 11 inches
	a4W, a4H         = 210, 297     // ISO 216
	margin           = 12.0
	headRoom         = 11.0 // above the text: title and opponent
	footRoom         = 7.0  // below it: what is behind, date, page
	bodySize         = 3.35 // 9.5 pt
	leading          = 1.32 // line to line
	least, most      = 0.6, 1.7
)

// LeastText is the smallest text on paper. CallSize is that of a call, 16 pt:
// its capitals are 4.1 mm, at 70 cm more than 20 minutes of arc.
const (
	LeastText = ink.LeastText
	CallSize  = 16 * 25.4 / 72
)

// size is a share of the body's text at the press's scale, never below the smallest.
func (p *press) size(share float64) float64 { return max(LeastText, share*p.k*bodySize) }

// A press prints one document at one scale of its text.
type press struct {
	pdf  *fpdf.Fpdf
	doc  *Document
	w, h float64 // of the page
	k    float64 // scale of the text
	tags *tagger

	close  bool    // the headings of a body of orders
	narrow float64 // the part of its width a figure takes, 0: all
}

// A piece is what stays together on a page.
type piece struct {
	h     float64
	with  bool   // it must not be the last of its page
	fresh bool   // it starts a page
	again *piece // printed over it when it is the first of a page: a table's head
	paint func(x, y float64)
}

// WritePDF writes the document on letter or A4 paper.
func (d *Document) WritePDF(w io.Writer) error {
	p := &press{doc: d, w: letterW, h: letterH, k: 1}
	if d.A4 {
		p.w, p.h = a4W, a4H
	}
	if d.Landscape {
		p.w, p.h = p.h, p.w
	}
	p.pdf = ink.NewPDF(p.w, p.h, d.Date)
	p.pdf.SetTitle(ink.Inside(d.Title+": "+d.Against()), true)
	p.pdf.SetLang("en-US")
	st := ink.NewStructure(p.pdf)
	p.tags = &tagger{Structure: st, at: st.Root(), level: 1}
	pieces := p.fit()
	total := p.print(pieces, 0, false)
	p.print(pieces, total, true)
	return p.tags.Write(w, p.h)
}

// fit makes the text as large as the number of pages allows.
func (p *press) fit() []piece {
	if p.doc.Pages == 0 {
		return p.all()
	}
	for p.k = most; ; p.k -= 0.05 {
		pieces := p.all()
		if p.k <= least+0.01 || p.print(pieces, 0, false) <= p.doc.Pages {
			return pieces
		}
	}
}

func (p *press) all() []piece { return p.pieces(p.doc.Blocks, p.w-2*margin, p.room()) }

// room is the height of a page between head and foot.
func (p *press) room() float64 { return p.h - 2*margin - headRoom - footRoom }

// print puts pieces on pages, or only counts the pages. An empty document has one.
func (p *press) print(pieces []piece, total int, paint bool) int {
	top := margin + headRoom
	y, pages := top, 0
	next := func() {
		pages++
		y = top
		if paint {
			p.pdf.AddPage()
			p.furniture(pages, total)
			if pages == 1 {
				p.pdf.Bookmark(ink.Inside(p.doc.Title), 0, 0)
			}
		}
	}
	next()
	for i := range pieces {
		pc := &pieces[i]
		if pc.paint == nil && !pc.with && !pc.fresh { // white space needs no page of its own
			if y > top {
				y += pc.h
			}
			continue
		}
		if y > top && (pc.fresh || y+together(pieces[i:]) > top+p.room()+0.01) {
			next()
			if pc.again != nil {
				if paint {
					p.tags.Artifact(func() { pc.again.paint(margin, y) })
				}
				y += pc.again.h
			}
		}
		if paint && pc.paint != nil {
			pc.paint(margin, y)
		}
		if y += pc.h; pc.paint == nil && y-pc.h == top {
			y = top // white space at the top of a page
		}
	}
	return pages
}

// together is how high the first piece is with those it must not be parted from.
func together(ps []piece) float64 {
	h := 0.0
	for i := range ps {
		h += ps[i].h
		if !ps[i].with {
			break
		}
	}
	return h
}

// furniture prints head and foot of a page; those of the first are read, the others repeat it.
func (p *press) furniture(page, total int) {
	if page > 1 {
		p.tags.Artifact(func() { p.head(page, func(_ string, paint func()) { paint() }) })
	} else {
		p.head(page, func(role string, paint func()) { p.mark(&ink.Element{Role: role}, paint) })
	}
	p.tags.Artifact(func() {
		foot := p.h - margin
		p.rule(margin, foot-LeastText-1.2, p.w-margin, 0.2)
		p.text(p.doc.Behind()+"; "+p.doc.Day(), margin, foot, LeastText, false, soft, -1)
		p.text(fmt.Sprintf("page %d of %d", page, total), p.w-margin, foot, LeastText, false, soft, 1)
	})
}

// head prints the head of a page, each text by way of as.
func (p *press) head(page int, as func(role string, paint func())) {
	d := p.doc
	const big, small = 4.6, LeastText
	right := p.fitted(d.Against(), 0.5*(p.w-2*margin), big, true)
	left := p.w - 3*margin - ink.TextWidth(right, big, true)
	as("H1", func() { p.text(p.fitted(d.Title, left, big, true), margin, margin+big, big, true, black, -1) })
	as("P", func() { p.text(right, p.w-margin, margin+big, big, true, black, 1) })
	p.tags.Artifact(func() { p.rule(margin, margin+big+1.6, p.w-margin, 0.5) })
	if page > 1 && d.Pages > 0 && d.Whose == "" {
		return
	}
	y := margin + big + 5
	program := p.fitted(cmp.Or(d.Whose, d.Program), 0.65*(p.w-2*margin), small, false)
	as("P", func() { p.text(program, margin, y, small, false, soft, -1) })
	if d.Invented {
		s := "Invented data: no real team, player or place"
		w := ink.TextWidth(s, small, true)
		as("P", func() {
			p.pdf.SetFillColor(17, 17, 17)
			p.pdf.Rect(p.w-margin-w-3, y-small, w+3, small+1, "F")
			p.text(s, p.w-margin-1.5, y-0.2, small, true, white, 1)
		})
	}
}

// fitted cuts furniture that is longer than its room: the full words are in the
// document's title and on its first lines.
func (p *press) fitted(s string, w, size float64, bold bool) string {
	if ink.TextWidth(s, size, bold) <= w {
		return s
	}
	return ink.Wrap(s, w-ink.TextWidth("...", size, bold), size, bold)[0] + "..."
}

// Grays of text and lines.
const (
	black = 0x11
	soft  = 0x44
	white = 0xff
	line  = 0x99
	wash  = 0xee
)

// text writes one line with its foot at y; anchor -1 starts, +1 ends at x.
func (p *press) text(s string, x, y, size float64, bold bool, gray, anchor int) {
	weight := ""
	if bold {
		weight = "B"
	}
	p.pdf.SetFont(ink.Family, weight, 0)
	p.pdf.SetFontUnitSize(size)
	p.pdf.SetTextColor(gray, gray, gray)
	p.pdf.Text(x-float64(anchor+1)/2*ink.TextWidth(s, size, bold), y, ink.Visual(s))
}

func (p *press) rule(x0, y, x1, width float64) {
	p.pdf.SetDrawColor(black, black, black)
	p.pdf.SetDashPattern(nil, 0)
	p.pdf.SetLineWidth(width)
	p.pdf.Line(x0, y, x1, y)
}

func (p *press) box(x, y, w, h float64, fill int) {
	p.pdf.SetDrawColor(line, line, line)
	p.pdf.SetFillColor(fill, fill, fill)
	p.pdf.SetDashPattern(nil, 0)
	p.pdf.SetLineWidth(0.2)
	how := "D"
	if fill != white {
		how = "FD"
	}
	p.pdf.Rect(x, y, w, h, how)
}
