package plan

import "overhang/internal/tendency"

// A Price is what calling by certain shares is expected to give up.
type Price struct {
	// to the concepts as often as he ran them; the interval says how far those weights could be off
	Observed float64 `json:"observed_stress"`
	Low      float64 `json:"observed_low"`
	High     float64 `json:"observed_high"`
	Worst    float64 `json:"worst_stress"` // to the concept against which it gives up most, had he run nothing else
	// WorstAt is that concept's place among the situation's.
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

// Own prices what the coordinator chose, nil where he chose nothing or gave no
// share. What his shares leave open is left out: they are taken relative to their sum.
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
	return p
}
