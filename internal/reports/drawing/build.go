package drawing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// How long routes are drawn, and when everything has declared itself.
const (
	drawn   field.Seconds = 3.8
	settled field.Seconds = 3
)

// Concept draws a picture alone, for a card: eligibles, line, routes with the
// depth of their breaks.
func Concept(p *picture.Picture, o Options) Scene {
	level := p.Spot.Level
	if level == 0 {
		level = field.HighSchool
	}
	params := motion.Defaults(level)
	b := newBuilder(p, params.Family[p.Family], o)
	b.title(pictureTitle(p))
	b.Words = "The offense from " + p.Set.Name + ": " + routesInWords(p) + "."
	if p.Family == picture.Run {
		b.Words = runInWords(p)
	}
	return b.done()
}

// Call draws a call against a picture as it is owed once everything has declared.
func Call(r *stress.Result, o Options) Scene {
	b := ofResult(r, o)
	b.title(r.Rep.Setup.Compiled.Call.Name + " against " + pictureTitle(r.Rep.Picture))
	b.defense(r, settled)
	b.Words = b.inWords(r)
	b.bare()
	return b.done()
}

// bare leaves one man's duty.
func (b *builder) bare() {
	if b.Options.Bare == "" {
		return
	}
	other := func(man int) bool { return b.Men[man].Name != b.Options.Bare }
	b.Zones = slices.DeleteFunc(b.Zones, func(z Zone) bool { return other(z.Man) })
	b.Ties = slices.DeleteFunc(b.Ties, func(t Tie) bool { return other(t.Man) })
	b.Fits = slices.DeleteFunc(b.Fits, func(f Fit) bool { return other(f.Man) })
}

// Finding draws finding i of a result: the call as it is owed at that moment, the
// man in conflict, his two threats and by how much he is short. It panics when
// there is no such finding.
func Finding(r *stress.Result, i int, o Options) Scene {
	f := &r.Findings[i]
	b := ofResult(r, o)
	b.title(r.Rep.Setup.Compiled.Call.Name + " against " + pictureTitle(r.Rep.Picture))
	b.defense(r, f.At)
	b.conflict(r, f)
	b.bare()
	b.Notes = append(b.Notes, r.Sentence(f), "Rule: "+r.Rule(f)+".")
	b.Words = r.Sentence(f) + " " + b.inWords(r)
	return b.done()
}

// A builder fills a scene; receivers come first in Scene.Men, in the picture's
// order, then passer and line, then the defense in the setup's order.
type builder struct {
	Scene
	pic      *picture.Picture
	defense0 int // index of the first defender
}

func newBuilder(p *picture.Picture, clock motion.Clock, o Options) *builder {
	b := &builder{pic: p}
	b.Options, b.Field.Spot, b.Passer = o, p.Spot, clock.Passer
	if b.Field.Spot.Level == 0 {
		b.Field.Spot.Level = field.HighSchool
	}
	for i := range p.Receivers {
		r := &p.Receivers[i]
		b.Men = append(b.Men, Man{Kind: Eligible, At: r.At, Mark: eligibleMark(r), Name: eligibleName(p, r)})
		b.route(i, r)
	}
	b.Men = append(b.Men, Man{Kind: Passer, At: field.Point{Y: -4}, Name: "QB"})
	for n := -2; n <= 2; n++ {
		kind, name := Lineman, "lineman"
		if n == 0 {
			kind, name = Center, "center"
		}
		b.Men = append(b.Men, Man{Kind: kind, At: field.Point{X: lineGap * float64(n), Y: lineDepth}, Name: name})
	}
	b.defense0 = len(b.Men)
	b.carry(clock)
	return b
}

// carry is from the first back, or from the passer of an empty backfield, to
// where the engine puts the run.
func (b *builder) carry(clock motion.Clock) {
	if b.pic.Family == picture.Run {
		b.run()
		return
	}
	if clock.Mesh == 0 {
		return
	}
	from := field.Point{Y: -4}
	for i := range b.pic.Receivers {
		if r := &b.pic.Receivers[i]; r.Back && r.Blocks() {
			from = r.At
			break
		}
	}
	b.Run = &Carry{From: from, To: field.Point{Y: 1}}
}

func ofResult(r *stress.Result, o Options) *builder {
	g := r.Rep
	return newBuilder(g.Picture, g.Clock, o)
}

func (b *builder) title(s string) {
	b.Title = s
	if b.Options.Title != "" {
		b.Title = b.Options.Title
	}
}

// route samples the engine's path; straight runs keep their corners only.
func (b *builder) route(i int, r *picture.Receiver) {
	rt := Route{Man: i, Blocks: r.Blocks()}
	if !rt.Blocks {
		rt.Path = trace(r.Path, drawn)
		rt.Stops = r.Path.Done <= drawn && b.settles(r.Path, rt.Path)
		for _, k := range r.Path.Breaks {
			if k.T < drawn {
				rt.Breaks = append(rt.Breaks, Break{r.Path.At(k.T), k.Depth})
			}
		}
		if r.Other != nil {
			b.Routes = append(b.Routes, Route{Man: i, Path: trace(r.Other, drawn), Branch: true,
				Stops: r.Other.Done <= drawn && b.settles(r.Other, trace(r.Other, drawn))})
		}
	}
	b.Routes = append(b.Routes, rt)
}

