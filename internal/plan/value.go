package plan

import (
	"encoding/json"
	"fmt"
	"math"

	"overhang/internal/stress"
)

// GivesUp is what a call gives up a snap: in expected points, less before it than after,
// from the side of the offense, with what they are made of.
type GivesUp struct {
	Points    float64 `json:"gives_up_points"`
	Success   float64 `json:"success"`
	Explosive float64 `json:"explosive"`
	Touchdown float64 `json:"touchdown"`
	Turnover  float64 `json:"turnover"`
	MeanGain  float64 `json:"mean_gain_yd"`
}

func givesUp(v stress.Value) GivesUp {
	return GivesUp{v.Points, v.Success, v.Explosive, v.Touchdown, v.Turnover, v.Gain}
}

// Given is what a result that was weighed gives up.
func Given(r *stress.Result) GivesUp { return givesUp(r.Value) }

func (g *GivesUp) plus(w float64, o *GivesUp) {
	g.Points += w * o.Points
	g.Success += w * o.Success
	g.Explosive += w * o.Explosive
	g.Touchdown += w * o.Touchdown
	g.Turnover += w * o.Turnover
	g.MeanGain += w * o.MeanGain
}

// MarshalJSON leaves the numbers of a row that was held against nothing null: unknown is not 0.
func (r Row) MarshalJSON() ([]byte, error) {
	type plain Row
	if len(r.Cells) > 0 {
		return json.Marshal(plain(r))
	}
	var none *float64
	return json.Marshal(struct {
		plain
		Stress     *float64 `json:"stress"`
		Low        *float64 `json:"stress_low"`
		High       *float64 `json:"stress_high"`
		Points     *float64 `json:"gives_up_points"`
		PointsLow  *float64 `json:"gives_up_low"`
		PointsHigh *float64 `json:"gives_up_high"`
		Success    *float64 `json:"success"`
		Explosive  *float64 `json:"explosive"`
		Touchdown  *float64 `json:"touchdown"`
		Turnover   *float64 `json:"turnover"`
		MeanGain   *float64 `json:"mean_gain_yd"`
		Worst      *int     `json:"worst_concept"`
	}{plain(r), none, none, none, none, none, none, none, none, none, none, none, nil})
}

// What the engine is off by in one cell, as a standard deviation: success to begin with,
// and points at 1.93 of them for a success, as in one professional season (points_weights).
// Assumed until a program has games enough to tell its own.
const (
	offSuccess = 0.06
	offPoints  = 1.93 * offSuccess
	// ownPoints is the part of it that is a call's own: how well the offense runs the picture
	// is the same for two calls held against it. Measured: of .064 completion by route and
	// coverage .026 is the coverage's own once counting is taken off (TestTradeDoubt, two tables:
	// .026 and .025), and so of a success; with .015 of gains of twenty and more at 1.57 points
	// and .009 of interceptions at 3.9.
	ownPoints = 0.066
	// ownRun is the same of a run: of the shares of short, middle and long ones by the men in
	// the box .018 is off (TestTradeRunBox), and a run is not intercepted.
	ownRun = 0.04
)

// Uneven counts the cells that our men's speeds changed.
func (b *Board) Uneven() (n int) {
	for i := range b.Rows {
		for k := range b.Rows[i].Cells {
			if b.Rows[i].Cells[k].Even != nil {
				n++
			}
		}
	}
	return n
}

// own is what a call by itself may be off by against a concept, in points.
func (c *Concept) own() float64 {
	if c.Runs() {
		return ownRun
	}
	return ownPoints
}

// unseenSuccess is the variance of the chance of one play more than was counted, which may be
// of a concept that nobody has seen: a few plays of one concept say little. An assumption.
const unseenSuccess = 0.05

// z95 is how many standard deviations hold 95% of a normal distribution.
const z95 = 1.96

// fewest plays with a picture, and their least share of a situation's plays, on which
// something is recommended. A staff's choice, no source.
const (
	fewestPlays = 8
	leastShare  = 3 // one play in so many
)

// tooFew says why nothing is recommended, "" where there is enough to go by.
func (b *Board) tooFew() string {
	switch {
	case b.Covered < fewestPlays:
		return fmt.Sprintf("too few: your base call (%d of %d plays have a picture; %d are needed)", b.Covered, b.Plays,
			fewestPlays)
	case leastShare*b.Covered < b.Plays:
		return fmt.Sprintf("too few: your base call (%d of %d plays have a picture: under a third)", b.Covered, b.Plays)
	}
	return ""
}

// value works out what a row gives up over all concepts, and how sure that is: the counts
// behind the weights, and what the engine is off by in each cell.
func (b *Board) value(row *Row) {
	row.GivesUp = GivesUp{}
	n, second, chances := 0.0, 0.0, 0.0
	for i := range b.Concepts {
		n += float64(b.Concepts[i].Plays)
	}
	if n == 0 {
		return
	}
	for i := range row.Cells {
		w := float64(b.Concepts[i].Plays) / n
		row.GivesUp.plus(w, &row.Cells[i].GivesUp)
		second += w * row.Cells[i].Points * row.Cells[i].Points
		chances += w * row.Cells[i].Stress * row.Cells[i].Stress
	}
	squares := b.evenness(n)
	counts := max(0, second-row.Points*row.Points) / (n + 1)
	half := z95 * math.Sqrt(counts+offPoints*offPoints*squares)
	row.PointsLow, row.PointsHigh = row.Points-half, row.Points+half
	counts = (n*max(0, chances-row.Stress*row.Stress) + unseenSuccess) / ((n + 1) * (n + 2))
	half = z95 * math.Sqrt(counts+offSuccess*offSuccess*squares)
	row.Low, row.High = max(0, row.Stress-half), min(1, row.Stress+half)
}

// evenness is the chance that two plays are of one concept, by which what the engine is off by
// in each cell does not average out: estimated without bias from n counted plays (Simpson 1949;
// the squares of the counted shares come out too high, the fewer plays the more), and no less
// than if all concepts that were seen came alike.
func (b *Board) evenness(n float64) float64 {
	pairs := 0.0
	for i := range b.Concepts {
		x := float64(b.Concepts[i].Plays)
		pairs += x * (x - 1)
	}
	return max(pairs/max(1, n*(n-1)), 1/float64(len(b.Concepts)))
}
