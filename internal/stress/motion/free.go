package motion

import (
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// A Boost changes a man's body from the declaration on. The zero Boost changes
// nothing.
type Boost struct {
	Speed    float64       // factor on top speed, 0 means 1
	Reaction field.Seconds // added to the reaction
}

// A Free is what one man could do about one throw if he went for it as soon as
// it declared.
type Free struct {
	Miss   field.Yards // how far from the catch he would be when the ball arrives
	Center field.Point // spots within Radius of it reach the catch, with his velocity
	Radius field.Yards
}

// Between is the price of standing between two throws: what the best spot for
// both misses.
func (a *Free) Between(b *Free) field.Yards { return Between(a.Center, a.Radius, b.Center, b.Radius) }

// Free lets man j go for threat i thrown at release k from the moment the
// threat has declared: his own movement until then, his own choice after it.
// Never further than as taught.
func (g *Rep) Free(j, i, k int, b Boost) Free {
	from := g.declared(i, k) + g.Params.Reaction + b.Reaction
	p, v := g.Tracks[j].At(from)
	f := g.free(p, v, from, b.of(g.bodies[j].speed), i, k)
	f.Miss = min(f.Miss, g.Gap[j][i][k])
	return f
}

// FreeFrom is Free for a man more, who has stood at p.
func (g *Rep) FreeFrom(p field.Point, i, k int, b Boost) Free {
	from := g.declared(i, k) + g.Params.Reaction + b.Reaction
	return g.free(p, field.Point{}, from, b.of(g.Params.Speed("back")), i, k)
}

func (b Boost) of(s field.Speed) field.Speed {
	if b.Speed > 0 {
		s.Max *= b.Speed
	}
	return s
}

func (g *Rep) free(p, v field.Point, from field.Seconds, sp field.Speed, i, k int) Free {
	th := &g.Of(i)[k]
	s := max(0, g.Releases[k]+th.Flight-from)
	f := Free{Center: th.At.Sub(v.Times(sp.Drift(s))), Radius: sp.Reach(s)}
	f.Miss = f.Center.Dist(p) - f.Radius
	return f
}

// declared is when a threat has shown itself: its last break, or the throw if
// that comes first.
func (g *Rep) declared(i, k int) field.Seconds {
	t := g.Releases[k]
	if bs := g.Picture.Receivers[i].Path.Breaks; len(bs) > 0 {
		t = min(t, bs[len(bs)-1].T+g.delayOf(i))
	}
	return t
}

func (g *Rep) delayOf(i int) field.Seconds {
	if g.Jammed>>i&1 == 1 {
		return g.Params.Jam
	}
	return 0
}

// A Frame is where all twenty-two are at one moment, for drawing.
type Frame struct {
	T       field.Seconds
	Offense []field.Point // in the order of the picture's receivers, then the passer and the five linemen
	Defense []field.Point // in the order of the setup's men
}

// Timeline returns the positions ten times a second, rushers included, until
// the last ball could have come down. Linemen stand; the passer goes from behind
// the ball to where he throws from by the first release.
func (g *Rep) Timeline() []Frame {
	tracks := append([]Track(nil), g.Tracks...)
	for j := range tracks {
		if m := &g.Setup.Men[j]; Rushes(m) {
			tracks[j] = Track{make([]field.Point, g.frames), make([]field.Point, g.frames), g.raster}
			mv := g.mover(g.Setup, m, g.Jammed)
			mv.rush(&tracks[j])
		}
	}
	end, _ := g.time(g.frames - 1)
	var out []Frame
	for k := 0; float64(k)*0.1 < end; k++ {
		f := Frame{T: float64(k) * 0.1}
		for i := range g.Picture.Receivers {
			f.Offense = append(f.Offense, positionOf(&g.Picture.Receivers[i], f.T-g.delayOf(i)))
		}
		f.Offense = append(f.Offense, field.Point{Y: -4}.Toward(g.Clock.Passer, min(1, f.T/g.Clock.First)))
		for n := -2; n <= 2; n++ {
			f.Offense = append(f.Offense, field.Point{X: 1.6 * float64(n), Y: -0.5})
		}
		for j := range tracks {
			p, _ := tracks[j].At(f.T)
			f.Defense = append(f.Defense, p)
		}
		out = append(out, f)
	}
	return out
}

func positionOf(r *picture.Receiver, t field.Seconds) field.Point { return r.Path.At(t) }
