package plan

import (
	"math"

	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// places are where the men of a call are who count against a picture: of a pass those who
// cover, while and when the last ball may leave; of a run all, as they line up.
type places [][2]field.Point

func placesOf(r *stress.Result) (out places) {
	g := r.Rep
	if r.Rep.Picture.Family == picture.Run {
		for j := range g.Setup.Men {
			out = append(out, [2]field.Point{g.Setup.Men[j].At, g.Setup.Men[j].At})
		}
		return out
	}
	half, last := (g.Clock.First+g.Clock.Last)/2, g.Clock.Last
	for _, j := range g.Cover {
		a, _ := g.Tracks[j].At(half)
		b, _ := g.Tracks[j].At(last)
		out = append(out, [2]field.Point{a, b})
	}
	return out
}

// same is how far two men may be apart who do the same, in yards; half of it, half the same.
// An assumption, no source.
const same field.Yards = 3

// alike is the share of the men of two calls who are where one of the other call is.
func (a places) alike(b places) float64 {
	one := func(a, b places) (n float64) {
		for _, x := range a {
			best := 0.0
			for _, y := range b {
				if far(x[0], y[0]) || far(x[1], y[1]) {
					continue
				}
				best = max(best, 1-max(x[0].Dist(y[0]), x[1].Dist(y[1]))/same)
			}
			n += best
		}
		return n
	}
	n := max(len(a), len(b))
	if n == 0 {
		return 0
	}
	return min(one(a, b), one(b, a)) / float64(n)
}

// far says without a root that two places are too far apart for two men who do the same.
func far(a, b field.Point) bool { return math.Abs(a.X-b.X) >= same || math.Abs(a.Y-b.Y) >= same }
