package ink

import "math"

// A Style is how a mark looks. Widths and dashes are in units of the drawing's
// line (LineUnit), so that a drawing reads alike at 60 and at 180 mm.
type Style struct {
	Stroke string // #rrggbb, empty for none
	Width  float64
	Dash   []float64
	Fill   string // #rrggbb, empty for none
	Bold   bool   // of text
}

// Styles is a table of looks by the style of a mark. Every key that starts with "text"
// is of text; "paper" is what a text is laid on.
type Styles map[string]Style

// White is the paper.
const White = "#ffffff"

// Sizes of text, mm.
const (
	LeastText = 8.5 * 25.4 / 72 // mm: nothing on paper is smaller
	mostText  = 3.9             // 11 pt
)

// TextSize is the size of small text at a width: a share of it between 8.5 and 11 pt.
func TextSize(w float64) float64 { return math.Max(LeastText, math.Min(mostText, 0.024*w)) }

// LineUnit is the width of a line of one unit at a drawing's width, mm.
func LineUnit(w float64) float64 { return 0.12 * TextSize(w) }
