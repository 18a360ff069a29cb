package demo

import (
	"math"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

var library = func() map[string]picture.Entry {
	m := map[string]picture.Entry{}
	for _, e := range picture.Library() {
		m[e.Concept] = e
	}
	return m
}()

// choose draws a habit by its weight.
func (s *state) choose(hs []habit, late bool) string {
	weight := func(h habit) float64 {
		if late {
			return h.late
		}
		return h.early
	}
	total := 0.0
	for _, h := range hs {
		total += weight(h)
	}
	x := s.rng.Float64() * total
	for _, h := range hs {
		if x -= weight(h); x < 0 {
			return h.concept
		}
	}
	return hs[0].concept
}

// side is where the play goes: more often to the wide side from a hash.
func (s *state) side() string {
	wide := map[string]string{"left": "right", "right": "left", "middle": "right"}[s.hash]
	if s.rng.Float64() < s.o.fieldSide {
		return wide
	}
	return other(wide)
}

func other(side string) string { return map[string]string{"left": "right", "right": "left"}[side] }

func (s *state) run(p *tags.Play, late bool) {
	concept := s.choose(s.o.runs, late)
	side := s.side()
	gain := int(math.Round(4.2 + 4.5*s.rng.NormFloat64()))
	if s.rng.Float64() < .06 {
		gain += 15 + s.rng.IntN(25)
	}
	p.Called, p.Concept, p.PlaySide, p.Result, p.GainYd = ptr("run"), &concept, &side, ptr("rush"), ptr(max(-6, gain))
	p.Family = ptr("run")
	if concept == "draw" {
		p.Family = ptr("draw")
	}
	p.SetName, p.Personnel, p.Backfield = ptr(pick(s.rng, "2x2", "3x1", "2x1")), ptr("11"), ptr("gun")
	if *p.SetName == "2x1" {
		p.Personnel, p.Backfield = ptr("21"), ptr("under center")
	}
	p.Strength = ptr(side)
	if s.rng.Float64() < .01 {
		p.Result = ptr("fumble_lost")
	}
}

func (s *state) pass(p *tags.Play, late bool) {
	concept := s.choose(s.o.passes, late)
	e := library[concept]
	side := s.side()
	p.Called, p.Family, p.Concept, p.SetName, p.PlaySide, p.Strength = ptr("pass"), &e.Family, &concept, &e.Set, &side,
		&side
	p.Personnel, p.Backfield = ptr("11"), ptr("gun")
	switch e.Set {
	case "2x1":
		p.Personnel, p.Backfield = ptr("21"), ptr("under center")
	case "empty 3x2":
		p.Personnel, p.Backfield = ptr("10"), ptr("empty")
	}
	p.Routes = s.routes(&e, side)
	s.result(p)
	thrown(p)
}

// routes tags what the concept's picture has, with the spread of real snaps:
// depths vary by a yard or so, and some were not tagged.
func (s *state) routes(e *picture.Entry, side string) []tags.Route {
	pic, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes})
	if err != nil {
		panic("demo: " + err.Error())
	}
	var out []tags.Route
	for i := range pic.Receivers {
		r := &pic.Receivers[i]
		if r.Blocks() {
			continue
		}
		t := tags.Route{Side: side, Number: r.Number, Eligible: "receiver", Route: r.Route.Name}
		if r.Side != pic.Play {
			t.Side = other(side)
		}
		switch {
		case r.Back:
			t.Eligible = "back"
		case r.Attached:
			t.Eligible = "tight_end"
		}
		if !r.Route.Vertical && s.rng.Float64() > .08 {
			d := math.Round(2*(r.Depth+0.8*s.rng.NormFloat64())) / 2
			if r.Depth > 1 {
				d = max(1, d)
			}
			t.BreakDepthYd = &d
		}
		out = append(out, t)
	}
	if len(out) > 0 {
		out[s.rng.IntN(len(out))].Targeted = true
	}
	return out
}

func (s *state) result(p *tags.Play) {
	x := s.rng.Float64()
	switch {
	case x < .06:
		p.Result, p.GainYd = ptr("sack"), ptr(-3-s.rng.IntN(7))
	case x < .10:
		p.Result, p.GainYd = ptr("scramble"), ptr(s.rng.IntN(12))
	case x < .12:
		p.Result, p.GainYd = ptr("intercepted"), ptr(0)
	case x < .42:
		p.Result, p.GainYd = ptr("incomplete"), ptr(0)
	default:
		depth := 6.0
		for i := range p.Routes {
			if r := &p.Routes[i]; r.Targeted && r.BreakDepthYd != nil {
				depth = *r.BreakDepthYd
			}
		}
		p.Result, p.GainYd = ptr("complete"), ptr(max(-3, int(math.Round(depth+2+4*s.rng.NormFloat64()))))
	}
}

// thrown tags how far past the line the ball was thrown, where one was: to the target's
// break, as deep as the gain at most if it was caught. A go is thrown deep down the field.
func thrown(p *tags.Play) {
	if r := *p.Result; r != "complete" && r != "incomplete" && r != "intercepted" {
		return
	}
	for i := range p.Routes {
		r := &p.Routes[i]
		if !r.Targeted {
			continue
		}
		depth := 24
		switch {
		case r.BreakDepthYd != nil && *r.BreakDepthYd < 1:
			depth = -2
		case r.BreakDepthYd != nil:
			depth = int(math.Round(*r.BreakDepthYd))
		case *p.Result == "complete", r.Route != "go":
			return // an analyst leaves out what the film does not show
		}
		if *p.Result == "complete" {
			depth = min(depth, *p.GainYd)
		}
		p.ThrowDepth = &depth
	}
}
