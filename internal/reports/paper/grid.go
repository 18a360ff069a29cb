package paper

import (
	"slices"
	"strings"

	"overhang/internal/reports/ink"
)

// table is a row a piece, its head on every page.
func (p *press) table(t *Table, w float64) []piece {
	size := p.size(0.95)
	switch {
	case t.DataOnly:
		return nil
	case len(t.Rows) == 0:
		s := t.Empty
		if s == "" {
			s = "Nothing to show."
		}
		return p.paragraph(P("%s", s), w)
	}
	widths := t.widths(w, size)
	heads := make([]Cell, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = Cell{Text: c.Head}
	}
	whole := &ink.Element{Role: "Table"}
	head := p.row(t, heads, widths, size, rowLook{bold: true, fill: wash, gray: black, of: whole})
	head.with = true
	out := []piece{head}
	for _, r := range t.Rows {
		look := rowLook{gray: black, fill: white, of: whole}
		if r.Thin {
			look.gray = soft + 0x16
		}
		pc := p.row(t, r.Cells, widths, size, look)
		pc.again = &head
		out = append(out, pc)
	}
	if len(t.Rows) > 1 {
		out[1].with = true // no line alone under its head
	}
	return append(out, gap(0.8*size))
}

type rowLook struct {
	bold       bool // it is a head
	fill, gray int
	of         *ink.Element // the table
}

// row wraps every cell into its column.
func (p *press) row(t *Table, row []Cell, widths []float64, size float64, look rowLook) piece {
	in := 0.4 * size
	texts := make([][]string, len(row))
	n := 1
	for i, c := range row {
		texts[i] = ink.Wrap(c.Text, widths[i]-2*in, size, look.bold || t.Columns[i].Strong)
		n = max(n, len(texts[i]))
	}
	h := float64(n)*leading*size + 0.5*size
	tr, owners := cells(t, look.bold)
	return piece{h: h, paint: func(x, y float64) {
		p.tags.Under(p.tags.Under(p.tags.at, look.of), tr)
		for i := range row {
			p.tags.Artifact(func() { p.box(x, y, widths[i], h, look.fill) })
			p.tags.Mark(p.tags.Under(tr, owners[i]), func() {
				at, anchor := x+in, -1
				if t.Columns[i].Number {
					at, anchor = x+widths[i]-in, 1
				}
				for k, s := range texts[i] {
					foot := y + 0.25*size + float64(k)*leading*size + 0.95*size
					p.text(s, at, foot, size, look.bold || t.Columns[i].Strong, look.gray, anchor)
				}
			})
			x += widths[i]
		}
	}}
}

// widths shares the room: a column gets what its longest cell wants when there is
// room for all; else its longest word and a share of the rest by what it wants more.
// Where not even that fits, long words are cut before numbers are.
func (t *Table) widths(w, size float64) []float64 {
	want, need := make([]float64, len(t.Columns)), make([]float64, len(t.Columns))
	numbers := 0.0
	for i, c := range t.Columns {
		texts := []string{c.Head}
		for _, r := range t.Rows {
			texts = append(texts, r.Cells[i].Text)
		}
		for k, s := range texts {
			bold := k == 0 || c.Strong
			want[i] = max(want[i], ink.TextWidth(s, size, bold)+0.9*size)
			for _, word := range strings.Fields(s) {
				need[i] = max(need[i], min(w/4, ink.TextWidth(word, size, bold)+0.9*size))
			}
		}
		if c.Number {
			need[i] = max(need[i], min(want[i], w/6))
			numbers += need[i]
		}
	}
	sumWant, sumNeed := sum(want), sum(need)
	out := make([]float64, len(want))
	for i := range out {
		switch {
		case sumWant <= w:
			out[i] = want[i] * w / sumWant
		case sumNeed >= w && numbers > 0.75*w:
			out[i] = need[i] * w / sumNeed
		case sumNeed >= w && t.Columns[i].Number:
			out[i] = need[i]
		case sumNeed >= w:
			out[i] = need[i] * (w - numbers) / (sumNeed - numbers)
		default:
			out[i] = need[i] + (want[i]-need[i])*(w-sumNeed)/(sumWant-sumNeed)
		}
	}
	// A short table does not spread over the page.
	if sumWant < 0.5*w {
		out = slices.Clone(want)
	}
	return out
}

func sum(xs []float64) float64 {
	s := 0.0
	for _, x := range xs {
		s += x
	}
	return s
}
