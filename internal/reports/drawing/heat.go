package drawing

import (
	"fmt"
	"math"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/ink"
)

// A Heat is the board as a map: calls down, concepts across, in each cell what the call gives
// up a snap, in points, in words as well as in shade.
type Heat struct {
	Title, Words string
	Cols         []Column
	Rows         []HeatRow
}

// A Column is one concept.
type Column struct {
	Text  string
	Plays int
}

// A HeatRow is one call.
type HeatRow struct {
	Text  string
	Mean  float64 // weighted by how often he runs each concept
	Cells []float64
}

// Board makes the map of a stress board.
func Board(b *plan.Board, title string) Heat {
	h := Heat{Title: title, Words: fmt.Sprintf("%d calls against %d concepts, %d of %d plays. ", len(b.Rows),
		len(b.Concepts), b.Covered, b.Plays)}
	if s := b.AssumedText(); s != "" {
		h.Words += s + ". "
	}
	for _, c := range b.Concepts {
		h.Cols = append(h.Cols, Column{c.Concept + ", " + c.SetName, c.Plays})
	}
	for _, r := range b.Rows {
		h.row(b, &r)
	}
	if len(b.Concepts) == 0 {
		h.Words += "No concept has routes tagged in this situation."
	}
	return h
}

// row puts one call on the map, in colors and in words.
func (h *Heat) row(b *plan.Board, r *plan.Row) {
	row := HeatRow{Text: r.Call, Mean: r.Points}
	for _, c := range r.Cells {
		row.Cells = append(row.Cells, c.Points)
	}
	h.Rows = append(h.Rows, row)
	h.Words += fmt.Sprintf("%s %s", r.Call, Points(r.Points))
	if len(r.Cells) > 0 {
		w := b.Concepts[r.Worst]
		h.Words += fmt.Sprintf(", worst %s from %s %s", w.Concept, w.SetName, Points(r.Cells[r.Worst].Points))
	}
	h.Words += ". "
}

// A shade is one step of the map: ground and text; the page's stylesheet has the
// same six, and a test holds both.
type shadeStyle struct{ Ground, Text string }

var shades = [6]shadeStyle{{"#ffffff", black}, {"#e3edf7", black}, {"#bcd3ea", black}, {"#8fb4d9", black},
	{"#356ea8", paper},
	{"#12355b", paper}}

func init() {
	for i, s := range shades {
		styles[fmt.Sprintf("shade%d", i)] = ink.Style{Fill: s.Ground, Stroke: softInk, Width: 0.4}
		styles[fmt.Sprintf("text-shade%d", i)] = ink.Style{Fill: s.Text}
		styles[fmt.Sprintf("text-bold-shade%d", i)] = ink.Style{Fill: s.Text, Bold: true}
	}
}

// Shade puts a stress into one of six steps: below 0.3, then a tenth each, 0.7
// and more.
func Shade(stress float64) int {
	return min(len(shades)-1, max(0, int(math.Floor((stress-0.2)*10))))
}

// Costs puts points a snap into one of six steps: below -0.15, then a step of 0.15 each.
func Costs(points float64) int {
	return min(len(shades)-1, max(0, int(math.Floor((points+0.3)/0.15))))
}

// Points writes points a snap as a staff does, with a sign: +0.12; nothing has none.
func Points(p float64) string {
	if math.Abs(p) < 0.005 {
		return "0.00"
	}
	if p < 0 {
		return fmt.Sprintf("\u2212%.2f", -p)
	}
	return fmt.Sprintf("+%.2f", p)
}

// chartLeast is the smallest text of a chart w mm wide: one on a narrow screen shrinks; on
// paper they are as wide as the page.
func chartLeast(w float64) float64 { return max(chartText, min(ink.LeastText, w/52)) }

// chartText is the smallest text of any chart, mm, on a screen.
const chartText = 1.77

// chartSize is the size of a chart's text at a width, mm.
func chartSize(w float64) float64 { return max(chartText, min(ink.LeastText, w/40), min(3.9, 0.024*w)) }

