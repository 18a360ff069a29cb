package motion

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// Rushes says that a man rushes from the snap.
func Rushes(m *duty.Man) bool { return m.Shifts[0].Duties[0].Verb == call.Rush }

// measure fills what man j owes, his windows and how near he is to each catch.
func (g *Rep) measure(j int) {
	releases, window, gap := len(g.Releases), g.Window[j], g.Gap[j]
	tr, owes := &g.Tracks[j], g.men[j].owes
	for k, t := range g.Releases {
		to, owed := 0, g.Setup.Men[j].Owed(t)
		for _, i := range g.Live[k] {
			grade := g.grade(j, i, owed, &g.Of(i)[k])
			if grade == 2 && i != g.Run {
				to++
			}
			if runsWith(owed, i) {
				grade |= manBit
			}
			owes[i*releases+k] = uint8(grade)
		}
		g.men[j].torn[k] = uint8(to)
		mine, others := g.late(to, owed)
		own, other := tr.reacted(t, mine), tr.reacted(t, others)
		var soon reaction
		turns := g.Setup.Men[j].ShiftAt(t) != g.Setup.Men[j].ShiftAt(t+others)
		for _, i := range g.Live[k] {
			th, from := &g.Of(i)[k], &other
			if owes[i*releases+k]&gradeBits > 0 {
				from = &own
			} else if turns {
				if at := g.due(j, i, k, mine, others); at < others {
					soon = tr.reacted(t, at)
					from = &soon
				}
			}
			w := g.miss(j, tr, from, g.target(j, i, th), th)
			window[i][k] = w
			if th.By == th.Flight && i != g.Run {
				gap[i][k] = max(0, w+g.Params.Contest) // he is measured at the catch
			} else {
				gap[i][k] = g.gap(j, from, th)
			}
		}
		g.men[j].eyes[k] = g.sees(j, t, owed)
	}
}

// late is how long after a release a man breaks on a ball that is his, and on another: his
// own the later the more of the live throws he owes, by Hick's law (Hick 1952): a + b log2(n).
func (g *Rep) late(to int, owed []duty.Duty) (mine, others field.Seconds) {
	mine, others = g.Params.Reaction, g.Params.Late
	if to > 1 {
		mine += g.Params.Choice * math.Log2(float64(to))
	}
	switch {
	case g.busy(owed):
		others = g.Params.Busy
	case g.Line() > 0:
		others = g.Params.Reaction
	}
	return mine, others
}

// reactions is how long after release k man j breaks on a ball to threat i.
func (g *Rep) reactions(j, k, i int) field.Seconds {
	mine, others := g.late(g.Torn(j, k), g.Setup.Men[j].Owed(g.Releases[k]))
	if g.Owes(j, i, k) > 0 {
		return mine
	}
	return g.due(j, i, k, mine, others)
}

// due is how long after release k man j breaks on a throw i that is not his yet: as on his own
// once his rule gives it to him, if that is before he would see that it is another's.
func (g *Rep) due(j, i, k int, mine, others field.Seconds) field.Seconds {
	m, t := &g.Setup.Men[j], g.Releases[k]
	for n := range m.Shifts {
		s := &m.Shifts[n]
		if s.From > t && s.From < t+others && g.grade(j, i, s.Duties, &g.Of(i)[k]) == 2 {
			return min(others, max(mine, s.From-t))
		}
	}
	return others
}

// Torn is how many of the throws that are live at release k are man j's own.
func (g *Rep) Torn(j, k int) int { return int(g.men[j].torn[k]) }

// Owes says how a man owes threat i for a ball released at release k: 2 own, 1
// help, 0 nothing.
func (g *Rep) Owes(j, i, k int) int { return int(g.men[j].owes[i*len(g.Releases)+k] & gradeBits) }

// Comes is how man j owes throw i of release k by when it comes down, once the receiver has declared.
func (g *Rep) Comes(j, i, k int) int {
	th := &g.Of(i)[k]
	return g.grade(j, i, g.Setup.Men[j].Owed(g.Releases[k]+th.Flight), th)
}

// Mans says that a man plays receiver i man to man at release k.
func (g *Rep) Mans(j, i, k int) bool { return g.men[j].owes[i*len(g.Releases)+k]&manBit != 0 }

const gradeBits, manBit = 3, 4

func runsWith(owed []duty.Duty, i int) bool {
	for n := range owed {
		if d := &owed[n]; d.Target == i && (d.Verb == call.Man || d.Verb == call.Carry) {
			return true
		}
	}
	return false
}

// Of returns the throws to a threat: a receiver, or the run.
func (g *Rep) Of(i int) []Throw { return g.throws[i] }

func (pl *Play) of(i int, jammed uint8) []Throw {
	if i == len(pl.Picture.Receivers) {
		return pl.run
	}
	return pl.Throws[jammed>>i&1][i]
}

// jams finds the receivers somebody delays: a bump, or press alignment on him.
func (p *Params) jams(s *duty.Setup) uint8 {
	var out uint8
	for j := range s.Men {
		m := &s.Men[j]
		for _, sh := range m.Shifts {
			for _, d := range sh.Duties {
				if d.Target < 0 || s.Picture.Receivers[d.Target].Back {
					continue
				}
				near := math.Abs(m.At.X-s.Picture.Receivers[d.Target].At.X) < p.Press
				if d.Verb == call.Bump && sh.From < p.BumpBy || m.Technique == "press" && d.Verb != call.HelpOn && near {
					out |= 1 << d.Target
				}
			}
		}
	}
	return out
}

