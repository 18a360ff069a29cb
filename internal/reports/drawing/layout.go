package drawing

import (
	"math"

	"overhang/internal/stress/field"
)

// Sizes on paper, mm.
const (
	leastText = 1.77 // 5 pt, 25.4/72 mm each
	mostText  = 3.9  // 11 pt
	border    = field.Yards(1.2)
)

// A sheet is a scene being laid out at a width.
type sheet struct {
	placer // between the caption and the notes
	scene  *Scene
	k      float64 // mm a yard
	left   field.Yards
	lenses []Spot // where the sign of each zone lies
}

// List lays the scene out w mm wide.
func (s *Scene) List(w float64) *List {
	sh := newSheet(s, w)
	sh.reserve()
	sh.endZone()
	sh.ground()
	sh.field()
	sh.zones()
	sh.ties()
	sh.fits()
	sh.routes()
	sh.conflict()
	sh.men()
	sh.zoneNames()
	sh.labels()
	sh.notes()
	return sh.List
}

// Height returns how high the scene is when it is w mm wide.
func (s *Scene) Height(w float64) float64 {
	sh := newSheet(s, w)
	sh.notes()
	return sh.H
}

func newSheet(s *Scene, w float64) *sheet {
	sh := &sheet{placer: placer{List: &List{W: w, Title: s.Title, Desc: s.Words}, u: textSize(w)}, scene: s}
	sh.k = w / (field.Width + 2*border)
	sh.left = -s.Field.Spot.Sideline(-1) - border
	if s.Options.Caption {
		sh.top = 0.4 * sh.u
		for _, line := range Wrap(s.Title, w-2*border*sh.k, 1.15*sh.u, true) {
			sh.top += 1.4 * sh.u
			sh.add(Mark{Style: "text-bold", Text: line, At: Spot{border * sh.k, sh.top - 0.4*sh.u}, Size: 1.15 * sh.u,
				Anchor: -1})
		}
	}
	sh.bottom = sh.top + (s.Field.Top-s.Field.Bottom)*sh.k
	sh.H = sh.bottom
	return sh
}

// textSize is the size of small text at a width: a share of it between 5 and 11 pt.
func textSize(w float64) float64 { return math.Max(leastText, math.Min(mostText, 0.024*w)) }

// at puts a place of the field on the paper.
func (sh *sheet) at(p field.Point) Spot {
	f := &sh.scene.Field
	if sh.scene.Options.FromDefense {
		right := f.Spot.Sideline(1) + border
		return Spot{(right - p.X) * sh.k, sh.top + (p.Y-f.Bottom)*sh.k}
	}
	return Spot{(p.X - sh.left) * sh.k, sh.top + (f.Top-p.Y)*sh.k}
}

// up is the paper direction in which the offense goes.
func (sh *sheet) up() float64 {
	if sh.scene.Options.FromDefense {
		return 1
	}
	return -1
}

func (sh *sheet) ats(ps []field.Point) []Spot {
	out := make([]Spot, len(ps))
	for i, p := range ps {
		out[i] = sh.at(p)
	}
	return out
}

// radius is the size of a symbol: to scale where that is large enough to hold its
// letter, else as large as the letter needs.
func (sh *sheet) radius(k Kind) float64 {
	switch k {
	case Lineman, Center, Rusher:
		return 0.62 * sh.k
	case Defender:
		return math.Max(0.85*sh.k, 0.56*sh.u)
	}
	return math.Max(0.75*sh.k, 0.52*sh.u)
}

// notes prints what belongs under the drawing.
func (sh *sheet) notes() {
	if !sh.scene.Options.Caption {
		return
	}
	y := sh.bottom + 0.4*sh.u
	for _, n := range sh.scene.Notes {
		for _, line := range Wrap(n, sh.W-2*border*sh.k, sh.u, false) {
			y += 1.3 * sh.u
			sh.add(Mark{Style: "text", Text: line, At: Spot{border * sh.k, y - 0.3*sh.u}, Size: sh.u, Anchor: -1})
		}
		y += 0.3 * sh.u
	}
	sh.H = y
}
