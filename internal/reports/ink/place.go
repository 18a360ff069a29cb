package ink

import "math"

// A box is ground on the paper.
type Box struct{ X0, Y0, X1, Y1 float64 }

// Corners is the box from the corner x0, y0 to x1, y1.
func Corners(x0, y0, x1, y1 float64) Box { return Box{x0, y0, x1, y1} }

// Around is the box w and h to each side of a spot.
func Around(at Spot, w, h float64) Box { return Box{at.X - w, at.Y - h, at.X + w, at.Y + h} }

// Overlap is the common area of two boxes, mm2.
func (a Box) Overlap(b Box) float64 {
	w := math.Min(a.X1, b.X1) - math.Max(a.X0, b.X0)
	h := math.Min(a.Y1, b.Y1) - math.Max(a.Y0, b.Y0)
	return math.Max(0, w) * math.Max(0, h)
}

// Outside is how much of a box lies beyond w by h.
func (a Box) Outside(w, top, bottom float64) float64 {
	all := (a.X1 - a.X0) * (a.Y1 - a.Y0)
	return all - a.Overlap(Box{0, top, w, bottom})
}

// A run is a straight line on the paper.
type Run struct{ A, B Spot }

// From is the run from a to b.
func From(a, b Spot) Run { return Run{a, b} }

// Inside is how much of the run lies in a box, mm (Liang and Barsky 1984).
func (r Run) Inside(b Box) float64 {
	t0, t1 := 0.0, 1.0
	d := r.B.Sub(r.A)
	for _, e := range [][2]float64{{-d.X, r.A.X - b.X0}, {d.X, b.X1 - r.A.X}, {-d.Y, r.A.Y - b.Y0}, {d.Y, b.Y1 - r.A.Y}} {
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
	return math.Max(0, t1-t0) * d.Len()
}

// A Placer writes labels on a drawing where they hide least.
type Placer struct {
	*List
	Small       float64 // size of the small text, the unit of everything that is not to scale
	Top, Bottom float64 // labels stay between, mm
	Kept        []Box   // ground that no label may hide, as long as there is other ground
	Taken       []Box   // ground that labels keep off
	Runs        []Run   // lines that labels would rather not cross
}

// Place puts lines of text beside a spot: of the places round it the one that
// hides least, the nearer ones first among equals.
func (p *Placer) Place(style string, lines []string, at Spot, size, gap float64) {
	best := p.room(at, p.widest(style, lines, size)+0.3*size, 1.15*size*float64(len(lines)), gap)
	p.Taken = append(p.Taken, best)
	p.Card(best)
	for i, l := range lines {
		p.Label(style, l, Spot{(best.X0 + best.X1) / 2, best.Y0 + (float64(i)+0.5)*1.15*size}, size, 0)
	}
}

// widest is the width of the longest line.
func (p *Placer) widest(style string, lines []string, size float64) (w float64) {
	for _, l := range lines {
		w = math.Max(w, TextWidth(l, size, p.Styles[style].Bold))
	}
	return w
}

// room is the box of this width and height near a spot that covers least: nearer rings first, wider ones
// only while it still covers something.
func (p *Placer) room(at Spot, w, h, gap float64) Box {
	best, bestCost := Box{}, math.Inf(1)
	for ring := range mostRings {
		if ring >= usualRings && !p.Covers(best) {
			break
		}
		d := gap * (1 + 0.8*float64(ring))
		for i := range 16 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 8)
			b := Around(Spot{at.X + cos*(d+w/2), at.Y + sin*(d+h/2)}, w/2, h/2)
			if cost := p.Cost(b) + 0.02*float64(ring)*w*h + 1e-6*float64(i); cost < bestCost {
				best, bestCost = b, cost
			}
		}
	}
	return best
}

// How far from its spot a label looks for ground: further only while it would hide what is kept.
const (
	usualRings = 4
	mostRings  = 20
)

// Covers says that a box hides some of what is kept.
func (p *Placer) Covers(b Box) bool {
	for _, k := range p.Kept {
		if b.Overlap(k) > 0 {
			return true
		}
	}
	return false
}

// Cost is how much a label hides: what stands there most, then lines.
func (p *Placer) Cost(b Box) float64 {
	sum := p.Hides(b)
	for _, r := range p.Runs {
		sum += 0.35 * p.Small * r.Inside(b)
	}
	return sum
}

// Hides is how much ground of symbols and other labels a box covers, or lies
// outside of the drawing, weighed, mm2.
func (p *Placer) Hides(b Box) float64 {
	sum := 20 * b.Outside(p.W, p.Top, p.Bottom)
	for _, k := range p.Kept {
		sum += 400 * b.Overlap(k)
	}
	for _, t := range p.Taken {
		sum += 20 * b.Overlap(t)
	}
	return sum
}
