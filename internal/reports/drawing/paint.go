package drawing

import (
	"math"
	"strings"

	"overhang/internal/reports/ink"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// ground paints the zone of the man in conflict under everything else.
func (sh *sheet) ground() {
	s := sh.scene
	for _, z := range s.Zones {
		if s.Conflict != nil && z.Man == s.Conflict.Man {
			top, bottom := min(z.Y1, s.Field.Top), max(z.Y0, s.Field.Bottom)
			a, b := sh.at(field.Point{X: z.X0, Y: bottom}), sh.at(field.Point{X: z.X1, Y: top})
			sh.Rect("ground", s.Men[z.Man].Name+": "+z.Name, ink.Corners(min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X),
				max(a.Y, b.Y)))
		}
	}
}

// zones paints drops: a line to the landmark, and a lens there or, where a man
// stands in its place, beside him.
func (sh *sheet) zones() {
	s := sh.scene
	for _, z := range s.Zones {
		style := "zone"
		if z.Help {
			style = "zone-help"
		}
		from := sh.stands[z.Man]
		w, h := sh.nameSize(z.Name)
		lens := sh.nearest(sh.at(z.Mark), w, h)
		sh.lenses = append(sh.lenses, lens)
		sh.Line("to-zone", sh.clear(from, lens, sh.radius(Defender)), lens)
		sh.Add(ink.Mark{Style: style, Name: s.Men[z.Man].Name + ": zone " + z.Name, At: lens, RX: w/2 + 0.7*sh.Small,
			RY: h/2 + 0.2*sh.Small})
		sh.Taken = append(sh.Taken, ink.Around(lens, w/2+0.5*sh.Small, h/2+0.2*sh.Small))
	}
}

// nearest is the spot closest to at, within three yards, where w by h hides nothing; further
// away where a man would be hidden else.
func (sh *sheet) nearest(at ink.Spot, w, h float64) ink.Spot {
	best, bestCost := at, math.Inf(1)
	for ring := range 28 {
		if ring >= 7 && !sh.Covers(ink.Around(best, w/2, h/2)) {
			break
		}
		for i := range 16 {
			sin, cos := math.Sincos((float64(i) - 4) * math.Pi / 8)
			spot := at.Add(ink.At(cos, sin).Times(0.5 * sh.k * float64(ring)))
			b := ink.Around(spot, w/2, h/2)
			if cost := sh.Hides(b) + 0.15*float64(ring)*sh.Small*sh.Small + 1e-6*float64(i); cost < bestCost {
				best, bestCost = spot, cost
			}
		}
	}
	return best
}

// zoneNames writes the names over the routes that cross them.
func (sh *sheet) zoneNames() {
	for n, z := range sh.scene.Zones {
		at := sh.lenses[n]
		w, h := sh.nameSize(z.Name)
		sh.Card(ink.Around(at, w/2, 0.4*h))
		lines := breakName(z.Name)
		for i, l := range lines {
			sh.Label("text-soft", l, at.Add(ink.At(0, (float64(i)-float64(len(lines)-1)/2)*1.05*sh.Small)), sh.Small, 0)
		}
	}
}

func (sh *sheet) nameSize(name string) (w, h float64) {
	lines := breakName(name)
	for _, l := range lines {
		w = math.Max(w, ink.TextWidth(l, sh.Small, false))
	}
	return w, 1.1 * sh.Small * float64(len(lines))
}

// breakName puts a long zone name on two lines.
func breakName(s string) []string {
	if len(s) < 10 {
		return []string{s}
	}
	width := ink.TextWidth(s, 1, false) * 0.62
	for _, word := range strings.Fields(s) {
		width = math.Max(width, ink.TextWidth(word, 1, false)) // no word is cut
	}
	return ink.Wrap(s, width, 1, false)
}

// clear moves the start of a line out of a symbol.
func (sh *sheet) clear(from, to ink.Spot, r float64) ink.Spot {
	return from.To(to, math.Min(r, from.Dist(to)))
}

// ties paints who owes whom: from the defender to the man at the snap.
func (sh *sheet) ties() {
	s := sh.scene
	for _, t := range s.Ties {
		from, to := sh.stands[t.Man], sh.stands[t.Target]
		a := sh.clear(from, to, sh.radius(Defender)*1.1)
		b := sh.clear(to, from, sh.radius(Eligible)+0.35*sh.Small)
		style := "match"
		if t.Help || t.Verb == call.Read || t.Verb == call.HelpOn {
			style = "help"
		}
		sh.Line(style, a, b)
		sh.Circle("match-end", "", b, 0.22*sh.Small)
		sh.Runs = append(sh.Runs, ink.From(a, b))
	}
	for i := range s.Men {
		if s.Men[i].Kind == Rusher && !s.Men[i].Away && (s.Run == nil || s.Run.Path == nil) { // against a run he has a gap
			at := sh.stands[i]
			tip := at.Add(ink.At(0, -sh.up()*1.9*sh.k))
			sh.Line("rush", at, tip)
		}
	}
}

