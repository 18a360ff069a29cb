package tendency

import (
	"math"
	"testing"
)

func TestBrier(t *testing.T) {
	for _, tt := range []struct {
		p     []float64
		y     []bool
		brier float64
		src   string
	}{
		{[]float64{.7}, []bool{true}, .09, "Brier 1950, textbook example (CALC)"},
		{[]float64{1}, []bool{true}, 0, "Brier 1950 (CALC)"},
		{[]float64{.3}, []bool{true}, .49, "Brier 1950 (CALC)"},
		{[]float64{.5}, []bool{false}, .25, "Brier 1950 (CALC)"},
		{[]float64{.1, .9, .8, .3}, []bool{false, true, true, false}, .0375,
			"scikit-learn brier_score_loss docs (MEM+CALC)"},
		{nil, nil, 0, "nothing forecast"},
	} {
		if got := Brier(tt.p, tt.y); !near(got, tt.brier, 1e-12) {
			t.Errorf("Brier(%v) = %v; want %v (%s)", tt.p, got, tt.brier, tt.src)
		}
	}
}

func TestCalibration(t *testing.T) {
	bins := Calibration([]float64{.25, .25, .55, .75, .75}, []bool{false, false, true, true, true}, 2)
	// The forecasts of TorchMetrics' BinaryCalibrationError docstring (SEEN-code + CALC):
	// its largest error is .3167, its mean .2900 over both bins.
	off := func(b Bin) float64 { return math.Abs(b.Forecast - b.Rate) }
	if mean := (2*off(bins[0]) + 3*off(bins[1])) / 5; !near(mean, .29, 5e-5) || !near(off(bins[1]), .3167, 5e-5) {
		t.Errorf("forecasts and rates are %v apart, %v in the second bin; want .2900 and .3167", mean, off(bins[1]))
	}
	if bins[0].N != 2 || bins[1].N != 3 || bins[1].Rate != 1 {
		t.Errorf("bins %+v", bins)
	}
	if b := Calibration([]float64{1}, []bool{true}, 10)[9]; b.N != 1 {
		t.Errorf("a certain forecast falls out of the last bin: %+v", b)
	}
}

// TestParts: the data are those that the port of R's SpecsVerification to numpy is tried
// on (JanaFe/BrierDecomp, test.py), the figures its formulas (rel = sum((B-C)^2/A)/n,
// res = sum(A (B/A-Y/n)^2)/n, unc = Y(n-Y)/n^2) in exact fractions (SEEN, CALC).
func TestParts(t *testing.T) {
	seven, came := []float64{.1923, .9532, .8834, .2420, .0521, .6787, .4321}, []bool{false, true, true, false, false,
		false, true}
	twenty := []float64{.94725436, .9053663, .15559863, .18543585, .24392618, .97578883, .13123178, .09639295, .16112317,
		.115615964,
		.7339622, .22357145, .33462253, .17155208, .14778529, .09295429, .47029933, .7423472, .3012784, .17553441}
	five := map[int]bool{0: true, 1: true, 5: true, 10: true, 17: true}
	hit := make([]bool, len(twenty))
	for i := range hit {
		hit[i] = five[i]
	}
	for _, tt := range []struct {
		p    []float64
		y    []bool
		bins int
		want BrierParts
	}{
		{seven, came, 10, BrierParts{.12816965714285714, .24489795918367346, .24489795918367346, 0}},
		{seven, came, 2, BrierParts{.01288170369047619, .04251700680272109, .24489795918367346, -.08709299892857143}},
		{twenty, hit, 10, BrierParts{.044545691074973845, .1875, .1875, .0003569777425603739}},
		{twenty, hit, 4, BrierParts{.04279476928792587, .1875, .1875, .00210789952960835}},
		{nil, nil, 5, BrierParts{}},
		// always the same chance tells nothing apart
		{[]float64{.3, .3, .3, .3}, []bool{true, false, false, false}, 5, BrierParts{.0025, 0, .1875, 0}},
	} {
		got := Parts(Brier(tt.p, tt.y), Calibration(tt.p, tt.y, tt.bins))
		if !near(got.Reliability, tt.want.Reliability, 1e-12) || !near(got.Resolution, tt.want.Resolution, 1e-12) ||
			!near(got.Uncertainty, tt.want.Uncertainty, 1e-12) || !near(got.Within, tt.want.Within, 1e-12) {
			t.Errorf("%d forecasts in %d bins: %+v, want %+v", len(tt.p), tt.bins, got, tt.want)
		}
	}
}
