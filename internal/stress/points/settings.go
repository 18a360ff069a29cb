package points

import "math"

// Settings are what a staff says of the kicking that ends a drive. The zero Settings are
// those of the season.
type Settings struct {
	FieldGoal float64 // the longest kick they try, yards from the spot it is kicked at; 0: as the season's, 57
	Punt      float64 // net yards of a punt; 0: as the season's, 42
	GoForIt   bool    // on fourth down they go for it wherever that is worth more
}

const (
	usualKick = 57
	usualPunt = 42
	behind    = 18  // a field goal is kicked so many yards behind the yards to the goal line
	kick      = 3.0 // points
)

// shift is by how much settings move a down: what they do to fourth down, as often as
// the drive gets there.
func (s Settings) shift(down int, distance, toGoal float64) float64 {
	if s == (Settings{}) {
		return 0
	}
	switch down {
	case 4:
		return s.fourth(distance, toGoal)
	case 3:
		return failed(distance)*s.fourth(distance, toGoal) + (1-failed(distance))*s.series(toGoal-distance-6)
	case 2:
		f := 0.55 * failed(distance)
		return f*s.fourth(max(1, distance-3), toGoal-3) + (1-f)*s.series(toGoal-distance-6)
	}
	return s.series(toGoal)
}

// failed is how often third down does not make it: .35 of one yard, .75 of fifteen.
// Open plays 2022, rounded.
func failed(distance float64) float64 { return min(0.85, 0.32+0.03*distance) }

// series moves first and ten (set so that a short kick moves it as an illustration of other kicking
// does, expected_points_settings, rms .07): one series of four ends in a fourth down some two yards
// on; three of five end in another first down, fifteen yards on. Rounded from the open plays.
func (s Settings) series(toGoal float64) float64 {
	v, weight := 0.0, 1.0
	for y := toGoal; y > 1 && weight > 0.01; y -= 15 {
		v += weight * 0.24 * s.fourth(6, max(1, y-2))
		weight *= 0.6
	}
	return v
}

// fourth is what fourth down is worth more (less) than with the season's kicking.
func (s Settings) fourth(distance, toGoal float64) float64 {
	own, usual := s.choose(distance, toGoal), Settings{}.choose(distance, toGoal)
	return own - usual
}

// choose is the value of fourth down by rule: the better of kick and punt, or of going
// for it, which the season does with two yards or less past midfield.
func (s Settings) choose(distance, toGoal float64) float64 {
	reach, net := s.FieldGoal, s.Punt
	if reach == 0 {
		reach = usualKick
	}
	if net == 0 {
		net = usualPunt
	}
	best := -opening(min(80, 100-max(0, toGoal-net)))          // into the end zone it comes out to the 20
	good := 0.98 / (1 + math.Exp((toGoal+behind-reach+6)/4.5)) // the longest tried is made one time in five
	best = max(best, good*kick-(1-good)*opening(min(80, 100-toGoal)))
	if s.GoForIt || distance <= 2 && toGoal < 60 {
		p := 0.68 - 0.035*distance
		best = max(best, p*opening(max(1, toGoal-distance-2))-(1-p)*opening(min(99, 100-toGoal)))
	}
	return best
}

// opening is first and ten so many yards from the goal line, near enough for a choice:
// the season's, as a straight line.
func opening(toGoal float64) float64 { return 6 - 0.0635*toGoal }
