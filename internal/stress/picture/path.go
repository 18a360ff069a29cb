package picture

import (
	"cmp"
	"math"

	"overhang/internal/stress/field"
)

// Step and Horizon of a path's table: positions between two entries are
// interpolated linearly (error under 0.01 yd at the accelerations of a man).
const (
	Step    field.Seconds = 0.05
	Horizon field.Seconds = 7
	entries               = int(Horizon/Step) + 2
)

// Constants of how a route is run; defaults of the model, see package stress.
const (
	startDelay = 0.3  // snap to first step: measured median 0.4 s to 1 yd/s
	braking    = 5.5  // yd/s2 before a cut: measured p90 of peak deceleration
	cutLoss    = 0.75 // speed kept through a cut of angle A is 1 - cutLoss sin(A/2): assumed
	margin     = 1.2  // room a receiver keeps to the sideline
)

// A Turn is the way a route breaks, seen from the receiver's own side.
type Turn int

const (
	Straight Turn = iota // goes on
	Out                  // toward his sideline
	In                   // toward the middle
	Stop                 // turns to the passer
	Up                   // upfield
)

var turnNames = [...]string{"straight", "out", "in", "stop", "up"}

// String is the word of the turn.
func (t Turn) String() string { return turnNames[t] }

// A Break is one change of direction of a route.
type Break struct {
	T     field.Seconds // when he makes it
	Depth field.Yards
	Turn  Turn
	// Climbs says that it takes him upfield as well as across: a slant does, a shallow does not.
	Climbs bool
}

// A Path is where a receiver is over time.
type Path struct {
	Pos, Vel [entries]field.Point
	Breaks   []Break
	Stem     field.Seconds // when he has run the first piece
	Done     field.Seconds // when he settles at the end of his route, +Inf if he runs on
	deepest  [entries]field.Yards
}

// At returns his position t seconds after the snap.
func (p *Path) At(t field.Seconds) field.Point {
	i, f := slot(t)
	a, b := &p.Pos[i], &p.Pos[i+1]
	return field.Point{X: a.X + f*(b.X-a.X), Y: a.Y + f*(b.Y-a.Y)}
}

// VelAt returns his velocity t seconds after the snap.
func (p *Path) VelAt(t field.Seconds) field.Point {
	i, f := slot(t)
	a, b := &p.Vel[i], &p.Vel[i+1]
	return field.Point{X: a.X + f*(b.X-a.X), Y: a.Y + f*(b.Y-a.Y)}
}

func slot(t field.Seconds) (int, float64) {
	u := t * (1 / Step)
	if u <= 0 {
		return 0, 0
	}
	i := int(u)
	if i >= entries-1 {
		return entries - 2, 1
	}
	return i, u - float64(i)
}

// Crosses returns when he is first deeper than y, +Inf if never.
func (p *Path) Crosses(y field.Yards) field.Seconds {
	i, end := 0, entries
	for i < end {
		if mid := (i + end) / 2; p.deepest[mid] > y {
			end = mid
		} else {
			i = mid + 1
		}
	}
	if i == entries {
		return math.Inf(1)
	}
	if i == 0 {
		return 0
	}
	a, b := p.Pos[i-1].Y, p.Pos[i].Y
	return (float64(i-1) + max(0, (y-a)/(b-a))) * Step
}

// Passes returns when two receivers are first level across, having started apart:
// who was inside of the other is outside from then on. +Inf if never.
func (p *Path) Passes(q *Path) field.Seconds {
	was := p.Pos[0].X - q.Pos[0].X
	for i := 1; i < entries; i++ {
		if now := p.Pos[i].X - q.Pos[i].X; now*was < 0 {
			before := p.Pos[i-1].X - q.Pos[i-1].X
			return (float64(i) - now/(now-before)) * Step
		}
	}
	return math.Inf(1)
}

