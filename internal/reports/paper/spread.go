package paper

import (
	"slices"
	"strings"

	"overhang/internal/reports/ink"
)

// between is the white between the columns of a spread, mm.
const between = 4.5

// narrower are the parts of their width that figures of a spread take until it fits its page.
var narrower = []float64{1, 0.85, 0.7}

// spread lays one page out in the largest text that fits it, LeastText at least, in two
// columns or else in three, and with smaller figures before a second page is begun; what does
// not fit even so takes the next page too, again in the largest text that fits both. A spread
// that may be taken apart is, before it does either.
func (p *press) spread(b *Spread, w float64) []piece {
	for i, part := range narrower {
		q := *p
		q.narrow = part
		for n := 2; n <= 3; n++ {
			if l := q.fitting(b, w, 1, n); l.pages == 1 {
				return p.set(l, w)
			}
		}
		if i == 0 && len(b.Apart) > 0 {
			return p.pieces(b.Apart, w, p.room())
		}
	}
	for pages := 2; ; pages++ {
		for n := 2; n <= 3; n++ {
			if l := p.fitting(b, w, pages, n); l.pages <= pages {
				return p.set(l, w)
			}
		}
	}
}

// set is a spread as it was laid.
func (p *press) set(l *laid, w float64) (out []piece) {
	if len(l.head) > 0 {
		l.head[0].fresh = true
	}
	for i := range l.head {
		l.head[i].with = true
	}
	for i := 0; i < len(l.cols); i += l.n {
		out = append(out, p.beside(l.cols[i:min(i+l.n, len(l.cols))], wide(w, l.n)+between))
		out[len(out)-1].fresh = i > 0
	}
	return append(append(l.head, out...), l.foot...)
}

// wide is how wide each of n columns is.
func wide(w float64, n int) float64 { return (w - float64(n-1)*between) / float64(n) }

// fitting is a spread in n columns, in the largest text that takes no more than so many
// pages, else in the smallest.
func (p *press) fitting(b *Spread, w float64, pages, n int) (l *laid) {
	for k := 1.1 * p.k; ; k -= 0.03 {
		q := *p
		q.k = k
		if l = q.laid(b, w, n); l.pages <= pages || k*bodySize <= LeastText {
			return l
		}
	}
}

// A laid is a spread at one size of its text, in n columns.
type laid struct {
	head, foot []piece
	cols       [][]piece
	n, pages   int
}

func (p *press) laid(b *Spread, w float64, n int) *laid {
	l := &laid{head: p.pieces(b.Head, w, p.room()), foot: p.pieces(b.Foot, w, p.room()), n: n}
	q := *p
	q.close = true
	body := q.pieces(b.Body, wide(w, n), p.room())
	tall, foot := p.room()-height(l.head)-1, height(l.foot)
	if l.cols = columns(body, tall-foot, n); len(l.cols) <= n {
		l.pages = 1
		return l
	}
	l.cols = columns(body, tall, n)
	l.pages = (len(l.cols) + n - 1) / n
	full := n * (l.pages - 1) // the last page gets columns alike, and the foot where there is room for it
	if last := columns(slices.Concat(l.cols[full:]...), tall-foot, n); len(last) <= n {
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

// columns breaks pieces into columns: n alike where these hold all, else as many as it takes
// of the height there is.
func columns(ps []piece, tall float64, n int) [][]piece {
	for h := height(ps) / float64(n); h < tall; h += 2 {
		if c := broken(ps, h); len(c) <= n {
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
