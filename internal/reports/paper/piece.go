package paper

import (
	"fmt"
	"math"

	"overhang/internal/reports/ink"
)

// pieces lays blocks out at a width; tall is how much room a page or card has.
func (p *press) pieces(bs []Block, w, tall float64) []piece {
	var out []piece
	fresh, headed := false, false
	for _, b := range bs {
		var ps []piece
		switch b := b.(type) {
		case *Heading:
			ps = p.heading(b, w)
		case *Paragraph:
			ps = p.paragraph(b, w)
		case *Items:
			ps = p.items(b, w)
		case *Table:
			ps = p.table(b.Printed(), w)
		case *Figure:
			ps = p.figure(b, w, tall)
		case *Grid:
			ps = p.grid(b, w)
		case *Spread:
			ps = p.spread(b, w)
		case *PageBreak:
			fresh = true
			continue
		}
		if _, ok := b.(*Paragraph); ok && headed { // what a heading says first stays with what follows
			for i := range ps {
				ps[i].with = true
			}
		}
		_, headed = b.(*Heading)
		if fresh && len(ps) > 0 {
			ps[0].fresh, fresh = true, false
		}
		out = append(out, ps...)
	}
	return out
}

func gap(h float64) piece { return piece{h: h} }

func (p *press) heading(b *Heading, w float64) []piece {
	size := p.size(map[int]float64{2: 1.3, 3: 1.1}[b.Level])
	ps := p.lines(b.Text, w, size, true, black, 0)
	for i := range ps {
		ps[i].with = true
	}
	if b.Level == 2 && len(ps) > 0 {
		text := ps[0].paint
		ps[0].paint = func(x, y float64) {
			p.pdf.Bookmark(ink.Inside(b.Text), 1, y)
			text(x, y)
		}
	}
	above := 0.9
	if p.close {
		above = 0.45
	}
	ps = p.headed(b.Level, ps)
	return append([]piece{{h: above * size, with: true}}, append(ps, piece{h: 0.2 * size, with: true})...)
}

func (p *press) paragraph(b *Paragraph, w float64) []piece {
	return p.tagged("P", p.words(b, w))
}

func (p *press) words(b *Paragraph, w float64) []piece {
	size, bold, gray := p.size(1), false, black
	switch b.Look {
	case Note:
		size, gray = p.size(0.9), soft
	case Strong:
		bold = true
	case Invert:
		return append(p.marked(b.Text, w, size), gap(0.35*size))
	case Large:
		size, bold = p.size(1.35), true
	case Order:
		return append(p.hung(b.Text, w, size), gap(0.12*size))
	case Called:
		return p.lines(b.Text, w, CallSize*max(1, 0.9*p.k), true, black, 0)
	}
	return append(p.lines(b.Text, w, size, bold, gray, 0), gap(0.35*size))
}

// marked is text white on a black bar.
func (p *press) marked(s string, w, size float64) []piece {
	out := p.lines(s, w-2*pad, size, true, white, pad)
	for i := range out {
		text, h := out[i].paint, out[i].h
		out[i].paint = func(x, y float64) {
			p.pdf.SetFillColor(black, black, black)
			p.pdf.Rect(x, y-0.05, w, h+0.1, "F")
			text(x, y)
		}
	}
	return out
}

func (p *press) items(b *Items, w float64) []piece {
	size := p.size(1)
	var out []piece
	list := &ink.Element{Role: "L"}
	for i, s := range b.Texts {
		mark, in := "•", 1.2*size
		if b.Numbered {
			mark, in = fmt.Sprint(i+1, "."), 2*size
		}
		ps := p.lines(s, w-in, size, false, black, in)
		if len(ps) == 0 {
			continue
		}
		item, label, body := &ink.Element{Role: "LI"}, &ink.Element{Role: "Lbl"}, &ink.Element{Role: "LBody"}
		for k := range ps {
			line := ps[k].paint
			ps[k].paint = func(x, y float64) {
				p.tags.Under(p.tags.Under(p.tags.at, list), item)
				if k == 0 {
					p.tags.Mark(p.tags.Under(item, label), func() { p.text(mark, x, y+0.95*size, size, false, black, -1) })
				}
				p.tags.Mark(p.tags.Under(item, body), func() { line(x, y) })
			}
		}
		out = append(out, append(ps, gap(0.25*size))...)
	}
	return out
}

// lines is text wrapped at a width, a piece a line, in mm from the left.
func (p *press) lines(s string, w, size float64, bold bool, gray int, in float64) []piece {
	var out []piece
	for _, l := range ink.Wrap(s, w, size, bold) {
		out = append(out, piece{h: leading * size, paint: func(x, y float64) {
			p.text(l, x+in, y+0.95*size, size, bold, gray, -1)
		}})
	}
	if n := len(out); n > 1 { // no line of a paragraph alone on a page
		out[0].with = true
		out[n-2].with = true
	}
	return out
}

