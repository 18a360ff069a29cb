package tendency

import "gonum.org/v1/gonum/mathext"

// A Level is one situation of a chain from the cell asked about to ever coarser
// ones; each holds the plays of the one before it.
type Level struct {
	Name   string
	Counts []int // plays by outcome
	// plays by outcome in each situation of the same kind, this one too: they tell how alike such
	// situations are
	Siblings [][]int
}

// A Source says what a shrunk share owes to one level of its chain.
type Source struct {
	Name    string
	Plays   int
	Weight  float64 // the weights of all sources add up to 1
	Worth   float64 // how many plays the next coarser level counts for here
	Learned bool    // Worth was learned from siblings, and not just assumed
}

// A Shrunk is the empirical-Bayes estimate of a cell's shares.
type Shrunk struct {
	Shares    []float64
	Low, High []float64 // 95%
	From      []Source  // finest first; the last is equal shares, for what nobody knows
}

// Shrink estimates the shares of the first level, backing off along the chain.
// From the coarsest level down, each level's shares are
//
//	(its counts + worth x the shares of the level above) / (its plays + worth)
//
// where worth is learned from the siblings: large when they are all alike, small
// when each goes its own way. Above the coarsest level stand equal shares, worth
// half a play an outcome (Jeffreys). The levels' counts are nested and the
// interval takes the level above as known: it is a little narrow where the whole
// chain is thin. All levels have the same outcomes; without a level or an
// outcome the result is empty. kin may hold, level by level, what was learned of
// the siblings already; where it does not, they are read.
func Shrink(chain []Level, kin ...*Kin) Shrunk {
	if len(chain) == 0 || len(chain[0].Counts) == 0 {
		return Shrunk{}
	}
	k := len(chain[0].Counts)
	above := make([]float64, k)
	for j := range above {
		above[j] = 1 / float64(k)
	}
	out := Shrunk{From: make([]Source, len(chain)+1)}
	size := 0.0
	for i := len(chain) - 1; i >= 0; i-- {
		s := &out.From[i]
		s.Name, s.Worth = chain[i].Name, float64(k)/2
		for _, c := range chain[i].Counts {
			s.Plays += c
		}
		if i < len(chain)-1 {
			k := (*Kin)(nil)
			if i < len(kin) {
				k = kin[i]
			}
			if k == nil {
				k = NewKin(chain[i].Siblings)
			}
			s.Worth, s.Learned = k.worth(s.Plays)
		}
		above = blend(chain[i].Counts, above, s.Worth)
		size = float64(s.Plays) + s.Worth
	}
	out.Shares = above
	for _, p := range above {
		low, high := 1.0, 1.0 // a single outcome
		if k > 1 {
			low = mathext.InvRegIncBeta(size*p, size*(1-p), 0.025)
			high = mathext.InvRegIncBeta(size*p, size*(1-p), 0.975)
		}
		// Of a share near 0 that hangs on little the mean can lie outside the quantiles.
		out.Low, out.High = append(out.Low, min(low, p)), append(out.High, max(high, p))
	}
	rest := 1.0
	for i := range chain {
		s := &out.From[i]
		own := float64(s.Plays) / (float64(s.Plays) + s.Worth)
		s.Weight = rest * own
		rest *= 1 - own
	}
	out.From[len(chain)] = Source{Name: "equal shares", Weight: rest}
	return out
}

// blend returns the mean of the Dirichlet that counts make of one with mean
// above and parameters that add up to worth.
func blend(counts []int, above []float64, worth float64) []float64 {
	n := 0
	for _, c := range counts {
		n += c
	}
	out := make([]float64, len(counts))
	for j, c := range counts {
		out[j] = (float64(c) + worth*above[j]) / (float64(n) + worth)
	}
	return out
}
