package tendency

import "testing"

// words writes a square table of two taggers out, clip by clip.
func words(table [][]int) (a, b []string) {
	for i, row := range table {
		for j, n := range row {
			for range n {
				a, b = append(a, string(rune('a'+i))), append(b, string(rune('a'+j)))
			}
		}
	}
	return a, b
}

func TestKappa(t *testing.T) {
	for _, tt := range []struct {
		table      [][]int
		same, want float64
		tol        float64
		src        string
	}{
		{[][]int{{20, 5}, {10, 15}}, .70, .40, 1e-12, `standard worked example, "Cohen's kappa" (MEM+CALC)`},
		{[][]int{{45, 15}, {25, 15}}, .60, .1304, 5e-5, `"Cohen's kappa" (MEM+CALC)`},
		{[][]int{{25, 35}, {5, 35}}, .60, .2593, 5e-5, `"Cohen's kappa" (MEM+CALC)`},
	} {
		a, b := words(tt.table)
		if got := Kappa(a, b); !got.Defined || !near(got.Same, tt.same, 1e-12) || !near(got.Coefficient, tt.want, tt.tol) {
			t.Errorf("Kappa(%v) = %+v; want %v with %v the same (%s)", tt.table, got, tt.want, tt.same, tt.src)
		}
	}
	// 0.6875 is printed for these labels; p_o .80, p_e .36.
	a, b := []string{"neg", "pos", "neg", "neut", "pos", "", "pos"}, []string{"neg", "pos", "neg", "neut", "neg", "pos",
		""}
	if got := Kappa(a, b); got.Units != 5 || !near(got.Coefficient, .6875, 1e-12) {
		t.Errorf("Kappa = %+v; want 0.6875 over 5 clips, the open ones left out (scikit-learn cohen_kappa_score docs, "+
			"MEM+CALC)", got)
	}
	for _, tt := range [][2][]string{{{"a", "a"}, {"a", "a"}}, {nil, nil}, {{""}, {"a"}}} {
		if got := Kappa(tt[0], tt[1]); got.Defined || got.Coefficient != 0 {
			t.Errorf("Kappa(%v) = %+v; want undefined: nothing varies", tt, got)
		}
	}
}

// units turns taggers' rows, 0 for no answer, into what was said of each clip.
func units(taggers ...[]int) (out [][]float64) {
	out = make([][]float64, len(taggers[0]))
	for _, row := range taggers {
		for u, v := range row {
			if v != 0 {
				out[u] = append(out[u], float64(v))
			}
		}
	}
	return out
}

func TestAlpha(t *testing.T) {
	for _, tt := range []struct {
		units             [][]float64
		n                 int
		nominal, interval float64
		src               string
	}{
		{units([]int{1, 2, 3, 3, 2, 1, 4, 1, 2, 0, 0, 0}, []int{1, 2, 3, 3, 2, 2, 4, 1, 2, 5, 0, 3}, []int{0, 3, 3, 3, 2, 3,
			4, 2, 2, 5, 1, 0}, []int{1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, 0}),
			40, .743421, .849107,
			"Krippendorff 2011, Computing Krippendorff's Alpha-Reliability, 4 observers (SEEN-code + CALC)"},
		{units([]int{0, 0, 0, 0, 0, 3, 4, 1, 2, 1, 1, 3, 3, 0, 3}, []int{1, 0, 2, 1, 3, 3, 4, 3, 0, 0, 0, 0, 0, 0, 0},
			[]int{0, 0, 2, 1, 3, 4, 4, 0, 2, 1, 1, 3, 3, 0, 4}),
			26, .691358, .810845, `3 coders, 15 units, "Krippendorff's alpha" (MEM+CALC)`},
		{units([]int{1, 2, 1, 1, 1, 1, 1, 1, 2, 1}, []int{2, 2, 2, 1, 1, 2, 1, 1, 1, 1}),
			20, .095238, .095238, "Krippendorff 2011, part A: binary, so both are the same (MEM+CALC)"},
	} {
		if got := Alpha(tt.units); got.Units != tt.n || !near(got.Coefficient, tt.nominal, 1e-6) {
			t.Errorf("Alpha = %+v; want %v over %d (%s)", got, tt.nominal, tt.n, tt.src)
		}
		if got := AlphaInterval(tt.units); got.Units != tt.n || !near(got.Coefficient, tt.interval, 1e-6) {
			t.Errorf("AlphaInterval = %+v; want %v over %d (%s)", got, tt.interval, tt.n, tt.src)
		}
	}
	for _, u := range [][][]float64{nil, {{3}}, {{3, 3}, {3, 3}}} {
		if got := AlphaInterval(u); got.Defined || got.Coefficient != 0 {
			t.Errorf("AlphaInterval(%v) = %+v; want undefined: nothing varies", u, got)
		}
	}
	if got := Alpha([][]string{{"go", "go"}, {"post", "post"}}); got.Coefficient != 1 || got.Same != 1 {
		t.Errorf("Alpha of full agreement = %+v; want 1 (by definition)", got)
	}
}
