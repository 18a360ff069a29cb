package drawing

import (
	"fmt"
	"math"
)

// A box is ground on the paper.
type box struct{ x0, y0, x1, y1 float64 }

// around is the box w and h to each side of a spot.
func around(at Spot, w, h float64) box { return box{at.X - w, at.Y - h, at.X + w, at.Y + h} }

// overlap is the common area of two boxes, mm2.
func (a box) overlap(b box) float64 {
	w := math.Min(a.x1, b.x1) - math.Max(a.x0, b.x0)
	h := math.Min(a.y1, b.y1) - math.Max(a.y0, b.y0)
	return math.Max(0, w) * math.Max(0, h)
}

// outside is how much of a box lies beyond w by h.
func (a box) outside(w, top, bottom float64) float64 {
	all := (a.x1 - a.x0) * (a.y1 - a.y0)
	return all - a.overlap(box{0, top, w, bottom})
}

// A run is a straight line on the paper.
type run struct{ a, b Spot }

// inside is how much of the run lies in a box, mm (Liang and Barsky 1984).
func (r run) inside(b box) float64 {
	t0, t1 := 0.0, 1.0
	d := r.b.sub(r.a)
	for _, e := range [][2]float64{{-d.X, r.a.X - b.x0}, {d.X, b.x1 - r.a.X}, {-d.Y, r.a.Y - b.y0}, {d.Y, b.y1 - r.a.Y}} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return 0
		case p < 0:
			t0 = math.Max(t0, q/p)
		case p > 0:
			t1 = math.Min(t1, q/p)
		}
	}
	return math.Max(0, t1-t0) * d.len()
}

// A placer writes labels on a drawing where they hide least.
type placer struct {
	*List
	u           float64 // size of the small text, the unit of everything that is not to scale
	top, bottom float64 // labels stay between, mm
	taken       []box   // ground that labels keep off
	runs        []run   // lines that labels would rather not cross
}

// labels writes the words of the drawing where they hide least: the conflict
// first, then the depths of the breaks.
func (sh *sheet) labels() {
	if c := sh.scene.Conflict; c != nil {
		sh.label("text-open", []string{fmt.Sprintf("%.1f yd short", c.ShortYd), fmt.Sprintf("at %.1f s", c.AtS)},
			sh.at(c.OpenAt), 1.1*sh.u, 1.2*sh.u)
		if c.Other != "" {
			sh.label("text-other", []string{c.Other}, sh.at(c.OtherAt), sh.u, 1.2*sh.u)
		}
	}
	for i := range sh.scene.Routes {
		r := &sh.scene.Routes[i]
		if r.Branch {
			continue
		}
		style := [...]string{Plain: "text-bold", Open: "text-open", Other: "text-other"}[r.Role]
		for _, k := range r.Breaks {
			if k.At.Y > sh.scene.Field.Top {
				continue
			}
			at := sh.at(k.At)
			sh.circle("break", "", at, 0.26*sh.u)
			if k.Depth >= 1 {
				sh.label(style, []string{fmt.Sprintf("%.0f", k.Depth)}, at, sh.u, 0.75*sh.u)
			}
		}
	}
}

// label puts lines of text beside a spot: of the places round it the one that
// hides least, the nearer ones first among equals.
func (p *placer) label(style string, lines []string, at Spot, size, gap float64) {
	w, h := 0.0, 1.15*size*float64(len(lines))
	for _, l := range lines {
		w = math.Max(w, TextWidth(l, size, styles[style].Bold))
	}
	w += 0.3 * size
	best, bestCost := box{}, math.Inf(1)
	for ring := range 4 {
		d := gap * (1 + 0.8*float64(ring))
		for i := range 16 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 8)
			b := around(Spot{at.X + cos*(d+w/2), at.Y + sin*(d+h/2)}, w/2, h/2)
			if cost := p.cost(b) + 0.02*float64(ring)*w*h + 1e-6*float64(i); cost < bestCost {
				best, bestCost = b, cost
			}
		}
	}
	p.taken = append(p.taken, best)
	p.card(best)
	for i, l := range lines {
		p.text(style, l, Spot{(best.x0 + best.x1) / 2, best.y0 + (float64(i)+0.5)*1.15*size}, size, 0)
	}
}

// cost is how much a label hides: what stands there most, then lines.
func (p *placer) cost(b box) float64 {
	sum := p.hides(b)
	for _, r := range p.runs {
		sum += 0.35 * p.u * r.inside(b)
	}
	return sum
}

// hides is how much ground of symbols and other labels a box covers, or lies
// outside of the drawing, weighed, mm2.
func (p *placer) hides(b box) float64 {
	sum := 6 * b.outside(p.W, p.top, p.bottom)
	for _, t := range p.taken {
		sum += 4 * b.overlap(t)
	}
	return sum
}
