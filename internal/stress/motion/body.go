package motion

import (
	"strings"

	"overhang/internal/stress/field"
)

// A body is how the men of a class run, with what is worked out once for all.
type body struct {
	speed  field.Speed
	pace   [2]pace         // of a whole step, fine and coarse
	drifts []field.Seconds // Speed.Drift, a hundredth of a second apart
}

func newBody(sp field.Speed, step field.Seconds) *body {
	b := &body{speed: sp, pace: [2]pace{paceOf(step, sp.Tau), paceOf(coarse*step, sp.Tau)}, drifts: make([]field.Seconds,
		500)}
	for k := range b.drifts {
		b.drifts[k] = sp.Drift(float64(k) / 100)
	}
	return b
}

// body returns how a man runs (call.Slot's Runs); one of an unknown class as a back does.
func (pl *Play) body(runs string) *body {
	if b, ok := pl.bodies[runs]; ok {
		return b
	}
	_, pace, _ := strings.Cut(runs, " ")
	return pl.bodies[strings.TrimSpace("back "+pace)]
}

// drift is Speed.Drift from the table (error under 3e-5 s); negative times have none.
func (b *body) drift(s field.Seconds) field.Seconds {
	if s <= 0 {
		return 0
	}
	u := s * 100
	k := int(u)
	if k+1 >= len(b.drifts) {
		return b.speed.Drift(s)
	}
	return b.drifts[k] + (u-float64(k))*(b.drifts[k+1]-b.drifts[k])
}
