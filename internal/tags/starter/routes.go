package starter

import (
	"slices"
	"sync"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// entries finds the library's drawings of a concept.
func entries(concept string) []picture.Entry { return slices.Clip(byConcept()[concept]) }

var byConcept = sync.OnceValue(func() map[string][]picture.Entry {
	out := map[string][]picture.Entry{}
	for _, e := range picture.Library() {
		out[e.Concept] = append(out[e.Concept], e)
	}
	return out
})

// Family is what the library shows a concept from, "" where it has none; the
// starter's runs are runs.
func Family(concept string) string {
	switch {
	case concept == "draw":
		return "draw"
	case slices.Contains(RunConcepts, concept):
		return "run"
	}
	for _, e := range entries(concept) {
		return e.Family
	}
	return ""
}

// Routes are those a concept has in the library, run from a set toward a side;
// carried over where it is drawn from another; nil where the set or the concept is
// not the library's. They are what the concept
// usually is, not what was seen: the one who stores them marks them assumed.
func Routes(concept, set, side string) []tags.Route {
	// A concept drawn for trips has a name of its own; from the same set it comes first.
	for _, e := range append(entries(concept+" trips"), entries(concept)...) {
		if s, err := picture.LookupSet(e.Set); err == nil && s.Name == set {
			return routes(e, set, side)
		}
	}
	for _, e := range entries(concept) {
		if rs := routes(e, set, side); rs != nil {
			return rs
		}
	}
	at, err := picture.LookupSet(set)
	if err != nil {
		return nil
	}
	for _, e := range entries(concept) {
		e.Routes = adapt(e.Routes, at)
		if rs := routes(e, set, side); rs != nil {
			return rs
		}
	}
	return nil
}

func routes(e picture.Entry, set, side string) []tags.Route {
	known, err := picture.LookupSet(set)
	if err != nil || side != "left" && side != "right" { // of those there is no end
		return drawn(e, set, side)
	}
	key := drawing{e, known.Name, side}
	rs, ok := drawings.Load(key)
	if !ok {
		rs, _ = drawings.LoadOrStore(key, drawn(e, set, side))
	}
	out := slices.Clone(rs.([]tags.Route))
	for i, r := range out {
		if r.BreakDepthYd != nil { // his own, to change
			d := *r.BreakDepthYd
			out[i].BreakDepthYd = &d
		}
	}
	return out
}

// A drawing is a concept run from a set toward a side. An import asks for the same few with
// every play, and working one out takes a quarter of a millisecond.
type drawing struct {
	entry     picture.Entry
	set, side string
}

var drawings sync.Map // drawing to []tags.Route

func drawn(e picture.Entry, set, side string) (out []tags.Route) {
	pic, err := picture.New(picture.Spec{Set: set, Family: e.Family, Routes: e.Routes})
	if err != nil {
		return nil
	}
	other := map[string]string{"left": "right", "right": "left"}[side]
	for i := range pic.Receivers {
		r := &pic.Receivers[i]
		if r.Blocks() {
			continue
		}
		t := tags.Route{Side: side, Number: r.Number, Eligible: eligible(r), Route: r.Route.Name}
		if r.Side != pic.Play {
			t.Side = other
		}
		if !r.Route.Vertical {
			d := float64(r.Depth)
			t.BreakDepthYd = &d
		}
		out = append(out, t)
	}
	return out
}

// eligible is what a route's runner is called where tags are kept.
func eligible(r *picture.Receiver) string {
	switch {
	case r.Back:
		return "back"
	case r.Attached:
		return "tight_end"
	}
	return "receiver"
}

// OfRoutes is the library's concept drawn from a set with just these routes on the play side,
// from outside in; "" for none.
func OfRoutes(set string, names []string) string {
	for _, e := range picture.Library() {
		s, err := picture.LookupSet(e.Set)
		if err != nil || s.Name != set || len(names) != len(s.Play) {
			continue
		}
		n := 0
		for _, p := range parts(e.Routes) {
			if at := int(p.who[1] - '1'); p.who[0] == 'P' && at < len(names) && word(p.what) == names[at] {
				n++
			}
		}
		if n == len(names) {
			return e.Concept
		}
	}
	return ""
}
