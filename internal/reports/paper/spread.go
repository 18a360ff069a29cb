package paper

import (
	"slices"
	"strings"

	"overhang/internal/reports/ink"
)

// between is the white between the columns of a spread, mm.
const between = 4.5

// spread lays one page out in the largest text that fits it, LeastText at least; what does
// not fit even so takes the next page too, again in the largest text that fits both.
func (p *press) spread(b *Spread, w float64) (out []piece) {
	var l *laid
	for pages := 1; ; pages++ {
		for k := 1.1 * p.k; ; k -= 0.03 {
			q := *p
			q.k = k
			if l = q.laid(b, w); l.pages <= pages || k*bodySize <= LeastText {
				break
			}
		}
		if l.pages <= pages {
			break
		}
	}
	if len(l.head) > 0 {
		l.head[0].fresh = true
	}
	for i := range l.head {
		l.head[i].with = true
	}
	for i := 0; i < len(l.cols); i += 2 {
		pair := l.cols[i:min(i+2, len(l.cols))]
		out = append(out, p.beside(pair, (w-between)/2+between))
		out[len(out)-1].fresh = i > 0
	}
	return append(append(l.head, out...), l.foot...)
}

// A laid is a spread at one size of its text.
type laid struct {
	head, foot []piece
	cols       [][]piece
	pages      int
}

func (p *press) laid(b *Spread, w float64) *laid {
	l := &laid{head: p.pieces(b.Head, w, p.room()), foot: p.pieces(b.Foot, w, p.room())}
	body := p.pieces(b.Body, (w-between)/2, p.room())
	tall, foot := p.room()-height(l.head)-1, height(l.foot)
	if l.cols = columns(body, tall-foot); len(l.cols) <= 2 {
		l.pages = 1
		return l
	}
	l.cols = columns(body, tall)
	l.pages = (len(l.cols) + 1) / 2
	full := 2 * (l.pages - 1) // the last page gets two alike, and the foot where there is room for it
	if last := columns(slices.Concat(l.cols[full:]...), tall-foot); len(last) <= 2 {
		l.cols = append(l.cols[:full:full], last...)
	} else {
		l.pages++
	}
	return l
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
