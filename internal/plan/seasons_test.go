package plan

import (
	"math"
	"math/rand/v2"
	"testing"
)

// drawn counts plays of a season by concept.
func drawn(rng *rand.Rand, shares []float64, plays int) []int {
	out := make([]int, len(shares))
	for range plays {
		x, i := rng.Float64(), 0
		for ; i+1 < len(shares) && x > shares[i]; i++ {
			x -= shares[i]
		}
		out[i]++
	}
	return out
}

// TestSeasonsHold: of 400 seasons drawn from the engine's numbers with its stated error
// (what a call gives up against each concept is off by offPoints, and the concepts come by
// chance) the intervals of a row hold 93 to 97% of what the call truly gives up.
// The numbers are invented; the standard is the definition of a 95% interval.
func TestSeasonsHold(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 400))
	shares := []float64{0.25, 0.2, 0.15, 0.12, 0.1, 0.08, 0.06, 0.04}
	says := []float64{-0.2, 0.05, 0.1, -0.1, 0.3, 0, -0.3, 0.2}
	for _, plays := range []int{25, 60, 150} {
		held, success := 0, 0
		for range 400 {
			b, truth, chance := Board{}, 0.0, 0.0
			row := Row{}
			for i, n := range drawn(rng, shares, plays) {
				off := rng.NormFloat64()
				truth += shares[i] * (says[i] + offPoints*off)
				expected := 0.5 + says[i]/3
				chance += shares[i] * (expected + offSuccess*off)
				if n > 0 {
					b.Concepts = append(b.Concepts, Concept{Plays: n})
					row.Cells = append(row.Cells, Cell{Concept: len(row.Cells), Stress: expected, GivesUp: GivesUp{Points: says[i]}})
				}
			}
			b.weigh(&row)
			if truth >= row.PointsLow && truth <= row.PointsHigh {
				held++
			}
			if chance >= row.Low && chance <= row.High {
				success++
			}
		}
		t.Logf("%d plays: the interval of points holds %d of 400, that of success %d", plays, held, success)
		for _, n := range []int{held, success} {
			if n < 372 || n > 388 {
				t.Errorf("%d plays: an interval holds %d of 400 truths (%.1f%%), want 93 to 97%%", plays, n, float64(n)/4)
			}
		}
	}
}

// TestSeasonsTold: seasons drawn from the plan's own chances agree with it in 95 of a hundred;
// those drawn from chances a sixth off are told apart in most, in success and in points.
func TestSeasonsTold(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 401))
	told := func(off float64) (success, pts int) {
		for range 400 {
			x, s, forecast := 0, scores{}, 0.0
			const plays = 160
			for range plays {
				p := 0.25 + 0.5*rng.Float64()
				forecast += p / plays
				won := -0.5
				if rng.Float64() < p+off {
					x++
					won = 0.9
				}
				s.add(1.4*p-0.5, won)
			}
			if f := Of(x, plays); forecast < f.Low || forecast > f.High {
				success++
			}
			if d := s.scored(); d.Low > 0 || d.High < 0 {
				pts++
			}
		}
		return success, pts
	}
	s, p := told(0)
	t.Logf("right chances: of 400 told apart %d in success, %d in points", s, p)
	if math.Abs(float64(s)-20) > 14 || math.Abs(float64(p)-20) > 14 {
		t.Errorf("of 400 seasons from the plan's own chances %d and %d are told apart, want about 20", s, p)
	}
	s, p = told(1.0 / 6)
	t.Logf("chances a sixth off: of 400 told apart %d in success, %d in points", s, p)
	if s < 380 || p < 380 {
		t.Errorf("of 400 seasons from wrong chances %d and %d are told apart", s, p)
	}
}
