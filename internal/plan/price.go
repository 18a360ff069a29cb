package plan

import "overhang/internal/tendency"

// A Price is what calling by certain shares is expected to give up.
type Price struct {
	// Points a snap, as a board's row counts them, with the interval of one; and to the
	// concept that is worst. Nil in a plan that was kept before there were points.
	Points      *float64 `json:"gives_up_points,omitempty"`
	PointsLow   *float64 `json:"gives_up_low,omitempty"`
	PointsHigh  *float64 `json:"gives_up_high,omitempty"`
	WorstPoints *float64 `json:"worst_gives_up_points,omitempty"`
	// The rest is chances of success.
	// to the concepts as often as they ran them; the interval says how far those weights could be off
	Observed float64 `json:"observed_stress"`
	Low      float64 `json:"observed_low"`
	High     float64 `json:"observed_high"`
	Worst    float64 `json:"worst_stress"` // to the concept to which it gives up most, had they run nothing else
	// WorstAt is that concept's place among the situation's: by points, where they are known.
	WorstAt int `json:"worst_concept"`
}

// Recommended prices the recommended mix, nil where there is none.
func (s *Situation) Recommended() *Price {
	var mix []Chosen
	for _, p := range s.Calls {
		mix = append(mix, Chosen{p.Call, p.Share})
	}
	return s.price(mix)
}

// Own prices what the coordinator chose, nil where nothing was chosen or given a
// share. What the shares leave open is left out: they are taken relative to their sum.
func (s *Situation) Own() *Price { return s.price(s.Choice.Calls) }

func (s *Situation) price(shares []Chosen) *Price {
	sum := 0.0
	for _, x := range shares {
		sum += x.Share
	}
	if sum <= 0 || len(s.Concepts) == 0 {
		return nil
	}
	values, counts := make([]float64, len(s.Concepts)), make([]int, len(s.Concepts))
	for k := range s.Concepts {
		counts[k] = s.Concepts[k].Plays
		for _, x := range shares {
			values[k] += x.Share / sum * s.Call(x.Call).Against[k]
		}
	}
	p := &Price{}
	p.Observed, p.Low, p.High = tendency.Mean(values, counts)
	for k, v := range values {
		if k == 0 || v > p.Worst {
			p.Worst, p.WorstAt = v, k
		}
	}
	if row := s.mixed(shares, sum); row != nil {
		p.Points, p.PointsLow, p.PointsHigh = &row.Points, &row.PointsLow, &row.PointsHigh
		for k := range row.Cells {
			if v := &row.Cells[k].Points; p.WorstPoints == nil || *v > *p.WorstPoints {
				p.WorstPoints, p.WorstAt, p.Worst = v, k, values[k]
			}
		}
	}
	return p
}

// mixed is the calls of shares as if they were one, nil without points.
func (s *Situation) mixed(shares []Chosen, sum float64) *Row {
	b := Board{Covered: s.Behind}
	row := &Row{}
	for k, o := range s.Concepts {
		b.Concepts = append(b.Concepts, Concept{Family: o.Family, Plays: o.Plays})
		c := Cell{Concept: k}
		for _, x := range shares {
			call := s.Call(x.Call)
			if k >= len(call.Points) {
				return nil
			}
			c.Stress += x.Share / sum * call.Against[k]
			c.Points += x.Share / sum * call.Points[k]
		}
		row.Cells = append(row.Cells, c)
	}
	b.weigh(row)
	return row
}
