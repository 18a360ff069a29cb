package tendency

import (
	"math"
	"testing"
)

func TestForecasts(t *testing.T) {
	for _, tt := range []struct {
		p         []float64
		y         []bool
		brier     float64
		loss, tol float64
		src       string
	}{
		{[]float64{.7}, []bool{true}, .09, -1, 1e-12, "Brier 1950, textbook example (CALC)"},
		{[]float64{1}, []bool{true}, 0, 0, 1e-12, "Brier 1950 (CALC)"},
		{[]float64{.3}, []bool{true}, .49, -1, 1e-12, "Brier 1950 (CALC)"},
		{[]float64{.5}, []bool{false}, .25, math.Ln2, 1e-12, "Brier 1950 (CALC)"},
		{[]float64{.1, .9, .8, .3}, []bool{false, true, true, false}, .0375, -1, 1e-12, "scikit-learn brier_score_loss docs (MEM+CALC)"},
		{[]float64{.9, .1, .2, .65}, []bool{true, false, false, true}, -1, .2161618747, 5e-11, "scikit-learn log_loss docs (MEM+CALC)"},
		{nil, nil, 0, 0, 0, "nothing forecast"},
	} {
		if got := Brier(tt.p, tt.y); tt.brier >= 0 && !near(got, tt.brier, tt.tol) {
			t.Errorf("Brier(%v) = %v; want %v (%s)", tt.p, got, tt.brier, tt.src)
		}
		if got := LogLoss(tt.p, tt.y); tt.loss >= 0 && !near(got, tt.loss, tt.tol) {
			t.Errorf("LogLoss(%v) = %v; want %v (%s)", tt.p, got, tt.loss, tt.src)
		}
	}
	if got := LogLoss([]float64{0}, []bool{true}); !math.IsInf(got, 1) {
		t.Errorf("LogLoss of the impossible = %v; want +Inf", got)
	}
}

func TestCalibration(t *testing.T) {
	const src = "TorchMetrics BinaryCalibrationError docstring (SEEN-code + CALC)"
	bins := Calibration([]float64{.25, .25, .55, .75, .75}, []bool{false, false, true, true, true}, 2)
	if mean, most := CalibrationError(bins); !near(mean, .2900, 5e-5) || !near(most, .3167, 5e-5) {
		t.Errorf("CalibrationError = %v, %v; want .2900, .3167 (%s)", mean, most, src)
	}
	if bins[0].N != 2 || bins[1].N != 3 || bins[1].Rate != 1 {
		t.Errorf("bins %+v", bins)
	}
	if b := Calibration([]float64{1}, []bool{true}, 10)[9]; b.N != 1 {
		t.Errorf("a certain forecast falls out of the last bin: %+v", b)
	}
}
