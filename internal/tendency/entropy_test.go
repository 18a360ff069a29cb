package tendency

import "testing"

func TestEntropy(t *testing.T) {
	for _, tt := range []struct {
		counts []int
		want   float64
		tol    float64
		src    string
	}{
		{[]int{32, 16, 8, 4, 1, 1, 1, 1}, 2, 1e-12, "horse race: Cover & Thomas, Example 1.1.2 (MEM+CALC)"},
		{[]int{4, 2, 1, 1}, 1.75, 1e-12, "Shannon 1948, section 7 (MEM+CALC)"},
		{[]int{9, 5}, .940286, 5e-7, "Quinlan 1986 (MEM+CALC)"},
		{[]int{9, 1}, .468996, 5e-7, "scipy.stats.entropy docs (MEM+CALC)"},
		{[]int{7, 0}, 0, 0, "always the same: by definition"},
		{nil, 0, 0, "nothing counted"},
	} {
		if got := Entropy(tt.counts...); !near(got, tt.want, tt.tol) {
			t.Errorf("Entropy(%v) = %v; want %v (%s)", tt.counts, got, tt.want, tt.src)
		}
	}
}