// List lays the map out w mm wide. Concept names stand upright over their column.
func (h *Heat) List(w float64) *ink.List {
	// As large as leaves every cell room for its n.
	u := max(chartLeast(w), min(chartSize(w), 0.7*w/(3.1*float64(len(h.Cols))+5)))
	l := &ink.List{Styles: styles, W: w, Title: h.Title, Desc: h.Words}
	left, top := 0.0, ink.TextWidth("concept", u, false)
	for _, r := range h.Rows {
		left = max(left, min(0.25*w, ink.TextWidth(r.Text, u, true)))
	}
	const longest = 15 // of a column's name, in sizes of its text
	names := make([][]string, len(h.Cols))
	for i, c := range h.Cols {
		names[i] = ink.Wrap(c.Text, longest*u, u, false)
		for _, line := range names[i] {
			top = max(top, min(longest*u, ink.TextWidth(line, u, false)))
		}
	}
	left += u
	mean := 4 * u
	step := (w - left - mean) / math.Max(1, float64(len(h.Cols)))
	step = min(step, 7*u)
	head := 2.2*u + top + 1.2*u
	l.Label("text-bold", h.Title, ink.At(0, 0.9*u), 1.15*u, -1)
	l.Label("text-soft", "all", ink.At(left+mean/2, head-0.8*u), u, 0)
	for i := range h.Cols {
		x := left + mean + (float64(i)+0.5)*step
		lines := names[i][:min(len(names[i]), max(1, int(step/(1.15*u))))]
		if n := len(lines); n < len(names[i]) {
			lines[n-1] += "…"
		}
		for n, line := range lines {
			at := x + (float64(n)-float64(len(lines)-1)/2)*1.15*u
			l.Add(ink.Mark{Style: "text", Text: line, At: ink.At(at+ink.CapHeight*u/2, head-0.6*u), Size: u, Anchor: -1,
				Up: true})
		}
	}
	for n, r := range h.Rows {
		y := head + float64(n)*2.9*u
		for i, line := range ink.Wrap(r.Text, left-u, u, true) {
			if i < 2 {
				l.Label("text-bold", line, ink.At(0, y+(0.9+1.15*float64(i))*u), u, -1)
			}
		}
		shadeCell(l, ink.Corners(left, y, left+mean, y+2.9*u), r.Mean, 0, u)
		for i, v := range r.Cells {
			x := left + mean + float64(i)*step
			shadeCell(l, ink.Corners(x, y, x+step, y+2.9*u), v, h.Cols[i].Plays, u)
		}
	}
	l.H = head + 2.9*u*float64(len(h.Rows)) + 1.9*u
	l.Label("text-soft", "Points given up a snap, and n of plays; a stronger shade is worse for the defense.",
		ink.At(0, l.H-0.9*u), u, -1)
	return l
}

// shadeCell is one value with its n; n is left out where it is 0.
func shadeCell(l *ink.List, b ink.Box, v float64, n int, u float64) {
	s := Costs(v)
	l.Rect(fmt.Sprintf("shade%d", s), "", b)
	mid := ink.At((b.X0+b.X1)/2, (b.Y0+b.Y1)/2)
	up := mid
	if n > 0 {
		up = mid.Add(ink.At(0, -0.6*u))
		size, said := max(chartLeast(l.W), 0.85*u), fmt.Sprintf("n %d", n)
		if ink.TextWidth(said, size, false) > b.X1-b.X0 {
			said = fmt.Sprint(n)
		}
		l.Label(fmt.Sprintf("text-shade%d", s), said, mid.Add(ink.At(0, 0.75*u)), size, 0)
	}
	style, said := fmt.Sprintf("text-bold-shade%d", s), strings.Replace(Points(v), "0.", ".", 1)
	if ink.TextWidth(said, u, true) > b.X1-b.X0 { // a narrow cell says it shorter, with no plus and a hyphen
		said = strings.NewReplacer("+", "", "\u2212", "-").Replace(said)
	}
	l.Label(style, said, up, u, 0)
}
