package motion

import (
	"slices"

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
}

// likeness is what men who ran the same have in common at first sight.
type likeness struct {
	at           field.Point
	shifts       int
	keys, jammed uint8
}

// An account is what one man did, and whom he owed.
type account struct {
	man    duty.Man
	track  Track
	window [][]field.Yards // by threat and release
	owes   []uint8
	next   *account // alike at first sight
}

// Forget lets the room of all games be used again.
func (sc *Scratch) Forget() {
	clear(sc.men)
	sc.used = 0
}

// Men returns how many men are remembered.
func (sc *Scratch) Men() int { return sc.used }

func (sc *Scratch) open(pl *Play) {
	if sc.men == nil {
		sc.men = map[likeness]*account{}
	}
	if sc.play != pl {
		sc.Forget()
		sc.play = pl
	}
}

// recall returns the account of a man who was told the same, or a fresh one.
func (sc *Scratch) recall(m *duty.Man, jammed uint8) (a *account, fresh bool) {
	like := likeness{m.At, len(m.Shifts), m.Keys, jammed}
	for a = sc.men[like]; a != nil; a = a.next {
		if same(&a.man, m) {
			return a, false
		}
	}
	a = sc.next()
	a.man, a.next = *m, sc.men[like]
	sc.men[like] = a
	return a, true
}

// same says that two men run alike: all that a mover and measure look at.
func same(a, b *duty.Man) bool {
	return a.Side == b.Side && a.Technique == b.Technique && a.Slot.Body == b.Slot.Body && a.Slot.Fit == b.Slot.Fit &&
		slices.EqualFunc(a.Shifts, b.Shifts, func(x, y duty.Shift) bool {
			return x.From == y.From && slices.Equal(x.Duties, y.Duties)
		})
}

// next returns an empty account with room for the play.
func (sc *Scratch) next() *account {
	if sc.used == len(sc.all) {
		sc.all = append(sc.all, &account{})
	}
	a := sc.all[sc.used]
	sc.used++
	frames, threats, releases := sc.play.frames, len(sc.play.Picture.Receivers)+1, len(sc.play.Releases)
	points := grown(a.track.Pos, 2*frames)
	a.track = Track{Pos: points[:frames], Vel: points[frames : 2*frames : 2*frames]}
	a.owes = grown(a.owes, threats*releases)
	clear(a.owes)
	var yards []field.Yards
	if len(a.window) > 0 {
		yards = a.window[0]
	}
	yards = grown(yards, threats*releases)
	a.window = grown(a.window, threats)
	for i := range a.window {
		a.window[i] = yards[i*releases : (i+1)*releases]
	}
	return a
}

// grown returns n elements of a room, a new one when it is too small.
func grown[T any](room []T, n int) []T {
	if cap(room) < n {
		return make([]T, n)
	}
	return room[:n]
}
