package motion

import (
	"overhang/internal/stress/field"
)

// A glimpse is where a receiver seems to be, how fast, and how far his break has
// been taken in: 0 before it can be seen, 1 a fifth of a second later.
type glimpse struct {
	pos, vel field.Point
	broke    float64
}

// looks are glimpses of one moment, by receiver and whether he is delayed.
type looks [6][2]glimpse

// A prospect is what a man whose eyes are on the passer makes of a receiver: where he meets him,
// on his stem or broken, and where he will be when a deep man must be on top of him.
type prospect struct {
	met, ahead field.Point
	broke      float64
}

// prospects are those of one moment, by receiver and whether he is delayed.
type prospects [6][2]prospect

// sees returns what a man sees of his receiver: as he was a moment ago, carried
// on. Looks half-way through whole steps are kept in tables.
func (mv *mover) sees(i int, t field.Seconds) *glimpse {
	if k := mv.frame; k >= 0 {
		return &mv.pl.seen[k][i][mv.jammed>>i&1]
	}
	mv.off[i] = mv.pl.look(i, t-mv.delay(i), mv.pl.Params.Perception)
	return &mv.off[i]
}

// foresees is the same of all receivers for a man whose eyes are on the passer.
func (mv *mover) foresees(t field.Seconds) *prospects {
	if k := mv.frame; k >= 0 {
		return &mv.pl.foreseen[k]
	}
	return mv.ahead(t)
}

func (mv *mover) ahead(t field.Seconds) *prospects {
	for _, i := range mv.pl.runs {
		mv.far[i][mv.jammed>>i&1] = mv.pl.foresee(i, t-mv.delay(i))
	}
	return &mv.far
}

func (pl *Play) look(i int, t, age field.Seconds) glimpse {
	path := pl.Picture.Receivers[i].Path
	g := glimpse{vel: path.VelAt(t - age)}
	g.pos = path.At(t - age).Add(g.vel.Times(age))
	if bs := path.Breaks; len(bs) > 0 {
		g.broke = clamp((t - bs[0].T - age) / lag)
	}
	return g
}

func (pl *Play) foresee(i int, t field.Seconds) prospect {
	g, z := pl.look(i, t, pl.Params.ZoneEyes), &pl.Params.Zone
	return prospect{g.pos.Add(g.vel.Times(z.Stem - z.Broken*g.broke)), g.pos.Add(g.vel.Times(pl.Params.Ahead)), g.broke}
}

// glance fills the tables of sees, foresees and stands, by frame: each is looked at half-way through.
func (pl *Play) glance() {
	n := pl.frames
	pl.seen, pl.foreseen, pl.stands = make([]looks, n), make([]prospects, n), make([]places, n)
	for k := range n {
		t, dt := pl.time(k)
		step := k
		if k >= pl.fine {
			step = pl.fine + coarse*(k-pl.fine) + coarse/2
		}
		for i := range pl.Picture.Receivers {
			for jam := range 2 {
				late := float64(jam) * pl.Params.Jam
				at := (float64(step)+0.5)*pl.Params.Step - late
				pl.seen[k][i][jam] = pl.look(i, at, pl.Params.Perception)
				pl.foreseen[k][i][jam] = pl.foresee(i, at)
				pl.stands[k][i][jam] = pl.Picture.Receivers[i].Path.At(t + dt/2 - late)
			}
		}
	}
}

func (mv *mover) delay(i int) field.Seconds {
	if mv.jammed&(1<<i) != 0 {
		return mv.pl.Params.Jam
	}
	return 0
}
