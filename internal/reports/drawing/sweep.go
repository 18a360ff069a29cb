package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/ink"
)

// A Ground is what a call gives up by where one man lines up: across from inside to
// outside, up from the line of scrimmage, as he would stand on a field drawing. Each
// place has its number; the shade goes by it, from the least to the most of the
// drawing, a tenth of a yard a step at least.
type Ground struct {
	Title, Words string
	stand        *plan.AlignmentSweep
}

// AlignmentSweep makes the drawing of a sweep over an alignment of a call.
func AlignmentSweep(s *plan.AlignmentSweep, call string) Ground {
	g := Ground{Title: fmt.Sprintf("%s: where the %s lines up", call, s.Defender), stand: s}
	best, here := s.Spots[0][0], s.Spots[0][0]
	for _, row := range s.Spots {
		for _, x := range row {
			if x.WorstYd < best.WorstYd {
				best = x
			}
			if s.Here(&x) {
				here = x
			}
		}
	}
	g.Words = fmt.Sprintf("Over %s. ", count(s.Pictures, "picture"))
	if s.Here(&here) {
		g.Words += fmt.Sprintf("As taught, %s and %s deep: %s, they succeed %.0f%%. ", s.Place(&here), yd(here.DepthYd),
			yd(here.WorstYd), 100*here.Stress)
	}
	g.Words += fmt.Sprintf("Best spot, %s and %s deep: %s, %.0f%%.", s.Place(&best), yd(best.DepthYd), yd(best.WorstYd),
		100*best.Stress)
	return g
}

// yd writes a length, to a tenth.
func yd(y float64) string {
	tenth := strconv.FormatFloat(math.Round(10*y)/10+0, 'f', -1, 64)
	if tenth == "1" {
		return "1 yard"
	}
	return tenth + " yards"
}

func count(n int, word string) string {
	if n != 1 {
		word += "s"
	}
	return fmt.Sprint(n, " ", word)
}

// List lays the drawing out w mm wide.
func (g *Ground) List(w float64) *ink.List {
	s := g.stand
	u := max(chartLeast(w), min(chartSize(w), 0.7*w/(3.1*float64(len(s.Offsets))+5)))
	l := &ink.List{Styles: styles, W: w, Title: g.Title, Desc: g.Words}
	l.Label("text-bold", g.Title, ink.At(0, 0.9*u), 1.15*u, -1)
	l.Label("text-soft", "yards deep", ink.At(0, 2.7*u), u, -1)
	left, top, tall := 4.2*u, 3.8*u, 3.6*u
	fits := s.Spots[0][0].FitS > 0
	if fits {
		tall += 1.2 * u
	}
	wide := min((w-left)/float64(len(s.Offsets)), 9*u)
	for n := range s.Depths {
		depth := len(s.Depths) - 1 - n // the deepest on top
		y := top + float64(n)*tall
		l.Label("text", strconv.FormatFloat(s.Depths[depth], 'f', -1, 64), ink.At(left-0.6*u, y+tall/2), u, 1)
		for i := range s.Offsets {
			x := left + float64(i)*wide
			g.place(l, ink.Corners(x, y, x+wide, y+tall), &s.Spots[i][depth], fits, u)
		}
	}
	foot := top + float64(len(s.Depths))*tall
	for n := range s.Depths {
		for i := range s.Offsets {
			if x := &s.Spots[i][len(s.Depths)-1-n]; s.Here(x) {
				at := ink.At(left+float64(i)*wide, top+float64(n)*tall)
				l.Rect("here", "where he is taught to line up", ink.Corners(at.X, at.Y, at.X+wide, at.Y+tall))
			}
		}
	}
	for i, o := range s.Offsets {
		l.Label("text", signed(o), ink.At(left+(float64(i)+0.5)*wide, foot+0.9*u), u, 0)
	}
	on := s.Align.On
	if slices.Contains([]string{"ball", "end man", "back", "hash"}, on) {
		on = "the " + on
	}
	notes := fmt.Sprintf("Across: yards from %s, + is outside. Bold: how many yards open the worst throw is, on "+
		"average; below it, how often they succeed.", on)
	if fits {
		notes += " s: seconds to his run fit."
	}
	notes += fmt.Sprintf(" Framed: as taught. Darker is worse. Over %s, weighted by plays.", count(s.Pictures, "picture"))
	y := foot + 1.6*u
	for _, line := range ink.Wrap(notes, w, u, false) {
		y += 1.3 * u
		l.Label("text-soft", line, ink.At(0, y-0.4*u), u, -1)
	}
	l.H = y + 0.3*u
	return l
}

// signed writes a length with its sign.
func signed(v float64) string {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if v > 0 {
		return "+" + s
	}
	return strings.Replace(s, "-", "−", 1)
}

