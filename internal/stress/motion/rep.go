package motion

import (
	"slices"

	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// A Rep is a call played against a picture, as taught.
type Rep struct {
	*Play
	Setup  *duty.Setup
	Tracks []Track
	Jammed uint8 // bit i: receiver i is delayed
	// Window[j][i][k] is by how many yards man j misses threat i thrown at
	// release k; negative: to spare. The threat after the last receiver is the
	// inside run. Mirror is the same for the other branch of a route.
	Window [][][]field.Yards
	// Gap is how far man j is from the catch of threat i when the ball arrives.
	Gap    [][][]field.Yards
	Run    int        // index of the run threat
	Cover  []int      // the men who do not rush
	Live   [][]int    // by release: the threats that can be thrown then, the run last
	throws [7][]Throw // by threat
	men    []*account
	bodies []*body // of each man
	near   []near  // by threat and release
	room   *Scratch
}

// Same says that all men do the same in two reps of one Scratch.
func (g *Rep) Same(other *Rep) bool { return slices.Equal(g.men, other.men) }

// bound is how many men and receivers there is room for at once; more are welcome.
const bound = 11

// NewRep plays the setup and measures every window. Rushers are left out: they
// cover nobody.
func NewRep(pl *Play, s *duty.Setup, sc *Scratch) *Rep { return Again(nil, pl, s, sc) }

// Again is NewRep in the room of a rep that nobody looks at any more; nil is none.
func Again(old *Rep, pl *Play, s *duty.Setup, sc *Scratch) *Rep {
	m := len(pl.Picture.Receivers) + 1
	g := old.again(pl, s)
	g.Run, g.Jammed, g.room = m-1, pl.Params.jams(s), sc
	sc.open(pl)
	sc.spots.of = nil // they may be of who had the room before
	g.Live = sc.live(g.Jammed)
	for i := range m {
		g.throws[i] = pl.of(i, g.Jammed)
	}
	pairs := pairsUp(s)
	for j := range s.Men {
		near := pl.fellowsOf(s, j, &pairs)
		a, fresh := sc.recall(&s.Men[j], g.Jammed, &near)
		if fresh {
			sc.seat(a)
		}
		g.men[j], g.bodies[j], g.Tracks[j], g.Window[j], g.Gap[j] = a, a.body, a.track, a.window, a.gap
		if Rushes(&s.Men[j]) {
			continue
		}
		g.Cover = append(g.Cover, j)
		if !fresh {
			continue
		}
		mv := pl.mover(s, &s.Men[j], g.Jammed)
		mv.room, mv.fellows = sc, near
		mv.run(&g.Tracks[j])
		g.measure(j)
		a.track, a.lost = g.Tracks[j], mv.lost
	}
	g.near = grown(g.near, m*len(pl.Releases))
	clear(g.near)
	for k := range g.Live {
		for _, i := range g.Live[k] {
			g.near[i*len(pl.Releases)+k] = g.nearest(i, k)
		}
	}
	return g
}

// again is a Rep with room for the men, that of the old one or one piece: many small ones cost as much
// as a man's run.
func (g *Rep) again(pl *Play, s *duty.Setup) *Rep {
	n := len(s.Men)
	if g != nil && n <= cap(g.Tracks) {
		*g = Rep{Play: pl, Setup: s, Tracks: g.Tracks[:n], Window: g.Window[:n], Gap: g.Gap[:n], Cover: g.Cover[:0],
			men: g.men[:n], bodies: g.bodies[:n], near: g.near}
		return g
	}
	if n > bound {
		return &Rep{Play: pl, Setup: s, Tracks: make([]Track, n), Window: make([][][]field.Yards, n),
			Gap: make([][][]field.Yards, n), Cover: make([]int, 0, n), men: make([]*account, n), bodies: make([]*body, n)}
	}
	all := &struct {
		Rep
		tracks [bound]Track
		window [bound][][]field.Yards
		gap    [bound][][]field.Yards
		cover  [bound]int
		men    [bound]*account
		bodies [bound]*body
	}{}
	all.Rep = Rep{Play: pl, Setup: s, Tracks: all.tracks[:n], Window: all.window[:n], Gap: all.gap[:n],
		Cover: all.cover[:0], men: all.men[:n], bodies: all.bodies[:n]}
	return &all.Rep
}

// near is who misses a throw by least, and by how much the next man misses it.
type near struct {
	man        int
	best, next field.Yards
	gap        field.Yards // of the man nearest to the catch
}

// nobody stands for the miss of a man who is not there: the field's length.
const nobody field.Yards = 120

func (g *Rep) nearest(i, k int) near {
	n := near{-1, nobody, nobody, nobody}
	for _, j := range g.Cover {
		n.gap = min(n.gap, g.Gap[j][i][k])
		switch w := g.Window[j][i][k]; {
		case w < n.best:
			n.man, n.best, n.next = j, w, n.best
		case w < n.next:
			n.next = w
		}
	}
	return n
}

// Open is by how much everybody misses a live throw: the field's length when
// nobody covers.
func (g *Rep) Open(i, k int) field.Yards { return g.near[i*len(g.Releases)+k].best }

// Separation is how far the nearest man is from the catch of a live throw when the ball
// arrives: the field's length when nobody covers.
func (g *Rep) Separation(i, k int) field.Yards { return g.near[i*len(g.Releases)+k].gap }

// GapsTo appends, for each man in coverage, how far he is from the catch of receiver i when
// the ball arrives, by release.
func (g *Rep) GapsTo(out [][]field.Yards, i int) [][]field.Yards {
	for _, j := range g.Cover {
		out = append(out, g.Gap[j][i])
	}
	return out
}

// Nearest is the man who misses a live throw by least, -1 when nobody covers.
func (g *Rep) Nearest(i, k int) int { return g.near[i*len(g.Releases)+k].man }

// Next is by how much all but the nearest man miss a live throw: Without is never more.
func (g *Rep) Next(i, k int) field.Yards { return g.near[i*len(g.Releases)+k].next }

// Without is Open for everybody but man j.
func (g *Rep) Without(j, i, k int) field.Yards {
	n := &g.near[i*len(g.Releases)+k]
	if n.man == j {
		return n.next
	}
	return n.best
}
