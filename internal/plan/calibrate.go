package plan

import (
	"math"
	"slices"

	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// Calibrated says what the plan's stress was worth as the chance that a play would
// succeed, on plays whose call and concept are both of the plan.
type Calibrated struct {
	Forecast float64  `json:"mean_forecast"` // 0 without a play
	Came     Fraction `json:"came"`          // successes, of the plays judged
	// of the plays judged, forecast from a picture in which some routes were seen by nobody
	Assumed     int            `json:"assumed_plays,omitempty"`
	Brier       float64        `json:"brier"`       // mean squared distance: 0 is perfect
	Reliability float64        `json:"reliability"` // its parts: tendency.BrierParts
	Resolution  float64        `json:"resolution"`
	Uncertainty float64        `json:"uncertainty"` // what always forecasting the share that came would score
	Within      float64        `json:"within_bins"`
	Bins        []Bin          `json:"bins"`
	LeftOut     map[string]int `json:"left_out"` // plays by reason, each once
	// Points and Explosive hold the plan's other numbers against what happened; absent in a
	// plan that was kept before it had them, and of fewer than two plays.
	Points    *Scored `json:"points,omitempty"`
	Explosive *Scored `json:"explosive,omitempty"`
}

// AssumedText says how many of the plays judged were forecast from routes that nobody saw.
func (c *Calibrated) AssumedText() string { return AssumedText(c.Assumed, c.Came.N) }

// A Bin is the forecasts between two chances, and how many of them came.
type Bin struct {
	From     float64  `json:"from"`
	To       float64  `json:"to"`
	Forecast float64  `json:"mean_forecast"` // 0 in an empty bin
	Came     Fraction `json:"came"`
}

// bins of a calibration: few, since a game has few plays.
const bins = 5

// calibrate sets the forecast of each play, once, beside what happened: that of the
// first of the plan's situations the play is of.
func (r *Review) calibrate(c *Content, of *OurPlays) {
	out := Calibrated{LeftOut: map[string]int{}}
	var chance []float64
	var came []bool
	var pts, explosive scores
	for i := range of.Plays {
		p := &of.Plays[i]
		at := slices.IndexFunc(of.Within, func(in map[uuid.UUID]bool) bool { return in[p.ID] })
		if at < 0 {
			r.Elsewhere++
			out.LeftOut["in no situation of the plan"]++
			continue
		}
		call, k, why := forecast(&c.Situations[at], p, of.Book)
		ok, known := succeeded(p, &of.Settings)
		if why == "" && !known {
			why = "down, distance or gain unknown"
		}
		if why != "" {
			out.LeftOut[why]++
			continue
		}
		if c.Situations[at].Concepts[k].Assumed > 0 {
			out.Assumed++
		}
		chance, came = append(chance, call.Against[k]), append(came, ok)
		if got, ok := won(p, &of.Settings); ok && k < len(call.Points) {
			pts.add(call.Points[k], got)
		}
		if got, ok := exploded(p, &of.Settings); ok && k < len(call.Explosive) {
			explosive.add(call.Explosive[k], got)
		}
	}
	out.Points, out.Explosive = pts.scored(), explosive.chances()
	n := 0
	for i, ok := range came {
		out.Forecast += chance[i] / float64(len(chance))
		if ok {
			n++
		}
	}
	out.Came, out.Brier, out.Bins = Of(n, len(came)), tendency.Brier(chance, came), []Bin{}
	sorted := tendency.Calibration(chance, came, bins)
	for _, b := range sorted {
		out.Bins = append(out.Bins, Bin{b.From, b.To, b.Forecast, Of(int(math.Round(b.Rate*float64(b.N))), b.N)})
	}
	parts := tendency.Parts(out.Brier, sorted)
	out.Reliability, out.Resolution, out.Uncertainty, out.Within = parts.Reliability, parts.Resolution, parts.Uncertainty,
		parts.Within
	r.Calibration = out
}

// forecast is the call and the place of the concept by which the plan forecast a play of a
// situation, or why it did not.
func forecast(s *Situation, p *tags.Play, book Callbook) (call *Predicted, k int, why string) {
	if p.Coverage == nil {
		return nil, 0, "no coverage tagged: the call is unknown"
	}
	if call = s.Call(nameOfCall(*p.Coverage, book)); call == nil {
		return nil, 0, "the call was not one of the plan's"
	}
	c, _, why := asRun(p)
	if why != "" {
		return nil, 0, why
	}
	for k, o := range s.Concepts {
		if o.Concept == c.Concept && o.SetName == c.SetName && o.Family == c.Family {
			return call, k, ""
		}
	}
	return nil, 0, "the concept from that set was not predicted in the situation"
}