// fits paints where a man stands against the run.
func (sh *sheet) fits() {
	for _, f := range sh.scene.Fits {
		from, to := sh.stands[f.Man], sh.at(f.At)
		a := sh.clear(from, to, sh.radius(Defender)*1.1)
		sh.Line("fit", a, to)
		sh.Bar("fit-end", a, to, sh.Small)
		sh.Runs = append(sh.Runs, ink.From(a, to))
	}
}

// roleStyle gives the line and the end of a route.
var roleStyle = map[Role][2]string{Plain: {"route", "route-end"}, Open: {"open", "open-end"},
	Other: {"other", "other-end"}}

// routes paints what the eligibles run; the two threats last, on top.
func (sh *sheet) routes() {
	for _, role := range []Role{Plain, Other, Open} {
		for i := range sh.scene.Routes {
			if r := &sh.scene.Routes[i]; r.Role == role {
				sh.route(r)
			}
		}
	}
	sh.blocks()
	sh.carry()
	start := sh.at(field.Point{Y: -4})
	if to := sh.at(sh.scene.Passer); start.Dist(to) > 1.5*sh.k {
		sh.Line("drop", start, to)
	}
}

func (sh *sheet) route(r *Route) {
	if r.Blocks {
		at := sh.at(sh.scene.Men[r.Man].At)
		tip := at.Add(ink.At(0, sh.up()*(sh.radius(Eligible)+0.5*sh.k)))
		sh.Line("block", at, tip)
		sh.Bar("block", at, tip, 1.1*sh.k)
		return
	}
	pts := sh.cut(r.Path)
	if len(pts) < 2 {
		return
	}
	n := len(pts)
	line, end := roleStyle[r.Role][0], roleStyle[r.Role][1]
	if r.Branch && r.Role == Plain {
		line = "help"
	}
	head := 1.1 * sh.Small
	switch {
	case r.Stops:
		sh.Line(line, pts...)
		sh.Circle(end, "", pts[n-1], stopDot*sh.Small) // a bar across the end would be a block
	default:
		tip := pts[n-1]
		pts[n-1] = tip.To(pts[n-2], math.Min(0.8*head, tip.Dist(pts[n-2])/2))
		sh.Line(line, pts...)
		sh.Arrow(end, pts[n-2], tip, head)
	}
	for i := 1; i < n; i++ {
		sh.Runs = append(sh.Runs, ink.From(pts[i-1], pts[i]))
	}
}

// stopDot is the radius of the dot where a receiver settles, in sizes of the small text.
const stopDot = 0.42

// cut ends a path at the upper edge of the field that is shown.
func (sh *sheet) cut(path []field.Point) []ink.Spot {
	top := sh.scene.Field.Top - 0.4
	var out []ink.Spot
	for i, p := range path {
		if p.Y > top {
			if i > 0 {
				a := path[i-1]
				out = append(out, sh.at(a.Toward(p, (top-a.Y)/(p.Y-a.Y))))
			}
			break
		}
		out = append(out, sh.at(p))
	}
	return out
}

// conflict paints the man's way until the ball is thrown, where he is then, and
// the way he lacks to each of the two catches.
func (sh *sheet) conflict() {
	c := sh.scene.Conflict
	if c == nil {
		return
	}
	stand, open := sh.at(c.Stand), sh.at(c.OpenAt)
	sh.Line("track", sh.ats(c.Track)...)
	r := math.Max(0.55*sh.k, 0.5*sh.Small)
	ring := func(style, name string, at ink.Spot) {
		sh.Circle(style, name, at, r)
		sh.Taken = append(sh.Taken, ink.Around(at, r, r))
	}
	way := func(style string, to ink.Spot) {
		sh.Line(style, stand, sh.clear(to, stand, r))
		sh.Runs = append(sh.Runs, ink.From(stand, to))
	}
	if c.Other != "" {
		way("to-other", sh.at(c.OtherAt))
		ring("catch-other", c.Other, sh.at(c.OtherAt))
	}
	way("to-open", open)
	ring("catch-open", c.Open, open)
	sh.cross("to-open", open, 0.4*r)
	sh.shield("ghost", "where he is when the ball is thrown", stand, 0.6*sh.radius(Defender), "")
	rr := 0.7 * sh.radius(Defender)
	sh.Taken = append(sh.Taken, ink.Around(stand, rr, rr))
}