// shade puts a value into one of the steps of the drawing's own range.
func (g *Ground) shade(v float64) int {
	least, most := math.Inf(1), math.Inf(-1)
	for _, row := range g.stand.Spots {
		for _, x := range row {
			least, most = min(least, x.WorstYd), max(most, x.WorstYd)
		}
	}
	step := max(0.1, (most-least)/float64(len(shades)))
	return min(len(shades)-1, int((v-least)/step))
}

// place is one cell: the yards, the chance, the seconds. The one he is taught has a
// white edge inside its frame, so that it stands out of a dark one too.
func (g *Ground) place(l *ink.List, b ink.Box, x *plan.Spot, fits bool, u float64) {
	shade, in := g.shade(x.WorstYd), b
	if g.stand.Here(x) {
		l.Card(b)
		in = ink.Corners(b.X0+0.45*u, b.Y0+0.45*u, b.X1-0.45*u, b.Y1-0.45*u)
	}
	l.Rect(fmt.Sprintf("shade%d", shade), "", in)
	mid, text := (b.X0+b.X1)/2, fmt.Sprintf("text-shade%d", shade)
	l.Label(fmt.Sprintf("text-bold-shade%d", shade), fmt.Sprintf("%.1f", x.WorstYd), ink.At(mid, b.Y0+1.2*u), 1.15*u, 0)
	l.Label(text, fmt.Sprintf("%.0f%%", 100*x.Stress), ink.At(mid, b.Y0+2.6*u), u, 0)
	if fits {
		l.Label(text, fmt.Sprintf("%.1f s", x.FitS), ink.At(mid, b.Y0+3.8*u), u, 0)
	}
}

// A Flips is what a call gives up by the depth at which one route breaks, with who
// owes it at each depth.
type Flips struct {
	Title, Words string
	depths       *plan.BreakSweep
}

// BreakSweep makes the drawing of a sweep over the break of a route against a call.
func BreakSweep(d *plan.BreakSweep, call string) Flips {
	f := Flips{Title: fmt.Sprintf("%s: %s %s, broken at another depth", call, d.Receiver, d.Route), depths: d}
	owned := stretches(d)
	for i, s := range owned {
		switch {
		case len(owned) == 1:
			f.Words = fmt.Sprintf("%s has him from %s to %s. ", owes(s.owner), yd(s.from), yd(s.to))
		case i > 0:
			f.Words += fmt.Sprintf("Past %s %s has him. ", yd(s.from), lower(owes(s.owner)))
		default:
			f.Words = fmt.Sprintf("Broken at %s: %s has him. ", yd(s.from), lower(owes(s.owner)))
		}
	}
	worse := func(a, b plan.Break) int { return cmp.Compare(a.WorstYd, b.WorstYd) }
	least, most := slices.MinFunc(d.Breaks, worse), slices.MaxFunc(d.Breaks, worse)
	f.Words += fmt.Sprintf("Best for us: broken at %s (%s open). Worst: at %s (%s open).", yd(least.DepthYd),
		yd(least.WorstYd), yd(most.DepthYd), yd(most.WorstYd))
	return f
}

// owes names whose a route is, at the start of a sentence.
func owes(owner string) string {
	if owner == "" {
		return "Nobody"
	}
	return "The " + owner
}

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// A stretch is depths at which one man owes the route.
type stretch struct {
	from, to float64
	owner    string
}

func stretches(d *plan.BreakSweep) []stretch {
	var out []stretch
	for i := range d.Breaks {
		b := &d.Breaks[i]
		if n := len(out) - 1; n >= 0 && out[n].owner == b.Owner {
			out[n].to = b.DepthYd
			continue
		}
		out = append(out, stretch{b.DepthYd, b.DepthYd, b.Owner})
	}
	return out
}

// A flipChart is the drawing being laid out: depths across, yards up.
type flipChart struct {
	*ink.List
	d              *plan.BreakSweep
	u              float64
	from, to, high float64 // of the depths; the most yards
	x0, x1, y0, y1 float64 // of the ground
}

// List lays the drawing out w mm wide.
func (f *Flips) List(w float64) *ink.List {
	d, u := f.depths, chartSize(w)
	c := flipChart{List: &ink.List{Styles: styles, W: w, Title: f.Title, Desc: f.Words}, d: d, u: u, x0: 3 * u,
		x1: w - 1.5*u, y1: 8.6 * u, from: d.Breaks[0].DepthYd, to: d.Breaks[len(d.Breaks)-1].DepthYd, high: 2}
	for i := range d.Breaks {
		c.high = max(c.high, math.Ceil(d.Breaks[i].WorstYd+0.2))
	}
	c.y0 = c.y1 + max(0.2*w, 10*u)
	c.Label("text-bold", f.Title, ink.At(0, 0.9*u), 1.15*u, -1)
	c.Label("text-soft", "yards worse than good man coverage", ink.At(0, c.y1-0.9*u), u, -1)
	gray := c.gray()
	c.axes()
	c.owners()
	c.notes(c.curve(), gray)
	return c.List
}

