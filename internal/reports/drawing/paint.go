package drawing

import (
	"math"
	"strings"

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
			sh.rect("ground", s.Men[z.Man].Name+": "+z.Name, box{min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X), max(a.Y, b.Y)})
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
		from := sh.at(s.Men[z.Man].At)
		w, h := sh.nameSize(z.Name)
		lens := sh.nearest(sh.at(z.Mark), w, h)
		sh.lenses = append(sh.lenses, lens)
		sh.line("to-zone", sh.clear(from, lens, sh.radius(Defender)), lens)
		sh.add(Mark{Style: style, Name: s.Men[z.Man].Name + ": zone " + z.Name, At: lens, RX: w/2 + 0.7*sh.u,
			RY: h/2 + 0.2*sh.u})
		sh.taken = append(sh.taken, around(lens, w/2+0.5*sh.u, h/2+0.2*sh.u))
	}
}

// nearest is the spot closest to at, within three yards, where w by h hides
// nothing; at itself when there is none.
func (sh *sheet) nearest(at Spot, w, h float64) Spot {
	best, bestCost := at, math.Inf(1)
	for ring := range 7 {
		for i := range 16 {
			sin, cos := math.Sincos((float64(i) - 4) * math.Pi / 8)
			spot := at.add(Spot{cos, sin}.times(0.5 * sh.k * float64(ring)))
			b := around(spot, w/2, h/2)
			if cost := sh.hides(b) + 0.15*float64(ring)*sh.u*sh.u + 1e-6*float64(i); cost < bestCost {
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
		sh.card(around(at, w/2, 0.4*h))
		lines := breakName(z.Name)
		for i, l := range lines {
			sh.text("text-soft", l, at.add(Spot{0, (float64(i) - float64(len(lines)-1)/2) * 1.05 * sh.u}), sh.u, 0)
		}
	}
}

func (sh *sheet) nameSize(name string) (w, h float64) {
	lines := breakName(name)
	for _, l := range lines {
		w = math.Max(w, TextWidth(l, sh.u, false))
	}
	return w, 1.1 * sh.u * float64(len(lines))
}

// breakName puts a long zone name on two lines.
func breakName(s string) []string {
	if len(s) < 10 {
		return []string{s}
	}
	width := TextWidth(s, 1, false) * 0.62
	for _, word := range strings.Fields(s) {
		width = math.Max(width, TextWidth(word, 1, false)) // no word is cut
	}
	return Wrap(s, width, 1, false)
}

// clear moves the start of a line out of a symbol.
func (sh *sheet) clear(from, to Spot, r float64) Spot { return from.to(to, math.Min(r, from.dist(to))) }

// ties paints who owes whom: from the defender to the man at the snap.
func (sh *sheet) ties() {
	s := sh.scene
	for _, t := range s.Ties {
		from, to := sh.at(s.Men[t.Man].At), sh.at(s.Men[t.Target].At)
		a := sh.clear(from, to, sh.radius(Defender)*1.1)
		b := sh.clear(to, from, sh.radius(Eligible)+0.35*sh.u)
		style := "match"
		if t.Help || t.Verb == call.Read || t.Verb == call.HelpOn {
			style = "help"
		}
		sh.line(style, a, b)
		sh.circle("match-end", "", b, 0.22*sh.u)
		sh.runs = append(sh.runs, run{a, b})
	}
	for i := range s.Men {
		if s.Men[i].Kind == Rusher {
			at := sh.at(s.Men[i].At)
			tip := at.add(Spot{0, -sh.up() * 1.9 * sh.k})
			sh.line("rush", at, tip)
		}
	}
}

// fits paints where a man stands against the run.
func (sh *sheet) fits() {
	for _, f := range sh.scene.Fits {
		from, to := sh.at(sh.scene.Men[f.Man].At), sh.at(f.At)
		a := sh.clear(from, to, sh.radius(Defender)*1.1)
		sh.line("fit", a, to)
		sh.bar("fit-end", a, to, sh.u)
		sh.runs = append(sh.runs, run{a, to})
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
	if c := sh.scene.Run; c != nil {
		style := map[bool]string{true: "carry", false: "fake"}[c.Sure]
		from, tip := sh.at(c.From), sh.at(c.To)
		from = sh.clear(from, tip, sh.radius(Eligible))
		sh.line(style, from, tip.to(from, 0.8*sh.u))
		sh.arrow("route-end", from, tip, 1.1*sh.u)
		sh.runs = append(sh.runs, run{from, tip})
	}
	start := sh.at(field.Point{Y: -4})
	if to := sh.at(sh.scene.Passer); start.dist(to) > 1.5*sh.k {
		sh.line("drop", start, to)
	}
}

func (sh *sheet) route(r *Route) {
	if r.Blocks {
		at := sh.at(sh.scene.Men[r.Man].At)
		tip := at.add(Spot{0, sh.up() * (sh.radius(Eligible) + 0.5*sh.k)})
		sh.line("block", at, tip)
		sh.bar("block", at, tip, 1.1*sh.k)
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
	head := 1.1 * sh.u
	switch {
	case r.Stops:
		sh.line(line, pts...)
		sh.bar(line, pts[n-2], pts[n-1], 1.3*sh.u)
	default:
		tip := pts[n-1]
		pts[n-1] = tip.to(pts[n-2], math.Min(0.8*head, tip.dist(pts[n-2])/2))
		sh.line(line, pts...)
		sh.arrow(end, pts[n-2], tip, head)
	}
	for i := 1; i < n; i++ {
		sh.runs = append(sh.runs, run{pts[i-1], pts[i]})
	}
}

// cut ends a path at the upper edge of the field that is shown.
func (sh *sheet) cut(path []field.Point) []Spot {
	top := sh.scene.Field.Top - 0.4
	var out []Spot
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
	sh.line("track", sh.ats(c.Track)...)
	r := math.Max(0.55*sh.k, 0.5*sh.u)
	ring := func(style, name string, at Spot) {
		sh.circle(style, name, at, r)
		sh.taken = append(sh.taken, around(at, r, r))
	}
	if c.Other != "" {
		other := sh.at(c.OtherAt)
		sh.line("to-other", stand, sh.clear(other, stand, r))
		ring("catch-other", c.Other, other)
		sh.runs = append(sh.runs, run{stand, other})
	}
	sh.line("to-open", stand, sh.clear(open, stand, r))
	sh.runs = append(sh.runs, run{stand, open})
	ring("catch-open", c.Open, open)
	d := 0.4 * r
	sh.add(Mark{Style: "to-open", Paths: [][]Spot{{{open.X - d, open.Y - d}, {open.X + d, open.Y + d}},
		{{open.X - d, open.Y + d}, {open.X + d, open.Y - d}}}})
	sh.shield("ghost", "where he is when the ball is thrown", stand, 0.6*sh.radius(Defender), "")
	rr := 0.7 * sh.radius(Defender)
	sh.taken = append(sh.taken, around(stand, rr, rr))
}

// reserve keeps the ground of the men free of lenses and labels.
func (sh *sheet) reserve() {
	for i := range sh.scene.Men {
		m := &sh.scene.Men[i]
		r := sh.radius(m.Kind)
		wide := r
		if m.Kind == Defender {
			wide = sh.shieldWidth(r, m.Mark)
		}
		sh.taken = append(sh.taken, around(sh.at(m.At), wide, r))
	}
}

// men paints the twenty-two.
func (sh *sheet) men() {
	for i := range sh.scene.Men {
		sh.man(i)
	}
}

func (sh *sheet) man(i int) {
	m := &sh.scene.Men[i]
	sh.symbol(m, sh.at(m.At), sh.scene.Conflict != nil && sh.scene.Conflict.Man == i)
}

// symbol paints one man at a spot.
func (sh *sheet) symbol(m *Man, at Spot, conflict bool) {
	r := sh.radius(m.Kind)
	switch m.Kind {
	case Eligible:
		sh.circle("eligible", m.Name, at, r)
		sh.text("text-bold", m.Mark, at, sh.letter(m.Mark, r), 0)
	case Passer:
		sh.circle("eligible", m.Name, at, r)
		sh.circle("break", "", at, 0.3*r)
	case Lineman:
		sh.circle("lineman", m.Name, at, r)
	case Center:
		sh.rect("lineman", m.Name, around(at, r, r))
	case Rusher:
		sh.shield("rusher", m.Name, at, r, "")
	case Defender:
		style, text := "defender", "text-bold"
		if conflict {
			style, text = "conflict", "text-white"
			sh.circle("halo", "", at, 1.65*r)
		}
		sh.shield(style, m.Name, at, r, m.Mark)
		sh.text(text, m.Mark, at.add(Spot{0, sh.up() * 0.12 * r}), sh.markSize(r), 0)
	}
}

// letter is the size of a mark that fits a circle.
func (sh *sheet) letter(s string, r float64) float64 {
	size := math.Max(leastText*0.9, 1.25*r)
	if w := TextWidth(s, size, true); w > 1.7*r {
		size *= 1.7 * r / w
	}
	return size
}

// markSize is the size of the letters in a shield.
func (sh *sheet) markSize(r float64) float64 { return math.Min(1.35*r, 1.2*sh.u+0.3*r) }

// shieldWidth is half the width of a shield with a mark in it.
func (sh *sheet) shieldWidth(r float64, mark string) float64 {
	return math.Max(r, TextWidth(mark, sh.markSize(r), true)/2+0.25*r)
}

// shield is the symbol of a defender: five corners, the point toward the offense.
func (sh *sheet) shield(style, name string, at Spot, r float64, mark string) {
	w, up := sh.shieldWidth(r, mark), sh.up()
	sh.shape(style, name, at.add(Spot{-w, up * r}), at.add(Spot{w, up * r}), at.add(Spot{w, -up * 0.45 * r}),
		at.add(Spot{0, -up * 1.25 * r}), at.add(Spot{-w, -up * 0.45 * r}))
}