// settles says that who has run a path stands there: where only the edge of the field ends it he
// runs on, and no stop is drawn.
func (b *builder) settles(p *picture.Path, drawn []field.Point) bool {
	if n := len(p.Breaks); n > 0 && p.Breaks[n-1].Turn == picture.Stop || len(drawn) == 0 {
		return true
	}
	const edge field.Yards = 2
	end := drawn[len(drawn)-1]
	spot := b.Field.Spot
	return end.X < spot.Sideline(1)-edge && end.X > -spot.Sideline(-1)+edge && end.Y < spot.EndLine()-edge
}

// trace returns the corners of a path from the snap until a moment.
func trace(p *picture.Path, until field.Seconds) []field.Point {
	var out []field.Point
	for k := 0; float64(k-1)*picture.Step < until; k++ {
		q := p.At(min(until, float64(k)*picture.Step))
		n := len(out)
		switch {
		case n > 0 && q.Dist(out[n-1]) < 1e-6:
		case n > 1 && straight(out[n-2], out[n-1], q):
			out[n-1] = q
		default:
			out = append(out, q)
		}
	}
	return out
}

// straight says that b lies on the way from a to c.
func straight(a, b, c field.Point) bool {
	u, v := b.Sub(a), c.Sub(b)
	return u.Dot(v) > 0.9999*u.Len()*v.Len()
}

// defense puts the men of a call on the field, with what they owe at t.
func (b *builder) defense(r *stress.Result, t field.Seconds) {
	setup := r.Rep.Setup
	marks := defenderMarks(setup)
	for j := range setup.Men {
		m := &setup.Men[j]
		kind := Defender
		if motion.Rushes(m) {
			kind = Rusher
		}
		b.Men = append(b.Men, Man{Kind: kind, At: m.At, Mark: marks[j], Name: m.Slot.Name})
		for _, d := range m.Owed(t) {
			b.owe(b.defense0+j, &d)
		}
		if spot, ok := place(m); ok && duty.ShowsRun(b.pic.Family) && b.pic.Family != picture.Run {
			b.Fits = append(b.Fits, Fit{b.defense0 + j, spot})
		}
	}
	if b.pic.Family == picture.Run {
		b.runFits(r)
	}
}

// place is where a man's run role puts him.
func place(m *duty.Man) (field.Point, bool) {
	spot, ok := call.Place[m.Slot.Fit]
	return field.Point{X: float64(m.Side) * spot.X, Y: spot.Y}, ok
}

func (b *builder) owe(man int, d *duty.Duty) {
	switch {
	case d.Verb == call.InZone:
		lo, hi := -b.Field.Spot.Sideline(-1), b.Field.Spot.Sideline(1)
		mark := d.Zone.Mark // from the hash a landmark may lie off the field
		mark.X = max(lo+2, min(hi-2, mark.X))
		b.Zones = append(b.Zones, Zone{Man: man, Name: strings.TrimPrefix(d.Zone.Name, "side "), Mark: mark, Help: d.Help,
			X0: max(lo, d.Zone.X0), X1: min(hi, d.Zone.X1), Y0: d.Zone.Y0, Y1: d.Zone.Y1})
	case d.Target >= 0 && d.Verb != call.Bump && d.Verb != call.Hold && d.Verb != call.Rush:
		b.Ties = append(b.Ties, Tie{man, d.Target, d.Verb, d.Help || d.Verb == call.Squeeze})
	}
}

// conflict marks the finding: roles of the routes, where the man is when the ball
// is thrown, and the catches he is asked to be at.
func (b *builder) conflict(r *stress.Result, f *stress.Finding) {
	g := r.Rep
	k := releaseOf(g, f.At)
	c := &Conflict{Man: b.defense0 + f.Man, Open: r.Threat(f.Open), ShortYd: f.Size, AtS: f.At}
	for t := 0.0; t < f.At; t += 0.1 {
		p, _ := g.Tracks[f.Man].At(t)
		c.Track = append(c.Track, p)
	}
	c.Stand, _ = g.Tracks[f.Man].At(f.At)
	c.Track = append(c.Track, c.Stand)
	c.OpenAt = g.Of(f.Open)[k].At
	caught := func(th *motion.Throw) field.Seconds { return f.At + th.Flight }
	b.role(g, f.Open, Open, caught(&g.Of(f.Open)[k]))
	switch {
	case f.Other == stress.NoThreat:
	case f.Other == f.Open:
		c.Other, c.OtherIsBy = "the other way", true
		c.OtherAt = g.Mirror[f.Open][k].At
		path := g.Picture.Mirrored(&g.Picture.Receivers[f.Open])
		b.Routes = append([]Route{{Man: f.Open, Path: trace(path, caught(&g.Mirror[f.Open][k])), Stops: path.Done <= drawn,
			Role: Other, Branch: true}}, b.Routes...)
	case f.Other == g.Run:
		c.Other = r.Threat(f.Other)
		c.OtherAt, _ = place(&g.Setup.Men[f.Man])
	default:
		c.Other = r.Threat(f.Other)
		c.OtherAt = g.Of(f.Other)[k].At
		b.role(g, f.Other, Other, caught(&g.Of(f.Other)[k]))
	}
	if f.Open == g.Run {
		c.OpenAt, _ = place(&g.Setup.Men[f.Man])
	}
	b.Conflict = c
}

