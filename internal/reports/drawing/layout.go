package drawing

import (
	"math"

	"overhang/internal/reports/ink"
	"overhang/internal/stress/field"
)

// Sizes on paper, mm.
const (
	border = field.Yards(1.2)
)

// A sheet is a scene being laid out at a width.
type sheet struct {
	ink.Placer // between the caption and the notes
	scene      *Scene
	k          float64     // mm a yard
	left       field.Yards // x of the edges of the paper
	right      field.Yards
	stands     []ink.Spot // where each man's symbol goes
	lenses     []ink.Spot // where the sign of each zone lies
}

// List lays the scene out w mm wide.
func (s *Scene) List(w float64) *ink.List {
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
	sh := &sheet{Placer: ink.Placer{List: &ink.List{Styles: styles, W: w, Title: s.Title, Desc: s.Words},
		Small: ink.TextSize(w)}, scene: s}
	sh.left, sh.right = s.Field.edges()
	sh.left, sh.right = sh.left-border, sh.right+border
	sh.k = w / (sh.right - sh.left)
	if s.Options.Caption {
		sh.Top = 0.4 * sh.Small
		for _, line := range ink.Wrap(s.Title, w-2*border*sh.k, 1.15*sh.Small, true) {
			sh.Top += 1.4 * sh.Small
			sh.Add(ink.Mark{Style: "text-bold", Text: line, At: ink.At(border*sh.k, sh.Top-0.4*sh.Small), Size: 1.15 * sh.Small,
				Anchor: -1})
		}
	}
	sh.Bottom = sh.Top + (s.Field.Top-s.Field.Bottom)*sh.k
	sh.H = sh.Bottom
	sh.apart()
	return sh
}

// at puts a place of the field on the paper.
func (sh *sheet) at(p field.Point) ink.Spot {
	f := &sh.scene.Field
	if sh.scene.Options.FromDefense {
		return ink.At((sh.right-p.X)*sh.k, sh.Top+(p.Y-f.Bottom)*sh.k)
	}
	return ink.At((p.X-sh.left)*sh.k, sh.Top+(f.Top-p.Y)*sh.k)
}

// edges are the x between which a strip lies.
func (f *Strip) edges() (left, right field.Yards) {
	if f.Left == 0 && f.Right == 0 {
		return -f.Spot.Sideline(-1), f.Spot.Sideline(1)
	}
	return f.Left, f.Right
}

// up is the paper direction in which the offense goes.
func (sh *sheet) up() float64 {
	if sh.scene.Options.FromDefense {
		return 1
	}
	return -1
}

func (sh *sheet) ats(ps []field.Point) []ink.Spot {
	out := make([]ink.Spot, len(ps))
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
	case Passer:
		return math.Max(0.75*sh.k, 0.3*sh.Small)
	case Defender:
		return math.Max(0.85*sh.k, 0.56*sh.Small)
	}
	return math.Max(0.75*sh.k, 0.52*sh.Small)
}

// notes prints what belongs under the drawing.
func (sh *sheet) notes() {
	if !sh.scene.Options.Caption {
		return
	}
	y := sh.Bottom + 0.4*sh.Small
	for _, n := range sh.scene.Notes {
		for _, line := range ink.Wrap(n, sh.W-2*border*sh.k, sh.Small, false) {
			y += 1.3 * sh.Small
			sh.Add(ink.Mark{Style: "text", Text: line, At: ink.At(border*sh.k, y-0.3*sh.Small), Size: sh.Small, Anchor: -1})
		}
		y += 0.3 * sh.Small
	}
	sh.H = y
}
