package motion

import (
	"math"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// A Scratch remembers what men did against the last picture. Where a man runs and
// what he misses hangs on where he stands, what he is told and who is delayed, on
// no other defender; so a man whom two calls tell the same need run only once.
// The zero Scratch is ready; it is not safe for concurrent use. A game is good
// until one of another picture, or one after Forget, is played in the same Scratch.
type Scratch struct {
	play *Play
	men  map[likeness]*account
	all  []*account // every one made, for its room
	used int

	less [6]*Scratch // the same of the pictures in which one receiver stays in
	of   *Play       // whose picture lacks one here; nil: none does

	lives   map[uint8][][]int // by who is delayed; see Rep.Live
	courses map[errand]*course
	spare   []*course // forgotten
	spots   spots
}

// live lists the threats that can be thrown at each release.
func (sc *Scratch) live(jammed uint8) [][]int {
	if l, ok := sc.lives[jammed]; ok {
		return l
	}
	threats := len(sc.play.Picture.Receivers) + 1
	out, all := make([][]int, len(sc.play.Releases)), make([]int, 0, threats*len(sc.play.Releases))
	for k := range out {
		first := len(all)
		for i := range threats {
			if th := sc.play.of(i, jammed); th != nil && th[k].Live {
				all = append(all, i)
			}
		}
		out[k] = all[first:len(all):len(all)]
	}
	sc.lives[jammed] = out
	return out
}

// An errand is a zone as it is played: by its rectangle, who is named beside it,
// and who is delayed.
type errand struct {
	zone            call.Rect
	targets, jammed uint8
}

// A course is where an errand asks a man to be, as far as known: in the middle of
// whole steps, and of the cut ones, at the same moments for most men.
type course struct {
	whole []field.Point
	known []bool // by whole step
	cut   []waypoint
}

// A waypoint is where he is to be in the middle of a cut step.
type waypoint struct {
	t    field.Seconds
	goal field.Point
}

func (c *course) at(step int, t field.Seconds) (field.Point, bool) {
	if c == nil {
		return field.Point{}, false
	}
	if step >= 0 {
		return c.whole[step], c.known[step]
	}
	for i := range c.cut {
		if c.cut[i].t == t {
			return c.cut[i].goal, true
		}
	}
	return field.Point{}, false
}

func (c *course) keep(step int, t field.Seconds, goal field.Point) {
	switch {
	case c == nil:
	case step >= 0:
		c.whole[step], c.known[step] = goal, true
	default:
		c.cut = append(c.cut, waypoint{t, goal})
	}
}

// course returns the errand's course, an unknown one at first.
func (sc *Scratch) course(zone *call.Rect, targets, jammed uint8) *course {
	e := errand{*zone, targets, jammed}
	c, ok := sc.courses[e]
	if ok {
		return c
	}
	if n := len(sc.spare); n > 0 {
		c, sc.spare = sc.spare[n-1], sc.spare[:n-1]
	} else {
		c = &course{}
	}
	n := sc.play.steps()
	c.whole, c.known, c.cut = grown(c.whole, n), grown(c.known, n), c.cut[:0]
	clear(c.known)
	sc.courses[e] = c
	return c
}

// likeness is what men who ran the same have in common at first sight.
type likeness struct {
	x, y         uint64 // the bits of where he lines up, which hash faster than numbers
	shifts       int
	keys, jammed uint8
}

// An account is what one man did, and whom he owed.
type account struct {
	man    duty.Man
	near   fellows // whom he may run into
	track  Track
	window [][]field.Yards // by threat and release
	gap    [][]field.Yards
	owes   []uint8
	torn   []uint8          // by release: how many live throws are his
	eyes   []float64        // see Sight
	lost   [6]field.Seconds // to whose body; see traffic
	alone  Track            // his way with nobody in it, if known
	known  bool
	next   *account // alike at first sight
	shifts []duty.Shift
	duties []duty.Duty
}

// remember copies a man with all that he is told: the room of his setup is used again.
func (a *account) remember(m *duty.Man) {
	a.man, a.shifts, a.duties = *m, append(a.shifts[:0], m.Shifts...), a.duties[:0]
	for n := range a.shifts {
		first := len(a.duties)
		a.duties = append(a.duties, a.shifts[n].Duties...)
		a.shifts[n].Duties = a.duties[first:len(a.duties):len(a.duties)]
	}
	a.man.Shifts = a.shifts
}

// Forget lets the room of all games be used again.
func (sc *Scratch) Forget() {
	clear(sc.men)
	sc.used = 0
	for _, c := range sc.courses {
		sc.spare = append(sc.spare, c)
	}
	clear(sc.courses)
	for _, less := range sc.less {
		if less != nil {
			less.Forget()
		}
	}
}

// Men returns how many men are remembered.
func (sc *Scratch) Men() int {
	n := sc.used
	for _, less := range sc.less {
		if less != nil {
			n += less.used
		}
	}
	return n
}

func (sc *Scratch) open(pl *Play) {
	if sc.men == nil {
		sc.lives, sc.men, sc.courses = map[uint8][][]int{}, map[likeness]*account{}, map[errand]*course{}
	}
	if sc.play != pl {
		sc.Forget()
		sc.play = pl
		clear(sc.lives)
	}
}

// recall returns the account of a man who was told the same, or a fresh one.
func (sc *Scratch) recall(m *duty.Man, jammed uint8, near *fellows) (a *account, fresh bool) {
	// A zero has no sign once nothing is added to it.
	like := likeness{math.Float64bits(m.At.X + 0), math.Float64bits(m.At.Y + 0), len(m.Shifts), m.Keys, jammed}
	for a = sc.men[like]; a != nil; a = a.next {
		if a.near == *near && same(&a.man, m) {
			return a, false
		}
	}
	frames := sc.play.frames
	if Rushes(m) {
		frames = 1 // nothing is measured on him
	}
	a = sc.next(frames)
	a.remember(m)
	a.near, a.next = *near, sc.men[like]
	a.track.Pos[0], a.track.Vel[0] = m.At, field.Point{}
	sc.men[like] = a
	return a, true
}

// same says that two men run alike: all that a mover and measure look at.
func same(a, b *duty.Man) bool {
	return a.Side == b.Side && a.Technique == b.Technique && a.Slot.Runs == b.Slot.Runs && a.Slot.Fit == b.Slot.Fit &&
		slices.EqualFunc(a.Shifts, b.Shifts, func(x, y duty.Shift) bool {
			return x.From == y.From && slices.EqualFunc(x.Duties, y.Duties, duty.Same)
		})
}

// next returns an empty account with room for so many frames.
func (sc *Scratch) next(frames int) *account {
	if sc.used == len(sc.all) {
		sc.all = append(sc.all, &account{})
	}
	a := sc.all[sc.used]
	sc.used++
	a.track, a.known = trackOf(a.track.Pos, frames), false
	return a
}

// trackOf is an empty track of so many frames in a room.
func trackOf(room []field.Point, frames int) Track {
	points := grown(room, 2*frames)
	return Track{Pos: points[:frames], Vel: points[frames : 2*frames : 2*frames]}
}

// seat gives a man room for what is measured on him.
func (a *account) seat(pl *Play) {
	threats, releases := len(pl.Picture.Receivers)+1, len(pl.Releases)
	a.owes = grown(a.owes, threats*releases)
	clear(a.owes)
	a.torn, a.eyes = grown(a.torn, releases), grown(a.eyes, releases)
	a.window = table(a.window, threats, releases)
	a.gap = table(a.gap, threats, releases)
}

// table returns rows over one room, the old one when it is large enough.
func table(room [][]field.Yards, rows, columns int) [][]field.Yards {
	var yards []field.Yards
	if len(room) > 0 {
		yards = room[0]
	}
	yards = grown(yards, rows*columns)
	room = grown(room, rows)
	for i := range room {
		room[i] = yards[i*columns : (i+1)*columns]
	}
	return room
}

// grown returns n elements of a room, a new one when it is too small.
func grown[T any](room []T, n int) []T {
	if cap(room) < n {
		return make([]T, n)
	}
	return room[:n]
}