// trace makes the path of a receiver, and the other branch of an option.
func (p *Picture) trace(r *Receiver) {
	speed := p.Runner
	if r.Back {
		speed = p.Back
	}
	r.Path = p.run(r, r.corners(), speed)
	if r.Route.Mirror {
		legs := r.corners()
		last := len(legs) - 1
		legs[last].dir = -legs[last].dir
		r.Other = p.run(r, legs, speed)
	}
}

// A vertical release that drifts so far outside is a two-way release: he may yet break
// to the flat at the depth of a quick out. Common practice, no source.
const (
	driftOut  field.Yards = 4
	forkDepth field.Yards = 5
)

// Fork is when a route shows which of its two branches it is, and which way it goes:
// its last break, or, of a two-way release, where he could have broken to the flat.
func (r *Receiver) Fork() (field.Seconds, Turn) {
	if n := len(r.Path.Breaks); n > 0 {
		return r.Path.Breaks[n-1].T, r.Path.Breaks[n-1].Turn
	}
	if r.twoWay() {
		return r.Path.Crosses(forkDepth), Out
	}
	return math.Inf(1), Straight
}

func (r *Receiver) twoWay() bool { return r.Route.Vertical && !r.Back && r.Route.DriftOut >= driftOut }

// Mirrored returns the other branch of a route: with its last break mirrored, or,
// for a double move that ends upfield, going on without the second break, or, for a
// two-way release, the break to the flat. It returns nil for a route that shows one
// thing only.
func (p *Picture) Mirrored(r *Receiver) *Path {
	legs := r.corners()
	if len(legs) < 2 || r.Route.Over {
		return nil
	}
	last := len(legs) - 1
	if r.twoWay() {
		stem := &legs[last-1].to
		x := float64(r.Side) * r.At.X
		stem.X, stem.Y = x+(stem.X-x)*forkDepth/stem.Y, forkDepth
		legs[last].dir = 88
		return p.run(r, legs, p.Runner)
	}
	switch turn(legs[last].dir) {
	case Out, In:
		legs[last].dir = -legs[last].dir
	case Up:
		if before := legs[last-1]; before.toward || turn(before.dir) == Up {
			return nil
		}
		legs = legs[:last]
		legs[last-1].length = 0
	default:
		return nil
	}
	speed := p.Runner
	if r.Back {
		speed = p.Back
	}
	return p.run(r, legs, speed)
}

// A piece is a straight run in own-side terms: to a point, or in a direction.
type piece struct {
	to     field.Point // used when toward is true
	toward bool
	dir    float64 // degrees
	length field.Yards
}

// corners lays the route out as straight pieces, the first one the stem.
func (r *Receiver) corners() []piece {
	rt := r.Route
	at := field.Point{X: float64(r.Side) * r.At.X, Y: r.At.Y} // own-side: x grows toward his sideline
	var out []piece
	switch {
	case rt.Block:
		return nil
	case r.Release != 0:
		at.X += 4 * float64(r.Release)
		at.Y = 4
		out = append(out, piece{to: at, toward: true})
	}
	switch {
	case rt.Over:
		stem := min(5, r.Depth/2)
		out = append(out, piece{to: field.Point{X: at.X, Y: stem}, toward: true},
			piece{to: field.Point{X: 0, Y: r.Depth}, toward: true},
			piece{to: field.Point{X: -17, Y: r.Depth + 5}, toward: true})
		return out
	case rt.Vertical:
		x := at.X + rt.DriftOut
		if rt.Widest > 0 {
			x = min(x, rt.Widest)
		}
		if r.Back {
			out = append(out, piece{to: field.Point{X: rt.BackX, Y: 1}, toward: true})
			x = rt.BackX + rt.DriftOut
		}
		return append(out, piece{to: field.Point{X: x, Y: 14}, toward: true}, piece{dir: 0})
	case r.Back && rt.BackX != 0:
		out = append(out, piece{to: field.Point{X: rt.BackX, Y: r.Depth}, toward: true})
	case rt.FirstDir != 0:
		out = append(out, piece{dir: 0, length: rt.First},
			piece{dir: rt.FirstDir, length: (r.Depth - rt.First) / math.Cos(rt.FirstDir*math.Pi/180)})
	default:
		x := at.X + rt.StemOut - rt.StemIn
		if rt.StemTo != 0 {
			x = rt.StemTo
		}
		out = append(out, piece{to: field.Point{X: x, Y: r.Depth}, toward: true})
	}
	for _, l := range rt.Legs {
		out = append(out, piece{dir: l.Dir, length: l.Len})
	}
	return out
}

