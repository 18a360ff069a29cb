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

// sees returns what a man sees of a receiver: as he was a moment ago, carried
// on. Looks half-way through whole steps are kept in tables.
func (mv *mover) sees(i int, t field.Seconds, eyes int) *glimpse {
	if k := mv.step; k >= 0 {
		return &mv.pl.seen[eyes][k][i][mv.jammed>>i&1]
	}
	mv.off[i] = mv.pl.look(i, t-mv.delay(i), mv.pl.age(eyes))
	return &mv.off[i]
}

// Where a defender's eyes are: on his man, or on the passer.
const (
	onMan = iota
	onPasser
)

func (pl *Play) age(eyes int) field.Seconds {
	if eyes == onMan {
		return pl.Params.Perception
	}
	return pl.Params.ZoneEyes
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

// glance fills the tables of sees, by step.
func (pl *Play) glance() {
	for eyes := range pl.seen {
		pl.seen[eyes] = make([]looks, pl.looked())
		for k := range pl.seen[eyes] {
			for i := range pl.Picture.Receivers {
				for jam := range 2 {
					at := (float64(k)+0.5)*pl.Params.Step - float64(jam)*pl.Params.Jam
					pl.seen[eyes][k][i][jam] = pl.look(i, at, pl.age(eyes))
				}
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
