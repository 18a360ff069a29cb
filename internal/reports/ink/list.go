package ink

import "math"

// A List is a laid out drawing: marks in millimeters from the upper left corner,
// in the order they are painted. Both writers read nothing else.
type List struct {
	W, H        float64
	Title, Desc string // text alternatives
	Marks       []Mark
	Styles      Styles
}

// A Mark is a path, an ellipse or a line of text; exactly one of Paths, RX and
// Text is set.
type Mark struct {
	Style  string   // a key of the list's styles
	Name   string   // what it stands for, for a reader who does not see it
	Paths  [][]Spot // runs of straight lines
	Closed bool     // each run is closed
	At     Spot     // center of an ellipse, foot of a text
	RX, RY float64
	Text   string
	Size   float64 // of the text, mm from line to line of its em
	Up     bool    // the text is read from below upward
	Anchor int     // -1 the text starts at At, 0 it is centered, +1 it ends there
}

// A Spot is a place on the paper in millimeters, y down.
type Spot struct{ X, Y float64 }

// At is the spot x to the right and y down.
func At(x, y float64) Spot { return Spot{x, y} }

// Add is a moved by b.
func (a Spot) Add(b Spot) Spot { return Spot{a.X + b.X, a.Y + b.Y} }

// Sub is the way from b to a.
func (a Spot) Sub(b Spot) Spot { return Spot{a.X - b.X, a.Y - b.Y} }

// Times is k times the way a.
func (a Spot) Times(k float64) Spot { return Spot{a.X * k, a.Y * k} }

// Len is the length of the way a, mm.
func (a Spot) Len() float64 { return math.Hypot(a.X, a.Y) }

// Dist is how far b is, mm.
func (a Spot) Dist(b Spot) float64 { return a.Sub(b).Len() }

// Left is the way a turned to the left.
func (a Spot) Left() Spot { return Spot{a.Y, -a.X} }

// Unit is the way a with the length of 1 mm; of no way there is none.
func (a Spot) Unit() Spot { return a.Times(1 / max(a.Len(), 1e-9)) }

// To is the spot d mm from a toward b.
func (a Spot) To(b Spot, d float64) Spot { return a.Add(b.Sub(a).Unit().Times(d)) }

// Add paints a mark over what is there.
func (l *List) Add(m Mark) { l.Marks = append(l.Marks, m) }

// Line is a run of straight lines; one place is none.
func (l *List) Line(style string, pts ...Spot) {
	if len(pts) > 1 {
		l.Add(Mark{Style: style, Paths: [][]Spot{pts}})
	}
}

// Shape is a closed run of lines.
func (l *List) Shape(style, name string, pts ...Spot) {
	l.Add(Mark{Style: style, Name: name, Paths: [][]Spot{pts}, Closed: true})
}

// Circle is round at, of radius r.
func (l *List) Circle(style, name string, at Spot, r float64) {
	l.Add(Mark{Style: style, Name: name, At: at, RX: r, RY: r})
}

// Label writes a line whose letters are centered on the height of at.
func (l *List) Label(style, s string, at Spot, size float64, anchor int) {
	l.Add(Mark{Style: style, Text: s, At: Spot{at.X, at.Y + CapHeight*size/2}, Size: size, Anchor: anchor})
}

// Arrow puts a filled head at the end of a run of lines.
func (l *List) Arrow(style string, from, tip Spot, size float64) {
	back := from.Sub(tip).Unit()
	foot := tip.Add(back.Times(size))
	side := back.Left().Times(0.42 * size)
	l.Shape(style, "", tip, foot.Add(side), foot.Sub(side))
}

// Bar puts a short line across the end of a run: he stops there.
func (l *List) Bar(style string, from, tip Spot, size float64) {
	side := tip.Sub(from).Unit().Left().Times(0.5 * size)
	l.Line(style, tip.Add(side), tip.Sub(side))
}

// Rect is a box as a shape.
func (l *List) Rect(style, name string, b Box) {
	l.Shape(style, name, Spot{b.X0, b.Y0}, Spot{b.X1, b.Y0}, Spot{b.X1, b.Y1}, Spot{b.X0, b.Y1})
}

// Card is a piece of paper under a text.
func (l *List) Card(b Box) { l.Rect("paper", "", b) }