// releaseOf is the index of a release time.
func releaseOf(g *motion.Rep, t field.Seconds) int {
	return int(math.Round((t - g.Releases[0]) / motion.Tick))
}

// role makes a route stand out, and draws it until the catch at least.
func (b *builder) role(g *motion.Rep, man int, role Role, caught field.Seconds) {
	for i := range b.Routes {
		if r := &b.Routes[i]; r.Man == man && !r.Branch {
			path := g.Picture.Receivers[man].Path
			until := max(drawn, caught)
			r.Role, r.Path = role, trace(path, until)
			r.Stops = path.Done <= until && b.settles(path, r.Path)
		}
	}
}

// done chooses how much of the field is shown.
func (b *builder) done() Scene {
	bottom, top := b.Passer.Y, 12.0
	reach := func(y, room field.Yards) { top = max(top, y+room) }
	for i := range b.Men {
		bottom = min(bottom, b.Men[i].At.Y)
		reach(b.Men[i].At.Y, 2)
	}
	for _, r := range b.Routes {
		for _, k := range r.Breaks {
			reach(k.At.Y, 3.5)
		}
	}
	for _, z := range b.Zones {
		reach(z.Mark.Y, 2.5)
	}
	if c := b.Conflict; c != nil {
		reach(c.OpenAt.Y, 4) // and its label
		if c.Other != "" {
			reach(c.OtherAt.Y, 2.5)
		}
		reach(c.Stand.Y, 2)
	}
	if b.Options.Top > 0 {
		top = b.Options.Top
	}
	if end := b.Field.Spot.EndLine(); end < top+2 {
		top = end + 1
	}
	b.Field.Bottom, b.Field.Top = bottom-2, top
	b.narrow()
	return b.Scene
}

func pictureTitle(p *picture.Picture) string {
	s := p.String()
	if p.Concept != "" {
		s = p.Concept
	}
	return s + " from " + p.Set.Name
}

// inWords tells who stands where and owes what.
func (b *builder) inWords(r *stress.Result) string {
	if b.pic.Family == picture.Run {
		return runInWords(b.pic) + " " + fitsInWords(r)
	}
	var w strings.Builder
	fmt.Fprintf(&w, "The offense from %s: %s. ", b.pic.Set.Name, routesInWords(b.pic))
	var men []string
	for i := b.defense0; i < len(b.Men); i++ {
		if m := &b.Men[i]; m.Kind == Defender {
			men = append(men, m.Name+" "+b.owedInWords(i))
		}
	}
	fmt.Fprintf(&w, "The defense in %s: %s.", r.Rep.Setup.Compiled.Call.Name, strings.Join(men, "; "))
	return w.String()
}

// fitsInWords tells who has which gap of a run.
func fitsInWords(r *stress.Result) string {
	fit, men := r.RunFit(), []string(nil)
	for n, g := range fit.Gaps {
		who := "nobody"
		if j := fit.Man[n]; j >= 0 {
			who = r.Rep.Setup.Men[j].Slot.Name
		}
		men = append(men, who+": "+g.Name)
	}
	return fmt.Sprintf("The defense in %s: %s.", r.Rep.Setup.Compiled.Call.Name, strings.Join(men, "; "))
}

func (b *builder) owedInWords(man int) string {
	var out []string
	for _, z := range b.Zones {
		if z.Man == man {
			out = append(out, "zone "+z.Name)
		}
	}
	for _, t := range b.Ties {
		if t.Man == man {
			out = append(out, verbWords[t.Verb]+" "+b.Men[t.Target].Name)
		}
	}
	if len(out) == 0 {
		return "free"
	}
	return strings.Join(out, " and ")
}

var verbWords = map[call.Verb]string{call.Man: "on", call.Carry: "carries", call.Under: "under",
	call.HelpOn: "helps on", call.Read: "reads", call.Squeeze: "squeezes"}

func routesInWords(p *picture.Picture) string {
	var out []string
	for i := range p.Receivers {
		r := &p.Receivers[i]
		if r.Blocks() {
			continue
		}
		s := eligibleName(p, r) + " " + r.Route.Name
		switch {
		case r.Route.Vertical:
		case r.Depth < 0:
			s += " " + yd(-r.Depth) + " behind the line"
		default:
			s += " at " + yd(r.Depth)
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}