// turn classes a direction after a break, in degrees from upfield.
func turn(dir float64) Turn {
	switch a := math.Abs(dir); {
	case a < 25:
		return Up
	case a > 125:
		return Stop
	case dir > 0:
		return Out
	default:
		return In
	}
}

// flat is the angle from upfield from which on a break is flat: 20 degrees and less above the line,
// as a slant (some 45 degrees, trade notes section 1) is not. Common practice, no source.
const flat = 70

// climbs says that the way that begins with these directions goes upfield when it has turned.
func climbs(dirs []field.Point) bool {
	n := 0
	for n+1 < len(dirs) && turn(angle(dirs[n+1])) == turn(angle(dirs[0])) {
		n++ // he bends on the same way
	}
	return math.Abs(angle(dirs[n])) < flat
}

// run moves the receiver along the pieces: he accelerates as a sprinter does,
// brakes for each cut, settles at the end or at the sideline, and keeps a table.
func (p *Picture) run(r *Receiver, pieces []piece, speed field.Speed) *Path {
	path := &Path{Done: math.Inf(1)}
	side := float64(r.Side)
	start := startDelay + r.Route.Delay
	if r.Fake {
		start += 0.9
	}
	nodes, dirs := p.polyline(r, pieces)
	const sub = 10 // integration steps an entry
	const dt = Step / sub
	var s, v float64 // distance along the polyline and speed
	seg := 0
	total := nodes[len(nodes)-1].s
	settles := r.Route.Settle || r.Route.Over || p.edge(r, nodes[len(nodes)-1].at)
	next := 0
	for i := 0; ; i++ {
		t := float64(i) * dt
		if i%sub == 0 {
			at, dir := point(nodes, dirs, s, seg)
			if next >= entries {
				break
			}
			path.Pos[next] = field.Point{X: side * at.X, Y: at.Y}
			path.Vel[next] = field.Point{X: side * dir.X * v, Y: dir.Y * v}
			next++
		}
		if t < start || len(dirs) == 0 || s >= total {
			v = 0
			continue
		}
		v += (speed.Max - v) / speed.Tau * dt
		v = min(v, brake(nodes, dirs, seg, s, speed.Max, settles))
		s += v * dt
		if s >= total {
			s, v = total, 0
			path.Done = t
		}
		for seg < len(dirs)-1 && s >= nodes[seg+1].s {
			seg++
			if seg == 1 {
				path.Stem = t
			}
			b := Break{T: t, Depth: nodes[seg].at.Y, Turn: turn(angle(dirs[seg])), Climbs: climbs(dirs[seg:])}
			prev := turn(angle(dirs[seg-1]))
			released := r.Release != 0 && len(path.Breaks) == 0 && b.Turn == Up // the release is no break
			if (b.Turn != prev || b.Turn == Stop) && !released {
				path.Breaks = append(path.Breaks, b)
			}
		}
	}
	path.declareRelease(start, nodes, dirs, r)
	for i := range path.deepest {
		path.deepest[i] = path.Pos[i].Y
		if i > 0 {
			path.deepest[i] = max(path.deepest[i], path.deepest[i-1])
		}
	}
	return path
}

