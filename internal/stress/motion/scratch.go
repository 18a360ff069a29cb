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
	play    *Play
	men     map[likeness]*account
	known   int // men
	courses []*course
	lives   []lives
	spots   spots
	store   *store

	less [6]*Scratch // the same of the pictures in which one receiver stays in, in the same room
	of   *Play       // whose picture lacks one here; nil: none does
}

// A store is where all that is remembered lies.
type store struct {
	accounts slab[account]
	courses  slab[course]
	shifts   slab[duty.Shift]
	duties   slab[duty.Duty]
	points   slab[field.Point]
	yards    slab[field.Yards]
	rows     slab[[]field.Yards]
	bits     slab[uint8]
	flags    slab[bool]
	cuts     slab[waypoint]
	strides  [64]stride
}

// newStore is one with room for what most calls need against such a play: seven men cover, who are told of two rules,
// with two duties or three in all, and run six errands. What is large comes in two blocks.
func newStore(pl *Play) *store {
	threats := len(pl.Picture.Receivers) + 1
	throws := threats * len(pl.Releases)
	return &store{accounts: slabOf[account](bound), courses: slabOf[course](bound), shifts: slabOf[duty.Shift](2 * bound),
		duties: slabOf[duty.Duty](3 * bound), points: slabOf[field.Point](12 * pl.frames),
		yards: slabOf[field.Yards](9 * throws), rows: slabOf[[]field.Yards](16 * threats), bits: slabOf[uint8](14 * throws),
		flags: slabOf[bool](8 * pl.frames), cuts: slabOf[waypoint](8 * usually)}
}

// forget lets all of it be used again.
func (s *store) forget() {
	s.accounts.back()
	s.courses.back()
	s.shifts.back()
	s.duties.back()
	s.points.back()
	s.yards.back()
	s.rows.back()
	s.bits.back()
	s.flags.back()
	s.cuts.back()
}

// track is an empty one of so many frames.
func (s *store) track(frames int) Track {
	points := s.points.take(2 * frames)
	return Track{Pos: points[:frames], Vel: points[frames:]}
}

// table is one of so many rows.
func (s *store) table(rows, columns int) [][]field.Yards {
	out, yards := s.rows.take(rows), s.yards.take(rows*columns)
	for i := range out {
		out[i] = yards[i*columns : (i+1)*columns]
	}
	return out
}

// lives are the threats that can be thrown, by release, when those receivers are delayed; see Rep.Live.
type lives struct {
	jammed uint8
	by     [][]int
}

