package paper

import (
	"strings"

	"overhang/internal/reports/ink"
)

// between is the white between the columns of a spread, mm.
const between = 4.5

// spread lays one page out in the largest text that fits it, LeastText at least; what does
// not fit even so goes on in columns of a next page.
func (p *press) spread(b *Spread, w float64) (out []piece) {
	q := *p
	var head, foot []piece
	var cols [][]piece
	for q.k = 1.1 * p.k; ; q.k -= 0.03 {
		head, foot = q.pieces(b.Head, w, p.room()), q.pieces(b.Foot, w, p.room())
		body := q.pieces(b.Body, (w-between)/2, p.room())
		if cols = columns(body, p.room()-height(head)-height(foot)-1); len(cols) <= 2 {
			break
		}
		if q.k*bodySize <= LeastText { // the foot goes where there is room for it
			cols = columns(body, p.room()-height(head)-1)
			break
		}
	}
	if len(head) > 0 {
		head[0].fresh = true
	}
	for i := range head {
		head[i].with = true
	}
	for i := 0; i < len(cols); i += 2 {
		pair := cols[i:min(i+2, len(cols))]
		out = append(out, p.beside(pair, (w-between)/2+between))
		out[len(out)-1].fresh = i > 0
	}
	return append(append(head, out...), foot...)
}

// beside is columns as one piece, the next one step to the right.
func (p *press) beside(cols [][]piece, step float64) piece {
	h := 0.0
	for _, c := range cols {
		h = max(h, height(c))
	}
	return piece{h: h + 1, paint: func(x, y float64) {
		for i, c := range cols {
			at := y
			for k := range c {
				if c[k].paint != nil {
					c[k].paint(x+float64(i)*step, at)
				}
				at += c[k].h
			}
		}
	}}
}

// columns breaks pieces into columns: two alike where two of them hold all, else as many as
// it takes of the height there is.
func columns(ps []piece, tall float64) [][]piece {
	for h := height(ps) / 2; h < tall; h += 2 {
		if c := broken(ps, h); len(c) <= 2 {
			return c
		}
	}
	return broken(ps, tall)
}

// broken fills columns of one height from above; white space begins none.
func broken(ps []piece, tall float64) (out [][]piece) {
	y := tall + 1
	for i := range ps {
		if ps[i].paint != nil && y+together(ps[i:]) > tall || len(out) == 0 {
			out, y = append(out, nil), 0
		}
		if y == 0 && ps[i].paint == nil {
			continue
		}
		out[len(out)-1] = append(out[len(out)-1], ps[i])
		y += ps[i].h
	}
	return out
}

// hung is text whose second line is set in.
func (p *press) hung(s string, w, size float64) []piece {
	in := size
	first := ink.Wrap(s, w, size, false)
	if len(first) == 0 {
		return nil
	}
	out := p.lines(first[0], w+1, size, false, black, 0)
	out = append(out, p.lines(strings.TrimPrefix(strings.Join(strings.Fields(s), " "), first[0]), w-in, size, false, black,
		in)...)
	for i := range out {
		out[i].with = i+1 < len(out)
		out[i].h = tight * size
	}
	return out
}

// tight is line to line of orders, which stand close.
const tight = 1.19
