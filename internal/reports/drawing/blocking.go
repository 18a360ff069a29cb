package drawing

import (
	"math"
	"slices"
	"strings"

	"overhang/internal/reports/ink"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// A Block is what a blocker of a run does: his way, with a bar where he meets his man.
type Block struct {
	Path []field.Point
	Pull bool // he leaves his place for it
}

// Where linemen stand, and where runs go. Common practice, no source: the gaps are those the
// engine fits (a test holds both together).
const (
	lineGap   field.Yards = 1.6 // from lineman to lineman
	lineDepth field.Yards = -0.5
	pullDepth field.Yards = -1.9
	runTop    field.Yards = 6 // as far as a run is drawn
)

// A runner lays a run out on a picture.
type runner struct {
	*builder
	scheme picture.Scheme
	side   float64 // sign of x of the side it is aimed at
	gap    field.Yards
	used   []int // men who have a part in it
}

// run draws who blocks whom, who pulls, who leads and where the ball goes.
func (b *builder) run() {
	s := picture.LookupRun(b.pic.Concept)
	r := &runner{builder: b, scheme: s, side: float64(s.Side * b.pic.Play)}
	r.gap = r.side * gapOut(b.pic, s.Gap, int(r.side))
	r.carried()
	kicked := r.leads() && s.Line == "down"
	pulled := r.pulls(kicked)
	r.line(pulled)
}

// gapOut is how far from the ball a gap is.
func gapOut(p *picture.Picture, letter string, side int) field.Yards {
	end := 0.0
	for i := range p.Receivers {
		if r := &p.Receivers[i]; r.Attached && r.Side == side {
			end = math.Abs(r.At.X)
		}
	}
	switch letter {
	case "A":
		return lineGap / 2
	case "B":
		return 1.5 * lineGap
	case "D":
		if end > 0 {
			return end + 0.8
		}
	}
	return 2*lineGap + 0.8
}

// carried is the way of the ball: to the gap and upfield, and where it may bend to.
func (r *runner) carried() {
	from := field.Point{Y: -4}
	if i := r.carrier(); i >= 0 {
		from, r.used = r.pic.Receivers[i].At, append(r.used, i)
	}
	wide := 0.0
	if r.scheme.Line == "reach" {
		wide = 1.5 * r.side
	}
	c := &Carry{From: from, To: field.Point{X: r.gap + wide + 0.6*r.side, Y: runTop}, Sure: true}
	c.Path = []field.Point{from, {X: r.gap + wide, Y: pullDepth - 0.4}, {X: r.gap + wide, Y: 1}, c.To}
	if letter := r.scheme.Bends; letter != "" {
		x := r.side * gapOut(r.pic, letter, int(r.side))
		c.Bend = []field.Point{c.Path[1].Toward(from, 0.25), {X: x, Y: 0.6}, {X: x - 0.5*r.side, Y: runTop - 1}}
	}
	r.Run = c
}

// carrier is who carries the ball: the first back, or the inside receiver of the other side who
// comes across; -1 the passer.
func (r *runner) carrier() int {
	found := -1
	for i := range r.pic.Receivers {
		m := &r.pic.Receivers[i]
		switch {
		case !m.Blocks():
		case r.scheme.Carries == "back" && m.Back && found < 0:
			found = i
		case r.scheme.Carries == "slot" && !m.Back && !m.Attached && m.Side != int(r.side):
			found = i // numbers rise toward the ball
		}
	}
	return found
}

// leads sends other backs through the gap first, or out to the edge of it where the line
// blocks down; it reports whether anybody leads.
func (r *runner) leads() bool {
	n := 0
	for i := range r.pic.Receivers {
		m := &r.pic.Receivers[i]
		if n == r.scheme.Leads || !m.Back || !m.Blocks() || slices.Contains(r.used, i) {
			continue
		}
		r.used = append(r.used, i)
		r.Blocks = append(r.Blocks, Block{append([]field.Point{m.At}, r.target(r.scheme.Line == "down")...), true})
		n++
	}
	return n > 0
}

// target is the end of a leader's or puller's way: out to the man at the edge of the gap, or
// through it to the next level.
func (r *runner) target(kick bool) []field.Point {
	if kick {
		out := math.Abs(r.gap) + 1.5
		if math.Abs(r.gap) > 2*lineGap {
			out = max(out, gapOut(r.pic, "D", int(r.side))+1) // past the tight end
		}
		return []field.Point{{X: r.gap - 0.2*r.side, Y: -0.9}, {X: out * r.side, Y: 0.6}}
	}
	x := r.gap
	if r.scheme.Line == "reach" {
		x += 1.5 * r.side
	}
	return []field.Point{{X: x - 0.3*r.side, Y: -0.9}, {X: x - 0.3*r.side, Y: 3}}
}

// pulls sends the pullers; the first one kicks out where nobody else did. It returns the
// places of the linemen who left, from the center to the side of the run.
func (r *runner) pulls(kicked bool) (gone []int) {
	for _, who := range r.scheme.Pulls {
		if who == "end" {
			r.across()
			continue
		}
		n := map[string]int{"center": 0, "play guard": 1, "play tackle": 2, "back guard": -1, "back tackle": -2}[who]
		gone = append(gone, n)
		kick := !kicked && r.scheme.Line == "down"
		kicked = true
		x := float64(n) * lineGap * r.side
		way := []field.Point{{X: x, Y: lineDepth}, {X: x + 0.4*r.side, Y: pullDepth}}
		to := r.target(kick)
		way = append(way, field.Point{X: to[0].X - 0.4*r.side, Y: pullDepth})
		r.Blocks = append(r.Blocks, Block{append(way, to...), true})
	}
	return gone
}

// across sends a tight end of the side of the run, else a back without a part, behind the line
// to the man at the other edge.
func (r *runner) across() {
	at := -1
	for i := range r.pic.Receivers {
		m := &r.pic.Receivers[i]
		if slices.Contains(r.used, i) || !m.Blocks() || m.Back && at >= 0 || !m.Back && (!m.Attached || m.Side !=
			int(r.side)) {
			continue
		}
		at = i
	}
	if at < 0 {
		return
	}
	r.used = append(r.used, at)
	m, x := &r.pic.Receivers[at], -r.side*(2*lineGap+1.6)
	way := []field.Point{m.At, {X: m.At.X - 0.8*r.side, Y: pullDepth}, {X: x + 1.2*r.side, Y: pullDepth}, {X: x, Y: 0.3}}
	r.Blocks = append(r.Blocks, Block{way, true})
}

// line blocks with those who stay: linemen, and tight ends beside them.
func (r *runner) line(gone []int) {
	step := map[string]field.Point{"zone": {X: 0.9, Y: 1.7}, "reach": {X: 1.6, Y: 1.3}, "down": {X: -1.1, Y: 1.6},
		"straight": {Y: 1.8}, "set": {Y: -1.2}}[r.scheme.Line]
	step.X *= r.side
	for n := -2; n <= 2; n++ {
		if slices.Contains(gone, n) {
			continue
		}
		at := field.Point{X: float64(n) * lineGap * r.side, Y: lineDepth}
		r.Blocks = append(r.Blocks, Block{[]field.Point{at, at.Add(step)}, false})
	}
	for i := range r.pic.Receivers {
		m := &r.pic.Receivers[i]
		if slices.Contains(r.used, i) || !m.Attached || !m.Blocks() {
			continue
		}
		r.used = append(r.used, i)
		r.Blocks = append(r.Blocks, Block{[]field.Point{m.At, m.At.Add(step)}, false})
	}
	r.Routes = slices.DeleteFunc(r.Routes, func(x Route) bool { return x.Blocks && slices.Contains(r.used, x.Man) })
}

// pullsInWords says who leaves his place on the line for a run to this side of the call.
func pullsInWords(p *picture.Picture, pulls []string, side int) (said string) {
	var who []string
	for _, w := range pulls {
		switch {
		case w != "end":
			who = append(who, strings.Replace(w, "back ", "backside ", 1))
		case len(p.Set.Backfield) > 1 || p.Attaches(side*p.Play):
			said += "; the end man comes across"
		}
	}
	if len(who) > 0 {
		said += "; pulling: " + strings.Join(who, ", ")
	}
	return said
}

// runInWords tells a run as the huddle hears it.
func runInWords(p *picture.Picture) string {
	s := picture.LookupRun(p.Concept)
	to := "right"
	if s.Side*p.Play < 0 {
		to = "left"
	}
	line := map[string]string{"zone": "steps to the " + to, "reach": "reaches to the " + to, "down": "blocks down",
		"straight": "blocks straight ahead", "set": "shows pass"}[s.Line]
	line += pullsInWords(p, s.Pulls, s.Side)
	out := p.Concept + " to the " + to + ", " + s.Gap + " gap. The line " + line + "."
	if s.Bends != "" {
		out += " It may bend back to the " + s.Bends + " gap."
	}
	return strings.ToUpper(out[:1]) + out[1:]
}

// blocks paints who blocks whom; those who pull stand out.
func (sh *sheet) blocks() {
	for _, b := range sh.scene.Blocks {
		style, bar := "block", 1.1*sh.k
		if b.Pull {
			style = "pull"
		}
		bar = math.Max(bar, 0.5*sh.Small)
		pts := sh.ats(b.Path)
		pts[0] = sh.clear(pts[0], pts[1], 0.62*sh.k)
		sh.Line(style, pts...)
		sh.Bar(style, pts[len(pts)-2], pts[len(pts)-1], bar)
		for i := 1; i < len(pts); i++ {
			sh.Runs = append(sh.Runs, ink.From(pts[i-1], pts[i]))
		}
	}
}

// carry paints the way of the ball, and where it may bend.
func (sh *sheet) carry() {
	c := sh.scene.Run
	if c == nil {
		return
	}
	way := c.Path
	if way == nil {
		way = []field.Point{c.From, c.To}
	}
	style := map[bool]string{true: "carry", false: "fake"}[c.Sure]
	pts := sh.ats(way)
	n := len(pts) - 1
	pts[0] = sh.clear(pts[0], pts[1], sh.radius(Eligible))
	tip := pts[n]
	pts[n] = tip.To(pts[n-1], 0.8*sh.Small)
	sh.Line(style, pts...)
	sh.Arrow("route-end", pts[n-1], tip, 1.1*sh.Small)
	for i := 1; i <= n; i++ {
		sh.Runs = append(sh.Runs, ink.From(pts[i-1], pts[i]))
	}
	if c.Bend != nil {
		sh.bend(sh.ats(c.Bend))
	}
}

// bend draws where the carrier may take the ball instead.
func (sh *sheet) bend(at []ink.Spot) {
	sh.Line("bend", at...)
	sh.Arrow("route-end", at[len(at)-2], at[len(at)-1], 0.9*sh.Small)
}
