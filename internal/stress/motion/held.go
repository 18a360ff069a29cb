package motion

import (
	"slices"

	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// Held is how many yards nearer man j would be to the throw i of release k if receiver l
// stayed in: he is told and played again without him.
func (g *Rep) Held(j, i, l, k int) field.Yards {
	at := [2]int{j, l}
	tr, known := g.others[at]
	if !known {
		tr = g.without(j, l)
		if g.others == nil {
			g.others = map[[2]int]Track{}
		}
		g.others[at] = tr
	}
	return g.Window[j][i][k] - g.missOn(&tr, j, i, k)
}

func (g *Rep) without(j, l int) Track {
	pl := *g.Play
	pl.Picture = duty.Without(g.Picture, l)
	pl.runs = slices.DeleteFunc(slices.Clone(pl.runs), func(i int) bool { return i == l })
	m := g.Setup.Told(j, pl.Picture)
	mv := pl.mover(g.Setup, &m, g.Jammed)
	return mv.again()
}

// again plays a man in a track of his own.
func (mv *mover) again() Track {
	tr := Track{make([]field.Point, mv.pl.frames), make([]field.Point, mv.pl.frames), 0, 0}
	mv.run(&tr)
	return tr
}

// missOn is by how much man j would miss the throw i of release k on another way.
func (g *Rep) missOn(tr *Track, j, i, k int) field.Yards {
	free := *g
	free.Tracks = slices.Clone(g.Tracks)
	free.Tracks[j] = *tr
	t, th := g.Releases[k], &g.Of(i)[k]
	from := free.reacted(j, t, g.reactions(j, k, i))
	return free.miss(j, t, &from, free.target(j, i, th), th)
}
