package tendency

// Brier returns the mean squared difference between forecast chances and what
// happened (Brier 1950, one class): 0 is perfect, 0.25 is a coin's. Without a
// forecast 0.
func Brier(chance []float64, happened []bool) float64 {
	sum := 0.0
	for i, p := range chance {
		if happened[i] {
			p = 1 - p
		}
		sum += p * p
	}
	return sum / float64(max(1, len(chance)))
}

// A Bin holds the forecasts between two chances and how often they came true.
type Bin struct {
	From, To  float64 // From included, To not, but for 1
	N         int
	Forecast  float64 // mean chance; 0 in an empty bin
	Rate      float64 // share that happened
	Low, High float64 // of the rate, 95%
}

// Calibration sorts forecasts into equal bins; bins is at least 1.
func Calibration(chance []float64, happened []bool, bins int) []Bin {
	out, came := make([]Bin, bins), make([]int, bins)
	for i, p := range chance {
		b := min(bins-1, int(p*float64(bins)))
		out[b].N++
		out[b].Forecast += p
		if happened[i] {
			came[b]++
		}
	}
	for b := range out {
		x := &out[b]
		x.From, x.To = float64(b)/float64(bins), float64(b+1)/float64(bins)
		x.Forecast /= float64(max(1, x.N))
		x.Rate = Share(came[b], x.N)
		x.Low, x.High = Wilson(came[b], x.N)
	}
	return out
}

// BrierParts says what a Brier score is made of (Murphy 1973), for forecasts sorted
// into bins: it is Reliability - Resolution + Uncertainty + Within.
type BrierParts struct {
	Reliability float64 // how far the bins' rates lie from what was forecast, squared: 0 is best
	Resolution  float64 // how far they lie apart from the rate of all, squared: the larger, the better told apart
	Uncertainty float64 // of the events themselves: the score of always forecasting the rate of all
	Within      float64 // from forecasts of one bin that differ (Stephenson, Coelho and Jolliffe 2008)
}

// Parts splits the Brier score of what Calibration sorted. Nothing forecast: all 0.
func Parts(brier float64, bins []Bin) BrierParts {
	n, came := 0, 0.0
	for _, b := range bins {
		n += b.N
		came += b.Rate * float64(b.N)
	}
	if n == 0 {
		return BrierParts{}
	}
	base := came / float64(n)
	p := BrierParts{Uncertainty: base * (1 - base)}
	for _, b := range bins {
		w := Share(b.N, n)
		p.Reliability += w * (b.Forecast - b.Rate) * (b.Forecast - b.Rate)
		p.Resolution += w * (b.Rate - base) * (b.Rate - base)
	}
	p.Within = brier - (p.Reliability - p.Resolution + p.Uncertainty)
	return p
}
