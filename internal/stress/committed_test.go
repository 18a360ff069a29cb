package stress

import (
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// entry is the speed at which a committed defender is already moving when the
// ball is thrown, as a share of his top speed: fitted to the tracked p90 of
// ground covered during flights of half a second to two seconds.
const entry = 0.85

// trackedGround returns the ground a defender covers in s seconds of flight when he
// is running already and the throw is where he runs: what tracking measures at
// the 90th percentile. His own reaction does not cost him ground, since he goes
// on running meanwhile.
func trackedGround(p *motion.Params, body string, s field.Seconds) field.Yards {
	v := p.Speed(body)
	return entry*v.Max*v.Drift(s) + v.Reach(s)
}