// at is the place of a depth and yards.
func (c *flipChart) at(depth, yards float64) ink.Spot {
	return ink.At(c.x0+(depth-c.from)/max(c.to-c.from, 0.5)*(c.x1-c.x0), c.y0-yards/c.high*(c.y0-c.y1))
}

// gray paints the depths at which both readings were played, and reports whether there
// are any.
func (c *flipChart) gray() bool {
	var both []ink.Box
	for i, b := range c.d.Breaks {
		if !b.Gray {
			continue
		}
		a, z := c.at(b.DepthYd-0.25, 0), c.at(b.DepthYd+0.25, c.high)
		if i > 0 && c.d.Breaks[i-1].Gray {
			both[len(both)-1].X1 = min(c.x1, z.X)
		} else {
			both = append(both, ink.Corners(max(c.x0, a.X), z.Y, min(c.x1, z.X), a.Y))
		}
	}
	for _, b := range both {
		c.Rect("ground", "gray area: run both ways", b)
		c.Add(ink.Mark{Style: "text-soft", Text: "both", Size: c.u, Anchor: -1, Up: true,
			At: ink.At(b.X1-0.4*c.u, b.Y0+0.4*c.u+ink.TextWidth("both", c.u, false))})
	}
	return len(both) > 0
}

// axes are yards and depths.
func (c *flipChart) axes() {
	u := c.u
	for y := 0.0; y <= c.high; y += math.Ceil(c.high / 6) {
		a := c.at(c.from, y)
		c.Line("yardline", a, ink.At(c.x1, a.Y))
		c.Label("text", fmt.Sprintf("%.0f", y), ink.At(c.x0-0.5*u, a.Y), u, 1)
	}
	for depth := math.Ceil(c.from); depth <= c.to; depth++ {
		a := c.at(depth, 0)
		c.Line("tick", a, a.Add(ink.At(0, 0.5*u)))
		c.Label("text", fmt.Sprintf("%.0f", depth), a.Add(ink.At(0, 1.2*u)), u, 0)
	}
}

// owners names whose the route is, with a line where it becomes another man's.
func (c *flipChart) owners() {
	for i, s := range stretches(c.d) {
		a, z := c.at(s.from-0.25, c.high), c.at(s.to+0.25, c.high)
		if i > 0 {
			c.Line("flip", ink.At(a.X, c.y1-5*c.u), ink.At(a.X, c.y0))
		}
		ownerAbove(c.List, s.owner, max(c.x0, a.X), min(c.x1, z.X), c.y1-4.6*c.u, c.u)
	}
}

// curve is the largest finding by depth; it returns what is said of where they run it.
func (c *flipChart) curve() (ringed string) {
	var pts []ink.Spot
	for i := range c.d.Breaks {
		pts = append(pts, c.at(c.d.Breaks[i].DepthYd, c.d.Breaks[i].WorstYd))
	}
	c.Line("route", pts...)
	for i := range c.d.Breaks {
		if math.Abs(c.d.Breaks[i].DepthYd-c.d.NowYd) < 0.01 {
			c.Circle("here", "", pts[i], 0.8*c.u)
			c.Circle("route-end", "where it breaks now", pts[i], 0.3*c.u)
			ringed += fmt.Sprintf(" Ringed: as they run it, %s.", yd(c.d.NowYd))
		}
	}
	return ringed
}

// notes say under the drawing how it is read.
func (c *flipChart) notes(ringed string, both bool) {
	notes := "Across: how deep the route breaks, yards. Up: the worst conflict. Dashed: another man has the route from " +
		"there, named above." + ringed
	if both {
		notes += " Both: the break is in the gray area, so it was run both ways and the worse one counts."
	}
	y := c.y0 + 2*c.u
	for _, line := range ink.Wrap(notes, c.W, c.u, false) {
		y += 1.3 * c.u
		c.Label("text-soft", line, ink.At(0, y-0.4*c.u), c.u, -1)
	}
	c.H = y + 0.3*c.u
}

// ownerAbove names a man over his stretch, a word a line; a stretch too narrow for a word
// has it read upward.
func ownerAbove(l *ink.List, name string, x0, x1, y, u float64) {
	if name == "" {
		name = "nobody"
	}
	lines := ink.Wrap(name, x1-x0-0.6*u, u, true)
	for _, word := range strings.Fields(name) {
		if ink.TextWidth(word, u, true) > x1-x0 {
			lines = nil
		}
	}
	if len(lines) == 0 || len(lines) > 3 {
		l.Add(ink.Mark{Style: "text-bold", Text: name, At: ink.At((x0+x1)/2+ink.CapHeight*u/2, y+4.4*u),
			Size: min(u, max(chartLeast(l.W), (x1-x0)/1.2)), Anchor: -1, Up: true})
		return
	}
	for i, line := range lines {
		l.Label("text-bold", line, ink.At((x0+x1)/2, y+(0.6+1.15*float64(i))*u), u, 0)
	}
}