// figure is a drawing no higher than the room with its caption under it.
func (p *press) figure(b *Figure, w, tall float64) []piece {
	room := tall
	caption := p.tagged("P", p.lines(b.Caption, w, p.size(0.9), false, black, 0))
	for _, c := range caption {
		room -= c.h
	}
	if b.Width > 0 {
		w = min(w, b.Width)
	}
	if p.narrow > 0 {
		w *= p.narrow
	}
	l := fitting(b.Drawing, w, room)
	out := []piece{{h: l.H + 1, with: len(caption) > 0, paint: func(x, y float64) {
		l.Figure(p.tags.Structure, p.tags.at, x, y)
	}}}
	for i := range caption {
		caption[i].with = i+1 < len(caption)
	}
	return append(append(out, caption...), gap(1.5))
}

// fitting lays a drawing out as wide as the room allows.
func fitting(d Drawing, w, tall float64) *ink.List {
	l := d.List(w)
	for range 4 {
		if l.H <= tall || w < 25 {
			break
		}
		w *= 0.99 * tall / l.H
		l = d.List(w)
	}
	return l
}

// grid is cards side by side, a row of them a piece.
func (p *press) grid(g *Grid, w float64) []piece {
	const between = 2.5
	var out []piece
	for k, s := range g.sheets() {
		cw := (w - between*float64(g.Columns-1)) / float64(g.Columns)
		for start := 0; start < len(s.Cards); start += g.Columns {
			row := s.Cards[start:min(start+g.Columns, len(s.Cards))]
			var cells [][]piece
			given := 0.0 // by fixed rows; else each card takes what it needs
			if g.Rows > 0 {
				given = (p.room() - between*float64(g.Rows-1)) / float64(g.Rows)
			}
			h := given
			for i := range row {
				c := p.card(&row[i], cw, given)
				cells = append(cells, c)
				if g.Rows == 0 {
					h = math.Max(h, height(c)+2*pad)
				}
			}
			pc := piece{h: h, paint: func(x, y float64) {
				for i, c := range cells {
					if row[i].Title == "" && row[i].Blocks == nil {
						continue // the back of a card that is not there
					}
					p.stack(c, x+float64(i)*(cw+between), y, cw, h)
				}
			}}
			pc.fresh = g.Rows > 0 && start == 0 && k > 0
			out = append(out, pc, gap(between))
		}
	}
	return out
}

const (
	pad     = 1.8 // inside a card
	deepest = 6   // level of a heading
)

func height(ps []piece) float64 {
	h := 0.0
	for i := range ps {
		h += ps[i].h
	}
	return h
}

// card lays one card out; where its height is given the text shrinks until it fits.
func (p *press) card(c *Card, w, h float64) []piece {
	q := *p
	for {
		ps := q.face(c, w-2*pad, h-2*pad)
		if h == 0 || height(ps) <= h-2*pad || q.k < 0.55*p.k {
			return ps
		}
		q.k -= 0.06 * p.k
	}
}

// face gives drawings what the words of the card leave.
func (p *press) face(c *Card, w, h float64) []piece {
	if h <= 0 {
		h = p.room()
	}
	var out []piece
	switch {
	case c.Title == "":
	case c.Marked:
		out = append(p.headed(deepest, p.marked(c.Title, w, p.size(1.1))), gap(0.8))
	case c.Far:
		out = append(p.headed(deepest, p.lines(c.Title, w, CallSize, true, black, 0)), gap(0.8))
	default:
		out = append(p.headed(deepest, p.lines(c.Title, w, p.size(1.1), true, black, 0)), gap(0.8))
	}
	used, figures := height(out), 0
	for _, b := range c.Blocks {
		if f, ok := b.(*Figure); ok {
			used += 2.5 + height(p.lines(f.Caption, w, p.size(0.9), false, black, 0))
			figures++
			continue
		}
		used += height(p.pieces([]Block{b}, w, h))
	}
	left := math.Max(h-used, 12) / math.Max(1, float64(figures))
	for _, b := range c.Blocks {
		if f, ok := b.(*Figure); ok {
			left := left + height(p.lines(f.Caption, w, p.size(0.9), false, black, 0))
			out = append(out, p.figure(f, w, left)...)
			continue
		}
		out = append(out, p.pieces([]Block{b}, w, h)...)
	}
	return out
}

// stack paints a card.
func (p *press) stack(ps []piece, x, y, w, h float64) {
	p.tags.Artifact(func() {
		p.pdf.SetDrawColor(black, black, black)
		p.pdf.SetDashPattern(nil, 0)
		p.pdf.SetLineWidth(0.35)
		p.pdf.Rect(x, y, w, h, "D")
	})
	y += pad
	p.section(func() {
		for _, pc := range ps {
			if pc.paint != nil {
				pc.paint(x+pad, y)
			}
			y += pc.h
		}
	})
}
