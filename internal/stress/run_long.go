package stress

import (
	"math"
	"slices"

	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// Numbers of a run that has got past the first four yards, set so that runs against the
// book's calls end as one professional season's do past four, ten and twenty yards
// (run_hazard, run_model of open plays 2022); how they hang on where men stand is assumed.
// With three in ten of the runs of four yards that get to ten at eight in the box, and four
// in ten at nine, the season agrees that fewer deep men let longer runs through.
const (
	longRun   = 4    // yards from which on it is followed
	second    = 0.13 // chance a yard that the second level still has him at four,
	secondYd  = 5.0  // falling by e in so many yards
	fromBack  = 0.035
	meets     = 0.14 // chance a yard of the man who comes to meet him and is there;
	another   = 0.3  // of that another man who is there adds
	meetsLeft = 5.0  // tries in which a man who is there and misses loses e of his chance
	stalk     = 0.5  // share of his chance left to a man whom a split receiver blocks,
	stalkedYd = 6.0  // at most so many yards across from him
)

// A stopper is a man beyond the second level and how well he is free.
type stopper struct {
	at    field.Point
	speed field.Speed
	start field.Seconds // after the snap
	free  float64
	tried float64
}

// past says where a run ends that has got to four yards: chances by yards gained, which
// come to one. The second level chases, and every man beyond it runs to meet the runner
// once he has read run. With nobody deep it goes on and on.
func (r *Result) past(gap *Gap) (p [mostYards + 1]float64) {
	men, left := r.stoppers(), 1.0
	speed := carrier * r.Rep.Params.Back.Max
	for n := longRun; n < mostYards; n++ {
		at := field.Point{X: gap.At.X, Y: float64(n)}
		clock := gap.Hit + (at.Y-gap.At.Y)/speed
		free := (1 - second*math.Exp(-float64(n-longRun)/secondYd)) * (1 - fromBack)
		best, sum := 0.0, 0.0
		for i := range men {
			x := men[i].meet(at, clock)
			best, sum = max(best, x), sum+x
		}
		free *= (1 - meets*best) * (1 - meets*another*min(1, sum-best))
		p[n] = left * (1 - free)
		left *= free
	}
	p[mostYards] = left
	return p
}

// meet is how surely a man has met the runner by then, 0 to 1, less for each try that failed.
func (s *stopper) meet(at field.Point, clock field.Seconds) float64 {
	short := s.speed.Reach(clock-s.start) - (s.at.Dist(at) - armLength)
	try := s.free * min(1, max(0, 0.5+0.44*short))
	worth := try * math.Exp(-s.tried/meetsLeft)
	s.tried += try
	return worth
}

// stoppers are the men outside of the box.
func (r *Result) stoppers() (out []stopper) {
	g := r.Rep
	for j := range g.Setup.Men {
		m := &g.Setup.Men[j]
		if r.inBox(m) {
			continue
		}
		s := stopper{at: m.At, speed: g.Params.Speed(m.Slot.Runs), start: g.Params.Start + g.Params.RunRead, free: 1}
		if r.stalked(m) {
			s.free = stalk
		}
		out = append(out, s)
	}
	return out
}

// stalked says that a split receiver is near enough to block a man.
func (r *Result) stalked(m *duty.Man) bool {
	g := r.Rep
	return m.At.Y < 10 && slices.ContainsFunc(g.Picture.Receivers, func(x picture.Receiver) bool {
		return !x.Back && math.Abs(x.At.X) > g.Setup.EndMan(x.Side)+2 && math.Abs(x.At.X-m.At.X) < stalkedYd
	})
}

// inBox says that a man stands within eight yards of the line and two and a half of its
// last blockers, or rushes.
func (r *Result) inBox(m *duty.Man) bool {
	side := 1
	if m.At.X < 0 {
		side = -1
	}
	return motion.Rushes(m) || math.Abs(m.At.X) <= r.Rep.Setup.EndMan(side)+2.5 && m.At.Y <= 8
}
