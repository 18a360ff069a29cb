package stress

import (
	"math"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// better is by how much a man who is torn between two throws is further from the one that is
// thrown than he usually is: the passer reads him, and throws it on the days when he leans to the
// other. When the chance to be thrown to grows by e in 1/Read yards, the mean of the days that
// are chosen is off by Read times their variance, as that of a normal distribution is.
func (c *Curve) better(flight field.Seconds) field.Yards {
	scale := c.spread(flight)
	return c.Read * scale * scale * math.Pi * math.Pi / 3
}

// givenUp is by how much further off the other throw must be than this one for a man to have
// given it up: as far as where help is none (Tuning.Hopeless).
const givenUp field.Yards = 6

// torn says how torn each man in coverage is between this throw, if it is his, and another of
// his that is live: wholly when the other is as near, not at all when he has given it up for this
// one. It is nil when nobody is.
func torn(g *motion.Rep, i, k int, room *[11]float64) []float64 {
	any := false
	men := g.Cover[:min(len(g.Cover), len(room))]
	for n, j := range men {
		room[n] = 0
		if g.Torn(j, k) < 2 || g.Owes(j, i, k) != 2 {
			continue
		}
		for _, l := range g.Live[k] {
			if l != i && l != g.Run && g.Owes(j, l, k) == 2 {
				room[n] = max(room[n], 1-(g.Gap[j][l][k]-g.Gap[j][i][k])/givenUp)
			}
		}
		room[n] = min(1, room[n])
		any = any || room[n] > 0
	}
	if !any {
		return nil
	}
	return room[:len(men)]
}
