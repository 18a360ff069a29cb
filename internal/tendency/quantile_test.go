package tendency

import (
	"math/rand/v2"
	"testing"
)

func TestQuantile(t *testing.T) {
	for _, tt := range []struct {
		values []float64
		p      float64
		want   float64
		src    string
	}{
		{[]float64{1, 3, 2, 4}, .3, 1.9, "Excel documentation, PERCENTILE (MEM)"},
		{[]float64{1, 2, 4, 7, 8, 9, 10, 12}, .25, 3.5, "Excel documentation, QUARTILE (MEM)"},
		{[]float64{5}, .9, 5, "one value"},
		{[]float64{2, 1}, .5, 1.5, "median of two: by definition"},
		{[]float64{2, 1}, 1, 2, "the largest: by definition"},
	} {
		if got, ok := Quantile(tt.values, tt.p); !ok || !near(got, tt.want, 1e-12) {
			t.Errorf("Quantile(%v, %v) = %v, %v; want %v (%s)", tt.values, tt.p, got, ok, tt.want, tt.src)
		}
	}
	if _, ok := Quantile(nil, .5); ok {
		t.Error("Quantile of nothing is known")
	}
}

func TestDepths(t *testing.T) {
	const src = "ranks of the sign test's 95% interval of the median (Conover, Practical Nonparametric Statistics, " +
		"binomial table: MEM+CALC)"
	for _, tt := range []struct{ n, rank int }{{5, 0}, {6, 1}, {8, 1}, {9, 2}, {10, 2}, {12, 3}, {15, 4}, {20, 6},
		{25, 8}} {
		if k := signRank(tt.n); k != tt.rank {
			t.Errorf("signRank(%d) = %d; want %d (%s)", tt.n, k, tt.rank, src)
		}
	}
	d := Depths([]float64{12, 11, 13, 12, 10, 12, 14, 12, 11, 20})
	if d.N != 10 || d.Median != 12 || d.Low != 11 || d.High != 14 || !d.Bounded || d.Least != 10 || d.Most != 20 {
		t.Errorf("Depths = %+v; want a median of 12 between the second and the ninth of ten, 11 and 14 (%s)", d, src)
	}
	if d := Depths([]float64{6, 5}); d.Bounded || d.Median != 5.5 {
		t.Errorf("Depths of two = %+v; want no interval", d)
	}
	if d := Depths(nil); d.Defined {
		t.Errorf("Depths of none = %+v", d)
	}
	rng := rand.New(rand.NewPCG(7, 8))
	held := 0
	for range 4000 {
		v := make([]float64, 15)
		for i := range v {
			v[i] = rng.ExpFloat64() // its median is ln 2
		}
		if d := Depths(v); d.Low <= .693147 && .693147 <= d.High {
			held++
		}
	}
	if held < 4000*95/100 {
		t.Errorf("the interval of the median held it in %d of 4000 seeded draws; want 95%% at least", held)
	}
}
