package tendency

import (
	"testing"

	"pgregory.net/rapid"
)

// TestMeanOfWholes: where every value is 0 or 1 the mean is a share, and its
// interval Jeffreys'.
func TestMeanOfWholes(t *testing.T) {
	for _, tt := range []struct {
		x, n      int
		low, high float64
	}{{1, 10, .011012, .381315}, {5, 10, .223529, .776471}, {3, 8, .119039, .705177}, {7, 20, .172276, .567766}} {
		m, l, h := Mean([]float64{1, 0}, []int{tt.x, tt.n - tt.x})
		if m != float64(tt.x)/float64(tt.n) || !near(l, tt.low, 5e-7) || !near(h, tt.high, 5e-7) {
			t.Errorf("Mean(%d of %d) = %v in %.6f to %.6f; want %v to %v (Jeffreys, %s)", tt.x, tt.n, m, l, h, tt.low, tt.high,
				smallN)
		}
	}
}

func TestMeanKeepsDoubt(t *testing.T) {
	if m, l, h := Mean(nil, nil); m != 0 || l != 0 || h != 1 {
		t.Errorf("Mean of nothing = %v in %v to %v; want 0 in 0 to 1", m, l, h)
	}
	// Three plays of one concept are no certainty.
	if _, l, h := Mean([]float64{.4}, []int{3}); h-l < .2 {
		t.Errorf("Mean of one concept run 3 times: only %.3f wide", h-l)
	}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 8).Draw(t, "k")
		v := rapid.SliceOfN(rapid.Float64Range(0, 1), k, k).Draw(t, "v")
		c := rapid.SliceOfN(rapid.IntRange(0, 50), k, k).Draw(t, "c")
		m, l, h := Mean(v, c)
		if !(0 <= l && l <= m && m <= h && h <= 1) {
			t.Fatalf("Mean(%v, %v) = %v in %v to %v", v, c, m, l, h)
		}
		more := make([]int, k)
		for i := range c {
			more[i] = 10 * c[i]
		}
		if _, ml, mh := Mean(v, more); mh-ml > h-l+1e-9 {
			t.Fatalf("ten times the plays widen the interval: %v to %v", h-l, mh-ml)
		}
	})
}
