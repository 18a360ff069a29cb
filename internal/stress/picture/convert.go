package picture

// A Look is what the defense shows to the receivers of a picture before they break: who is
// pressed, who has a man of his own (bit i: receiver i), and whether two men are deep.
type Look struct {
	Press, Man uint8
	TwoHigh    bool
}

// Converts is how often a receiver whose route has an answer to the look runs the answer:
// assumed, no source.
const Converts = 0.4

// Convert returns the picture with every route that has an answer to the look converted:
// on_press, else in_man, else two_high of the route's data. It returns p itself when none
// has one. The break stays at its depth.
func (p *Picture) Convert(l Look) *Picture {
	out := *p
	out.Receivers = append([]Receiver(nil), p.Receivers...)
	changed := false
	for i := range out.Receivers {
		r := &out.Receivers[i]
		to := r.Route.answer(l.Press>>i&1 == 1, l.Man>>i&1 == 1, l.TwoHigh)
		if to == "" || r.Back {
			continue
		}
		route := routes[to]
		if route == nil || route == r.Route {
			continue
		}
		r.Route, r.Other, changed = route, nil, true
		if r.Depth == 0 {
			r.Depth = route.Depth
		}
		out.trace(r)
	}
	if !changed {
		return p
	}
	return &out
}

// Asked is what of a look the routes of the picture answer to: looks that ask the same
// convert it alike.
func (p *Picture) Asked(l Look) (a Look) {
	for i := range p.Receivers {
		r := &p.Receivers[i]
		if r.Back {
			continue
		}
		if r.Route.OnPress != "" {
			a.Press |= l.Press & (1 << i)
		}
		if r.Route.InMan != "" {
			a.Man |= l.Man & (1 << i)
		}
		a.TwoHigh = a.TwoHigh || l.TwoHigh && r.Route.TwoHigh != ""
	}
	return a
}

// answer is the route he runs instead, "" when it stays.
func (rt *Route) answer(press, man, twoHigh bool) string {
	switch {
	case press && rt.OnPress != "":
		return rt.OnPress
	case man && rt.InMan != "":
		return rt.InMan
	case twoHigh:
		return rt.TwoHigh
	}
	return ""
}