// live lists the threats that can be thrown at each release.
func (sc *Scratch) live(jammed uint8) [][]int {
	for i := range sc.lives {
		if l := &sc.lives[i]; l.jammed == jammed {
			return l.by
		}
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
	sc.lives = append(sc.lives, lives{jammed, out})
	return out
}

// An errand is a zone as it is played: by its rectangle, who is named beside it,
// and who is delayed.
type errand struct {
	zone            *call.Rect
	targets, jammed uint8
}

func (e *errand) same(o *errand) bool {
	return e.targets == o.targets && e.jammed == o.jammed && (e.zone == o.zone || *e.zone == *o.zone)
}

// A course is where an errand asks a man to be, as far as known: in the middle of
// frames, and of cut steps, at the same moments for most men.
type course struct {
	errand
	whole []field.Point
	known []bool // by frame, in whose middle he is looked at
	cut   []waypoint
}

// A waypoint is where he is to be in the middle of a cut step.
type waypoint struct {
	t    field.Seconds
	goal field.Point
}

func (c *course) at(frame int, t field.Seconds) (field.Point, bool) {
	if c == nil {
		return field.Point{}, false
	}
	if frame >= 0 {
		return c.whole[frame], c.known[frame]
	}
	for i := range c.cut {
		if c.cut[i].t == t {
			return c.cut[i].goal, true
		}
	}
	return field.Point{}, false
}

func (c *course) keep(frame int, t field.Seconds, goal field.Point) {
	switch {
	case c == nil:
	case frame >= 0:
		c.whole[frame], c.known[frame] = goal, true
	default:
		c.cut = append(c.cut, waypoint{t, goal})
	}
}

// usually is how many cut steps a course mostly knows of.
const usually = 8

// course returns the errand's course, an unknown one at first.
func (sc *Scratch) course(zone *call.Rect, targets, jammed uint8) *course {
	e := errand{zone, targets, jammed}
	for _, c := range sc.courses {
		if c.same(&e) {
			return c
		}
	}
	n, c := sc.play.frames, &sc.store.courses.take(1)[0]
	*c = course{e, sc.store.points.take(n), sc.store.flags.take(n), sc.store.cuts.take(usually)[:0]}
	clear(c.known)
	sc.courses = append(sc.courses, c)
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
	body   *body
	near   fellows // whom he may run into
	track  Track
	window [][]field.Yards // by threat and release
	gap    [][]field.Yards
	owes   []uint8
	torn   []uint8       // by release: how many live throws are his
	eyes   []float64     // see Sight
	lost   field.Seconds // to bodies in his way; see traffic
	alone  Track         // his way with nobody in it, if known
	next   *account      // alike at first sight
}

// told is a copy of a man with all that he is told: the room of his setup is used again.
func (s *store) told(m *duty.Man) duty.Man {
	c := *m
	c.Shifts = s.shifts.take(len(m.Shifts))
	copy(c.Shifts, m.Shifts)
	for n := range c.Shifts {
		sh := &c.Shifts[n]
		ds := s.duties.take(len(sh.Duties))
		copy(ds, sh.Duties)
		sh.Duties = ds
	}
	return c
}

// Forget lets the room of all games be used again.
func (sc *Scratch) Forget() {
	if sc.store == nil {
		return
	}
	sc.store.forget()
	for _, s := range sc.less {
		if s != nil {
			s.empty()
		}
	}
	sc.empty()
}

func (sc *Scratch) empty() {
	clear(sc.men)
	sc.courses, sc.known = sc.courses[:0], 0
}

// Men returns how many men are remembered.
func (sc *Scratch) Men() int {
	n := sc.known
	for _, less := range sc.less {
		if less != nil {
			n += less.known
		}
	}
	return n
}

func (sc *Scratch) open(pl *Play) {
	if sc.store == nil {
		sc.store = newStore(pl)
	}
	if sc.men == nil {
		sc.men, sc.courses = make(map[likeness]*account, bound), make([]*course, 0, bound)
	}
	if sc.play != pl {
		if sc.of == nil {
			sc.Forget()
		}
		sc.play, sc.lives = pl, sc.lives[:0]
	}
}

// recall returns the account of a man who was told the same, or a fresh one.
func (sc *Scratch) recall(m *duty.Man, jammed uint8, near *fellows) (a *account, fresh bool) {
	// A zero has no sign once nothing is added to it.
	like := likeness{math.Float64bits(m.At.X + 0), math.Float64bits(m.At.Y + 0), len(m.Shifts), m.Keys, jammed}
	if zones(m) {
		like.keys = 0 // his eyes are on the passer
	}
	for a = sc.men[like]; a != nil; a = a.next {
		if a.near == *near && same(&a.man, m) {
			return a, false
		}
	}
	a = &sc.store.accounts.take(1)[0]
	*a = account{man: sc.store.told(m), body: sc.play.body(m.Slot.Runs), near: *near, next: sc.men[like]}
	sc.men[like], sc.known = a, sc.known+1
	frames := sc.play.frames
	if Rushes(m) {
		frames = 1 // nothing is measured on him
	}
	a.track = sc.store.track(frames)
	a.track.Pos[0], a.track.Vel[0] = m.At, field.Point{}
	return a, true
}

// same says that two men run alike: all that a mover and measure look at.
func same(a, b *duty.Man) bool {
	return a.Side == b.Side && a.Technique == b.Technique && a.Slot.Runs == b.Slot.Runs && a.Slot.Fit == b.Slot.Fit &&
		slices.EqualFunc(a.Shifts, b.Shifts, func(x, y duty.Shift) bool {
			return x.From == y.From && slices.EqualFunc(x.Duties, y.Duties, duty.Same)
		})
}

// seat gives a man room for what is measured on him.
func (sc *Scratch) seat(a *account) {
	threats, releases := len(sc.play.Picture.Receivers)+1, len(sc.play.Releases)
	bits := sc.store.bits.take((threats + 1) * releases)
	clear(bits)
	a.owes, a.torn, a.eyes = bits[releases:], bits[:releases], sc.store.yards.take(releases)
	if !Rushes(&a.man) {
		a.window, a.gap = sc.store.table(threats, releases), sc.store.table(threats, releases)
	}
}

// grown returns n elements of a room, a new one when it is too small.
func grown[T any](room []T, n int) []T {
	if cap(room) < n {
		return make([]T, n)
	}
	return room[:n]
}