// cross marks a spot with an x of this half width.
func (sh *sheet) cross(style string, at ink.Spot, half float64) {
	d := ink.At(half, half)
	sh.Add(ink.Mark{Style: style, Paths: [][]ink.Spot{{at.Sub(d), at.Add(d)}, {at.Sub(d.Left()), at.Add(d.Left())}}})
}

// reserve keeps the ground of the men free of lenses and labels.
func (sh *sheet) reserve() {
	for i := range sh.scene.Men {
		m := &sh.scene.Men[i]
		if m.Away {
			continue
		}
		r := sh.radius(m.Kind)
		wide := r
		switch m.Kind {
		case Defender:
			wide = sh.shieldWidth(r, m.Mark)
		case Eligible:
			wide = sh.ringWidth(r, m.Mark)
		}
		at := sh.stands[i]
		b := ink.Around(at, wide, r)
		if m.Kind == Defender || m.Kind == Rusher { // and the point
			b = ink.Corners(b.X0, min(b.Y0, at.Y-sh.up()*1.25*r), b.X1, max(b.Y1, at.Y-sh.up()*1.25*r))
		}
		sh.Kept = append(sh.Kept, b)
	}
}

// men paints the twenty-two; over the others the one it is about.
func (sh *sheet) men() {
	for _, told := range []bool{false, true} {
		for i := range sh.scene.Men {
			if !sh.scene.Men[i].Away && sh.told(i) == told {
				sh.man(i)
			}
		}
	}
}

// told reports whether the drawing is about a man.
func (sh *sheet) told(i int) bool {
	m := &sh.scene.Men[i]
	return m.Kind == Defender && m.Name == sh.scene.Options.Bare || sh.scene.Conflict != nil && sh.scene.Conflict.Man == i
}

func (sh *sheet) man(i int) {
	m := &sh.scene.Men[i]
	sh.symbol(m, sh.stands[i], sh.told(i))
}

// symbol paints one man at a spot.
func (sh *sheet) symbol(m *Man, at ink.Spot, conflict bool) {
	r := sh.radius(m.Kind)
	switch m.Kind {
	case Eligible:
		sh.Add(ink.Mark{Style: "eligible", Name: m.Name, At: at, RX: sh.ringWidth(r, m.Mark), RY: r})
		sh.Label("text-bold", m.Mark, at, letter(r), 0)
	case Passer:
		sh.Circle("eligible", m.Name, at, r)
		sh.Circle("break", "", at, 0.3*r)
	case Lineman:
		sh.Circle("lineman", m.Name, at, r)
	case Center:
		sh.Rect("lineman", m.Name, ink.Around(at, r, r))
	case Rusher:
		sh.shield("rusher", m.Name, at, r, "")
	case Defender:
		style, text := "defender", "text-bold"
		if conflict {
			style, text = "conflict", "text-white"
			sh.Circle("halo", "", at, 1.65*r)
		}
		sh.shield(style, m.Name, at, r, m.Mark)
		sh.Label(text, m.Mark, at.Add(ink.At(0, sh.up()*0.12*r)), sh.markSize(r), 0)
	}
}

// letter is the size of the mark in a circle: nothing on paper is smaller.
func letter(r float64) float64 { return math.Max(ink.LeastText, 1.25*r) }

// ringWidth is half the width of the ring round a mark.
func (sh *sheet) ringWidth(r float64, mark string) float64 {
	return math.Max(r, ink.TextWidth(mark, letter(r), true)/2+0.3*r)
}

// markSize is the size of the letters in a shield.
func (sh *sheet) markSize(r float64) float64 {
	return math.Max(ink.LeastText, math.Min(1.35*r, 1.2*sh.Small+0.3*r))
}

// shieldWidth is half the width of a shield with a mark in it.
func (sh *sheet) shieldWidth(r float64, mark string) float64 {
	return math.Max(r, ink.TextWidth(mark, sh.markSize(r), true)/2+0.25*r)
}

// shield is the symbol of a defender: five corners, the point toward the offense.
func (sh *sheet) shield(style, name string, at ink.Spot, r float64, mark string) {
	w, up := sh.shieldWidth(r, mark), sh.up()
	sh.Shape(style, name, at.Add(ink.At(-w, up*r)), at.Add(ink.At(w, up*r)), at.Add(ink.At(w, -up*0.45*r)),
		at.Add(ink.At(0, -up*1.25*r)), at.Add(ink.At(-w, -up*0.45*r)))
}
