package motion

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// A fellow is the man who has a receiver from the snap, as another man must go round him.
type fellow struct {
	there bool
	at    field.Point // where he lines up
}

// fellows are by receiver.
type fellows [6]fellow

// pairsUp lists who has each receiver from the snap, -1 nobody.
func pairsUp(s *duty.Setup) (of [6]int) {
	for i := range of {
		of[i] = -1
	}
	for j := range s.Men {
		for _, d := range s.Men[j].Shifts[0].Duties {
			if d.Verb == call.Man && d.Target >= 0 && !d.Help && of[d.Target] < 0 {
				of[d.Target] = j
			}
		}
	}
	return of
}

// fellowsOf are the men whom man j may run into: those of receivers who come near his own.
func (pl *Play) fellowsOf(s *duty.Setup, j int, of *[6]int) (out fellows) {
	for _, sh := range s.Men[j].Shifts {
		for _, d := range sh.Duties {
			if d.Target < 0 || d.Verb != call.Man && d.Verb != call.Carry && d.Verb != call.Under && d.Verb != call.Read {
				continue
			}
			for _, i := range pl.runs {
				if o := of[i]; o >= 0 && o != j && pl.meet[d.Target]>>i&1 == 1 {
					out[i] = fellow{true, s.Men[o].At}
				}
			}
		}
	}
	return out
}

// meeting finds the receivers who come together with each while balls can be thrown.
func (pl *Play) meeting() (out [6]uint8) {
	for _, a := range pl.runs {
		for _, b := range pl.runs {
			p, q := pl.Picture.Receivers[a].Path, pl.Picture.Receivers[b].Path
			for t := field.Seconds(0); a != b && t <= pl.Clock.Last; t += Tick {
				if p.At(t).Dist(q.At(t)) < pl.Params.Bodies.Together {
					out[a] |= 1 << b
					break
				}
			}
		}
	}
	return out
}

// places are where receivers are at one moment, by receiver and whether he is delayed.
type places [6][2]field.Point

// stands is where receiver i is: half-way through a whole step by the table.
func (mv *mover) stands(i int, t field.Seconds) field.Point {
	if k := mv.frame; k >= 0 {
		return mv.pl.stands[k][i][mv.jammed>>i&1]
	}
	return mv.pl.Picture.Receivers[i].Path.At(t - mv.delay(i))
}

// traffic is the speed a man defender has on his way to his receiver among the bodies of
// the others and of the men who have them.
func (mv *mover) traffic(t field.Seconds, seen *glimpse, p, want field.Point, d *duty.Duty) field.YardsPerSecond {
	b := &mv.pl.Params.Bodies
	gap := seen.pos.Sub(p)
	far, pace := gap.Dot(gap), want.Dot(want) // squared, and so the same above one or below
	if mv.alone || far < 1 || pace < 1 || mv.lost >= b.Most {
		return mv.body.speed.Max
	}
	way := want.Times(1 / math.Sqrt(pace))
	for _, i := range mv.pl.runs {
		if i == d.Target {
			continue
		}
		at, slow := mv.stands(i, t), 0.0
		if body := at.Sub(p); body.Dot(body) < b.Round*b.Round { // as few are
			slow = b.block(body, way)
		}
		if mv.fellows[i].there {
			slow = max(slow, b.block(mv.fellow(i, t, at).Sub(p), way))
		}
		if slow == 0 {
			continue
		}
		if slow *= b.Cost * clamp(math.Sqrt(far)-1); slow > mv.slowed {
			mv.slowed = slow
		}
	}
	return mv.body.speed.Max * (1 - mv.slowed)
}

// block is how far a body is in the way, 0 to 1: near, and ahead or beside.
func (b *Bodies) block(body, way field.Point) float64 {
	return clamp((b.Round-body.Len())/b.Whole) * clamp(body.Dot(way)+b.Ahead)
}

// fellow is about where the man of receiver i is, who is there himself: he gives ground until his receiver is on
// him, and closes once he has broken.
func (mv *mover) fellow(i int, t field.Seconds, at field.Point) field.Point {
	r, f, b := &mv.pl.Picture.Receivers[i], &mv.fellows[i], &mv.pl.Params.Bodies
	at.X += max(-b.Off, min(b.Off, f.at.X-r.At.X))
	off := field.Point{X: at.X, Y: max(f.at.Y+max(0, t-mv.start), at.Y+b.Gives)}
	at.Y += b.Back
	if bs := r.Path.Breaks; len(bs) > 0 {
		return off.Toward(at, clamp((t-mv.delay(i)-bs[0].T-lag)/b.Closes))
	}
	return off
}

// HeldUp is how many yards nearer man j would be to the throw i of release k if nobody had
// been in his way.
func (g *Rep) HeldUp(j, i, k int) field.Yards {
	if g.men[j].lost == 0 {
		return 0
	}
	return g.heldUp(j, i, k)
}

// heldUp plays him again alone.
func (g *Rep) heldUp(j, i, k int) field.Yards {
	a := g.men[j]
	if a.alone.Pos == nil {
		mv := g.mover(g.Setup, &g.Setup.Men[j], g.Jammed)
		mv.alone = true
		a.alone = g.room.store.track(g.frames)
		mv.run(&a.alone)
	}
	return g.Window[j][i][k] - g.missOn(&a.alone, j, i, k)
}
