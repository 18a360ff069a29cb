package tendency

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestDirichletMultinomial(t *testing.T) {
	for _, tt := range []struct {
		alpha  []float64
		counts []int
		want   float64
		tol    float64
		src    string
	}{
		{[]float64{3, 4, 5}, []int{1, 2, 3}, .08484162895927604, 1e-12,
			"SciPy dirichlet_multinomial docs, tested against R (SEEN-code + CALC)"},
		{[]float64{1, 1, 1}, []int{4, 0, 0}, 1.0 / 15, 1e-12, "uniform: every composition alike (CALC)"},
		{[]float64{1, 1, 1}, []int{1, 2, 1}, 1.0 / 15, 1e-12, "uniform: every composition alike (CALC)"},
		{[]float64{2, 3}, []int{4, 6}, .1398601399, 5e-11, "beta-binomial n = 10, k = 4 (CALC)"},
		{[]float64{2, 3, 0}, []int{4, 6, 0}, .1398601399, 5e-11, "an outcome that cannot be says nothing"},
	} {
		if got := math.Exp(logDirichletMultinomial(tt.alpha, tt.counts)); !near(got, tt.want, tt.tol) {
			t.Errorf("chance of %v under %v = %v; want %v (%s)", tt.counts, tt.alpha, got, tt.want, tt.src)
		}
	}
}

// TestWorthOfSaxony takes 6,115 families of twelve: so many that the prior has
// no say, and worth must come out near the published likelihood fit.
func TestWorthOfSaxony(t *testing.T) {
	const src = `Lindsey & Altham 1998 in "Beta-binomial distribution" (text SEEN + CALC): alpha 34.10, beta 31.57, ` +
		`log L -12492.87`
	var families [][]int
	for boys, n := range []int{3, 24, 104, 286, 670, 1033, 1343, 1112, 829, 478, 181, 45, 7} {
		for range n {
			families = append(families, []int{boys, 12 - boys})
		}
	}
	log := func(alpha, beta float64) float64 {
		sum := 0.0
		for _, f := range families {
			sum += logDirichletMultinomial([]float64{alpha, beta}, f)
		}
		return sum
	}
	// The source gives the chance of a family's order-free count, as here.
	if got := log(34.103, 31.578); !near(got, -12492.8714, .001) {
		t.Errorf("log likelihood of the published fit %v; want -12492.8714 (%s)", got, src)
	}
	if m, learned := NewKin(families).worth(12); !learned || !near(m, 34.103+31.578, 1.5) {
		t.Errorf("worth = %v; want %v within its standard error (%s)", m, 34.103+31.578, src)
	}
}

func TestWorthEdges(t *testing.T) {
	unlearned, learned := NewKin([][]int{{3, 4}, {0, 0}}).worth(10)
	if none, _ := NewKin(nil).worth(10); learned || none != unlearned {
		t.Errorf("one cell with plays says %v, none %v; want the same, not learned", unlearned, none)
	}
	alike, _ := NewKin([][]int{{50, 50}, {50, 50}, {50, 50}, {50, 50}, {50, 50}}).worth(10)
	apart, _ := NewKin([][]int{{100, 0}, {0, 100}, {100, 0}, {0, 100}}).worth(10)
	if !(apart < 5 && apart < unlearned && unlearned < alike) {
		t.Errorf("cells with nothing in common %v, unknown %v, alike %v: want them in this order, the first the least "+
			"there is", apart, unlearned, alike)
	}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 4).Draw(t, "outcomes")
		cells := rapid.SliceOfN(rapid.SliceOfN(rapid.IntRange(0, 30), k, k), 0, 8).Draw(t, "cells")
		if m, _ := NewKin(cells).worth(rapid.IntRange(0, 50).Draw(t, "n")); !(m >= 1/mostApart-1) || m > 20_000 {
			t.Fatalf("worth(%v) = %v", cells, m)
		}
	})
}
