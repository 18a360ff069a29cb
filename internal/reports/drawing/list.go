package drawing

import "math"

// A List is a laid out drawing: marks in millimeters from the upper left corner,
// in the order they are painted. Both writers read nothing else.
type List struct {
	W, H        float64
	Title, Desc string // text alternatives
	Marks       []Mark
}

// A Mark is a path, an ellipse or a line of text; exactly one of Paths, RX and
// Text is set.
type Mark struct {
	Style  string   // a key of the style table
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

func (a Spot) add(b Spot) Spot           { return Spot{a.X + b.X, a.Y + b.Y} }
func (a Spot) sub(b Spot) Spot           { return Spot{a.X - b.X, a.Y - b.Y} }
func (a Spot) times(k float64) Spot      { return Spot{a.X * k, a.Y * k} }
func (a Spot) len() float64              { return math.Hypot(a.X, a.Y) }
func (a Spot) dist(b Spot) float64       { return a.sub(b).len() }
func (a Spot) left() Spot                { return Spot{a.Y, -a.X} }
func (a Spot) unit() Spot                { return a.times(1 / max(a.len(), 1e-9)) }
func (a Spot) to(b Spot, d float64) Spot { return a.add(b.sub(a).unit().times(d)) } // d mm from a toward b

func (l *List) add(m Mark) { l.Marks = append(l.Marks, m) }

func (l *List) line(style string, pts ...Spot) {
	if len(pts) > 1 {
		l.add(Mark{Style: style, Paths: [][]Spot{pts}})
	}
}

func (l *List) shape(style, name string, pts ...Spot) {
	l.add(Mark{Style: style, Name: name, Paths: [][]Spot{pts}, Closed: true})
}

func (l *List) circle(style, name string, at Spot, r float64) {
	l.add(Mark{Style: style, Name: name, At: at, RX: r, RY: r})
}

// text writes a line whose letters are centered on the height of at.
func (l *List) text(style, s string, at Spot, size float64, anchor int) {
	l.add(Mark{Style: style, Text: s, At: Spot{at.X, at.Y + capHeight*size/2}, Size: size, Anchor: anchor})
}

// arrow puts a filled head at the end of a run of lines.
func (l *List) arrow(style string, from, tip Spot, size float64) {
	back := from.sub(tip).unit()
	foot := tip.add(back.times(size))
	side := back.left().times(0.42 * size)
	l.shape(style, "", tip, foot.add(side), foot.sub(side))
}

// bar puts a short line across the end of a run: he stops there.
func (l *List) bar(style string, from, tip Spot, size float64) {
	side := tip.sub(from).unit().left().times(0.5 * size)
	l.line(style, tip.add(side), tip.sub(side))
}

// rect is a box as a shape.
func (l *List) rect(style, name string, b box) {
	l.shape(style, name, Spot{b.x0, b.y0}, Spot{b.x1, b.y0}, Spot{b.x1, b.y1}, Spot{b.x0, b.y1})
}

// card is a piece of paper under a text.
func (l *List) card(b box) { l.rect("paper", "", b) }