func (pl *Play) mover(s *duty.Setup, m *duty.Man, jammed uint8) mover {
	mv := mover{pl: pl, setup: s, m: m, body: pl.body(m.Slot.Runs), jammed: jammed, until: pl.Clock.FitUntil}
	mv.start = pl.Params.Start
	if !pl.readsRun() {
		return mv
	}
	if call.Inside(m.Slot.Fit) {
		mv.start += pl.Params.RunRead
	}
	if spot, ok := call.Place[m.Slot.Fit]; ok && pl.Clock.FitUntil > 0 {
		mv.fits, mv.fit = true, field.Point{X: float64(m.Side) * spot.X, Y: spot.Y}
	}
	return mv
}

// runThrows makes the inside run a threat: released at the same moment as the
// ball could be thrown, it reaches the line a while after the mesh.
func (pl *Play) runThrows() []Throw {
	out := make([]Throw, len(pl.Releases))
	if pl.Clock.Mesh == 0 {
		return out
	}
	for k, t := range pl.Releases {
		spot := field.Point{X: 0, Y: 1}
		at := max(pl.Clock.Mesh+pl.Params.ToLine-t, pl.Params.Soonest)
		by := pl.moment(t + at)
		out[k] = Throw{At: spot, Flight: at, Contest: spot, By: at, Live: true, caught: by, met: by}
	}
	return out
}

// target is where man j must be for a threat: the catch, or his own fit.
func (g *Rep) target(j, i int, th *Throw) field.Point {
	if i == g.Run {
		m := &g.Setup.Men[j]
		if p, ok := call.Place[m.Slot.Fit]; ok {
			return field.Point{X: float64(m.Side) * p.X, Y: p.Y}
		}
	}
	return th.Contest
}

func (g *Rep) grade(j, i int, owed []duty.Duty, th *Throw) int {
	m := &g.Setup.Men[j]
	if i == g.Run {
		if g.Clock.Mesh > 0 && call.Inside(m.Slot.Fit) {
			return 2
		}
		return 0
	}
	best, under := 0, &g.Params.Under
	for n := range owed {
		d := &owed[n]
		grade := 2
		if d.Help || d.Verb == call.Squeeze {
			grade = 1
		}
		switch {
		case d.Verb == call.InZone:
			if !d.Zone.Holds(th.At) {
				continue
			}
		case d.Target != i || d.Verb == call.Bump:
			continue
		case d.Verb == call.Under && (th.At.Y > under.Deep || th.At.X*float64(m.Side) < -under.Past):
			continue // deep, or across the ball, he is someone else's
		}
		best = max(best, grade)
	}
	return best
}

// busy says that a man has a receiver of his own to run with: his eyes are on
// him, not on the ball.
func (g *Rep) busy(owed []duty.Duty) bool {
	for i := range owed {
		d := &owed[i]
		if d.Target >= 0 && (d.Verb == call.Man || d.Verb == call.Carry) && !g.Picture.Receivers[d.Target].Blocks() {
			return true
		}
	}
	return false
}

// A reaction is where a man is, and how he runs, when he breaks on a ball.
type reaction struct {
	after field.Seconds // of the release
	p, v  field.Point
}

func (tr *Track) reacted(t, after field.Seconds) reaction {
	p, v := tr.At(t + after)
	return reaction{after, p, v}
}

// miss is by how much man j on a way misses the throw: he breaks on the ball from his
// reaction on, with his momentum, or goes on with what he does.
func (g *Rep) miss(j int, tr *Track, from *reaction, at field.Point, th *Throw) field.Yards {
	p := tr.where(&th.met)
	chase := at.Dist(p) - g.Params.Contest
	s := th.By - from.after
	if s <= 0 {
		return chase
	}
	drift := g.bodies[j].drift(s)
	return min(chase, at.Dist(from.p.Add(from.v.Times(drift)))-g.bodies[j].speed.Max*(s-drift)-g.Params.Contest)
}

// par measures the reference man: off his receiver with nothing else to do, the
// better of inside and outside shade.
func (pl *Play) par(i int) {
	r, ref := &pl.Picture.Receivers[i], &pl.Params.Par
	set := &duty.Setup{Picture: pl.Picture}
	tr := Track{make([]field.Point, pl.frames), make([]field.Point, pl.frames), pl.raster}
	for n, shade := range []float64{-ref.Shade, ref.Shade} {
		x, side := r.At.X+shade, 1
		if r.Back {
			x = float64(r.Side) * (ref.Back + shade)
		}
		if x < 0 {
			side = -1
		}
		class := "back"
		if r.Back {
			class = "linebacker"
		}
		slot := &call.Slot{Defender: &call.Defender{Body: class}, Runs: class}
		m := duty.Man{Slot: slot, Side: side, At: field.Point{X: x, Y: ref.Off},
			Shifts: []duty.Shift{{Duties: []duty.Duty{{Verb: call.Man, Target: i}}}}}
		set.Men = []duty.Man{m}
		mv := pl.mover(set, &set.Men[0], 0)
		mv.alone = true
		mv.run(&tr)
		g := &Rep{Play: pl, Setup: set, Tracks: []Track{tr}, bodies: []*body{mv.body}}
		for jam := range pl.Throws {
			for k, t := range pl.Releases {
				th, from := &pl.Throws[jam][i][k], tr.reacted(t, pl.Params.Reaction)
				w := g.miss(0, &tr, &from, th.Contest, th)
				if gap := g.gap(0, &from, th); n == 0 || gap < th.ParGap {
					th.ParGap = gap
				}
				if n == 0 || w < th.Par {
					th.Par = w
				}
			}
		}
	}
}
