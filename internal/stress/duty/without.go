package duty

import (
	"slices"

	"overhang/internal/stress/picture"
)

// staying is the route of a receiver who is taken out of a picture.
var staying = &picture.Route{Name: "block", Block: true}

// Without is the picture in which receiver l stays in.
func Without(p *picture.Picture, l int) *picture.Picture {
	q := *p
	q.Receivers = slices.Clone(p.Receivers)
	q.Receivers[l].Route = staying
	return &q
}

// Told is what man j of the setup would be told against another picture of the same set.
func (s *Setup) Told(j int, p *picture.Picture) Man {
	c := *s
	c.Picture, c.named = p, namedIn(p)
	return reader{&c, s.Reading, &told{}}.man(s.Men[j].Slot)
}
