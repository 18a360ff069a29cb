package tendency

// Counts are what was counted in one group of plays.
type Counts struct {
	Plays, Of                  int // of Of plays, the group is so many
	Runs, Passes               int
	GainSum, GainKnown         int // yards
	Successes, SuccessKnown    int
	Explosives, ExplosiveKnown int
	Completions, Throws        int
	DepthSum, DepthKnown       int // of throws, yards past the line
	TimeSum                    float64
	TimeKnown                  int // throws whose time is known, seconds
}

// A Rate is a share with its 95% interval (Wilson).
type Rate struct{ Share, Low, High float64 }

// RateOf is the rate of x in n. Without a trial the share is 0 and nothing is known of
// it: 0 to 1.
func RateOf(x, n int) Rate {
	low, high := Wilson(x, n)
	return Rate{Share(x, n), low, high}
}

// Scores are what counts come to. What needs something known and has nothing is nil.
type Scores struct {
	Share       Rate // of the plays it is counted of
	Run         Rate // of the plays whose call is known
	RunPassBits float64
	MeanGain    *float64 // yards
	Success     *Rate
	Explosive   *Rate
	Completion  *Rate
	MeanDepth   *float64 // yards past the line
	MeanTime    *float64 // seconds
	Thin        bool     // too few plays to be read without care
}

// Score is where counts become shares, rates and means; nowhere else does.
func Score(c Counts) Scores {
	return Scores{Share: RateOf(c.Plays, c.Of), Run: RateOf(c.Runs, c.Runs+c.Passes), RunPassBits: Entropy(c.Runs,
		c.Passes),
		MeanGain: MeanOf(float64(c.GainSum), c.GainKnown), Success: known(c.Successes, c.SuccessKnown),
		Explosive:  known(c.Explosives, c.ExplosiveKnown),
		Completion: known(c.Completions, c.Throws), MeanDepth: MeanOf(float64(c.DepthSum), c.DepthKnown),
		MeanTime: MeanOf(c.TimeSum, c.TimeKnown),
		Thin:     c.Plays < Thin}
}

// MeanOf is a sum over n, nil where nothing is known.
func MeanOf(sum float64, n int) *float64 {
	if n == 0 {
		return nil
	}
	m := sum / float64(n)
	return &m
}

func known(x, n int) *Rate {
	if n == 0 {
		return nil
	}
	r := RateOf(x, n)
	return &r
}

// Split is the rate as a share and its limits, for a wire form that leaves out what is
// not known.
func (r *Rate) Split() (share, low, high *float64) {
	if r == nil {
		return nil, nil, nil
	}
	return &r.Share, &r.Low, &r.High
}
