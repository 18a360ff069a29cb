package duty

import (
	"math"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// deepMan is the depth from which a man inside the numbers counts as deep before the snap:
// common practice, no source.
const (
	deepMan  field.Yards = 9
	numbers  field.Yards = 15
	overHim  field.Yards = 4 // a man so near across is over a receiver
	pressing             = "press"
)

// Look is what the receivers see: press and man to man from the snap, and two deep.
func (s *Setup) Look() picture.Look {
	var l picture.Look
	deep := 0
	for j := range s.Men {
		m := &s.Men[j]
		if m.At.Y >= deepMan && math.Abs(m.At.X) < numbers {
			deep++
		}
		for _, d := range m.Shifts[0].Duties {
			if d.Target < 0 || d.Help {
				continue
			}
			if d.Verb == call.Man {
				l.Man |= 1 << d.Target
			}
			if m.Technique == pressing && math.Abs(m.At.X-s.Picture.Receivers[d.Target].At.X) < overHim {
				l.Press |= 1 << d.Target
			}
		}
	}
	l.TwoHigh = deep >= 2
	return l
}
