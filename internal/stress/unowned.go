package stress

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A throw is a hole of a call when nobody owes it and it is open by so much for so long
// (three ticks apart: four releases one after the other).
const (
	holeSize = 2.0 // yd
	holeTime = 0.3 // s
)

// A Hole is a throw that nobody owes and that is open.
type Hole struct {
	Set, Concept, Routes string
	Receiver             string // as the picture has him: P2, B1, back
	Route                string
	Open                 field.Yards // the most
	From, To             field.Seconds
	Why                  string // of a gift: why the call gives it up
}

// String says the hole in a line.
func (h Hole) String() string {
	return fmt.Sprintf("nobody has %s on the %s in %s from %s: %s open, thrown between %.1f and %.1f seconds",
		spoken(h.Receiver), h.Route, h.Concept, h.Set, yards(h.Open), h.From, h.To)
}

// spoken is a receiver of a picture in words: P2, B1 and back are how pictures are written.
func spoken(name string) string {
	number := name[1:]
	switch {
	case name == "back":
		return "the back"
	case name == "back2":
		return "the second back"
	case name[0] == 'P':
		return "the play side's #" + number
	}
	return "the back side's #" + number
}

// A yardstick is a picture that every call is held against before it is saved.
type yardstick struct {
	set, concept, routes string
	play                 *motion.Play
}

// yardsticks are the pictures of the library, those that name no back with him released to
// either side too, and those of three receivers from a bunch and from an empty backfield.
var yardsticks = sync.OnceValue(func() (out []yardstick) {
	params := motion.Defaults(field.HighSchool)
	add := func(set, concept, family, routes string) {
		p, err := picture.New(picture.Spec{Set: set, Family: family, Routes: routes, Receiver: params.Receiver,
			Back: params.Back})
		if err == nil {
			out = append(out, yardstick{set, concept, routes, motion.Prepare(p, &params)})
		}
	}
	for _, e := range picture.Library() {
		add(e.Set, e.Concept, e.Family, e.Routes)
		if !strings.Contains(e.Routes, "back") && e.Family == "dropback" {
			add(e.Set, e.Concept, e.Family, e.Routes+", back flat@2 play side")
			add(e.Set, e.Concept, e.Family, e.Routes+", back flat@2 to the B side")
			if e.Set == "3x1" {
				add("bunch", e.Concept, e.Family, e.Routes)
				add("empty 3x2", e.Concept, e.Family, e.Routes+otherSide(e.Routes))
			}
		}
	}
	return out
})

// otherSide gives the back side of an empty set a flat where the concept is silent.
func otherSide(routes string) string {
	if strings.Contains(routes, "B2") {
		return ""
	}
	return ", B2 flat@3"
}

// Holes plays the standard pictures against a call and lists the throws that nobody owes,
// those that the call gives up with its reason.
// It fails only when ctx ends.
func Holes(ctx context.Context, p *call.Compiled) (out []Hole, err error) {
	var room motion.Scratch
	var at seat
	for i := range yardsticks() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		st := &yardsticks()[i]
		pic := st.play.Picture
		for _, balance := range []int{+1, -1} {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			if balance < 0 && pic.Count(1) != pic.Count(-1) {
				continue
			}
			g := at.play(p, st.play, balance, p.Call.Vertical, &room).Rep
			for n := range pic.Receivers {
				if h, ok := hole(g, n); ok {
					h.Set, h.Concept, h.Routes, h.Why = st.set, st.concept, st.routes, gift(g.Setup, n)
					out = append(out, h)
				}
			}
		}
		room.Forget()
	}
	return out, nil
}

// hole finds the longest run of releases at which nobody owes receiver i and he is open.
func hole(g *motion.Rep, i int) (h Hole, ok bool) {
	r := &g.Picture.Receivers[i]
	h.Receiver, h.Route = r.Name, r.Route.Name
	first := -1
	for k, th := range g.Of(i) {
		if !th.Live || g.Open(i, k) <= holeSize || owedAt(g, i, k) {
			first = -1
			continue
		}
		if first < 0 {
			first = k
		}
		if from, to := g.Releases[first], g.Releases[k]; to-from > h.To-h.From+1e-9 || h.To == 0 {
			h.From, h.To = from, to
		}
		h.Open = math.Max(h.Open, g.Open(i, k))
	}
	return h, h.To-h.From > holeTime-1e-9
}

func owedAt(g *motion.Rep, i, k int) bool {
	for j := range g.Setup.Men {
		if g.Owes(j, i, k) > 0 {
			return true
		}
	}
	return false
}

// gift says why the call gives up receiver i, "" when it does not.
func gift(s *duty.Setup, i int) string {
	r := &s.Picture.Receivers[i]
	for _, x := range s.Compiled.Gives {
		if (int(x.Who.Number) == r.Number || x.Who.Number == 0 && r.Back) && (x.Route == "" || x.Route == r.Route.Name) &&
			s.Fact(&x.When, r.Side) {
			return x.Why
		}
	}
	return ""
}
