package motion

import (
	"slices"

	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// Held is how many yards nearer man j would be to the throw i of release k if receiver l
// stayed in: he is told and played again without him.
func (g *Rep) Held(j, i, l, k int) field.Yards {
	return g.Window[j][i][k] - g.missOn(g.without(j, l), j, i, k)
}

// without is the way of man j against the picture in which receiver l stays in; two men who
// are then told the same ran it once.
func (g *Rep) without(j, l int) *Track {
	sc := g.room.without(l)
	m := g.Setup.Told(j, sc.play.Picture)
	a, fresh := sc.recall(&m, g.Jammed, &fellows{})
	if fresh {
		mv := sc.play.mover(g.Setup, &m, g.Jammed)
		mv.room = sc
		mv.run(&a.track)
	}
	return &a.track
}

// without is the room of the picture in which receiver l stays in.
func (sc *Scratch) without(l int) *Scratch {
	if sc.less[l] == nil {
		sc.less[l] = &Scratch{store: sc.store}
	}
	if less := sc.less[l]; less.of != sc.play {
		less.of = sc.play
		less.open(sc.play.without(l))
	}
	return sc.less[l]
}

func (pl *Play) without(l int) *Play {
	p := *pl
	p.bands = nil // it is of this band alone
	p.Picture = duty.Without(pl.Picture, l)
	p.runs = slices.DeleteFunc(slices.Clone(pl.runs), func(i int) bool { return i == l })
	return &p
}

// missOn is by how much man j would miss the throw i of release k on another way.
func (g *Rep) missOn(tr *Track, j, i, k int) field.Yards {
	t, th := g.Releases[k], &g.Of(i)[k]
	from := tr.reacted(t, g.reactions(j, k, i))
	return g.miss(j, tr, &from, g.target(j, i, th), th)
}