// declareRelease records a release that is a break by itself: a route that
// leaves its place at a slant declares half a second after its start.
func (path *Path) declareRelease(start field.Seconds, nodes []node, dirs []field.Point, r *Receiver) {
	if len(dirs) == 0 || r.Release != 0 {
		return
	}
	t := turn(angle(dirs[0]))
	if t == Up || t == Stop {
		return
	}
	b := Break{T: start + 0.5, Depth: max(path.At(start+0.5).Y, 0), Turn: t, Climbs: climbs(dirs)}
	rest := path.Breaks
	if len(rest) > 0 && rest[0].Turn == t {
		rest = rest[1:]
	}
	if len(rest) > 0 && rest[0].T <= b.T {
		return
	}
	path.Breaks = append([]Break{b}, rest...)
}

type node struct {
	at field.Point // own-side
	s  field.Yards // along the way
}

// polyline turns pieces into corners with their distance along the way, cut at
// the sidelines and the end line.
func (p *Picture) polyline(r *Receiver, pieces []piece) ([]node, []field.Point) {
	at := field.Point{X: float64(r.Side) * r.At.X, Y: r.At.Y}
	nodes := []node{{at: at}}
	var dirs []field.Point
	for _, pc := range pieces {
		from := nodes[len(nodes)-1]
		to := pc.to
		if !pc.toward {
			a := pc.dir * math.Pi / 180
			to = from.at.Add(field.Point{X: math.Sin(a), Y: math.Cos(a)}.Times(cmp.Or(pc.length, 60)))
		}
		to, cut := p.inside(r, from.at, to)
		d := to.Sub(from.at)
		if l := d.Len(); l > 0.01 {
			nodes = append(nodes, node{to, from.s + l})
			dirs = append(dirs, d.Times(1/l))
		}
		if cut {
			break
		}
	}
	return nodes, dirs
}

// inside cuts the run from a to b at the edge of the field, keeping a margin.
func (p *Picture) inside(r *Receiver, a, b field.Point) (field.Point, bool) {
	lo, hi := -p.Spot.Sideline(-r.Side), p.Spot.Sideline(r.Side)
	k := 1.0
	clip := func(from, to, edge float64) {
		if to != from {
			if u := (edge - from) / (to - from); u >= 0 && u < k {
				k = u
			}
		}
	}
	if b.X > hi-margin {
		clip(a.X, b.X, hi-margin)
	}
	if b.X < lo+margin {
		clip(a.X, b.X, lo+margin)
	}
	if end := p.Spot.EndLine() - 1; b.Y > end {
		clip(a.Y, b.Y, end)
	}
	return a.Toward(b, k), k < 1
}

// edge says that a route's last point is at the edge of the field, where he settles.
func (p *Picture) edge(r *Receiver, at field.Point) bool {
	_, cut := p.inside(r, field.Point{X: 0, Y: 0}, at.Times(1.05))
	return cut
}

// point returns the place and direction at distance s, on segment seg.
func point(nodes []node, dirs []field.Point, s float64, seg int) (field.Point, field.Point) {
	if len(dirs) == 0 {
		return nodes[0].at, field.Point{}
	}
	return nodes[seg].at.Add(dirs[seg].Times(s - nodes[seg].s)), dirs[seg]
}

func angle(d field.Point) float64 { return math.Atan2(d.X, d.Y) * 180 / math.Pi }

// brake is the speed from which he can still brake for the cuts ahead.
func brake(nodes []node, dirs []field.Point, seg int, s float64, vmax float64, settles bool) float64 {
	limit := math.Inf(1)
	for k := seg + 1; k < len(nodes); k++ {
		v := 0.0
		if k < len(dirs) {
			half := math.Acos(max(-1, min(1, dirs[k-1].Dot(dirs[k])))) / 2
			v = vmax * (1 - cutLoss*math.Sin(half))
		} else if !settles {
			break
		}
		limit = min(limit, math.Sqrt(v*v+2*braking*max(0, nodes[k].s-s))+0.05)
	}
	return limit
}
