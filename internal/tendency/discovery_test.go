package tendency

import (
	"math/rand/v2"
	"testing"
)

func TestBenjaminiHochberg(t *testing.T) {
	const src = "Benjamini and Hochberg 1995, section 4 (p-list and the four SEEN-code, adjusted values CALC)"
	ps := []float64{.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344, .0459, .3240, .4262, .5719, .6528, .7590, 1}
	want := []float64{.0015, .0030, .0095, .035625, .0603, .063857, .063857, .0645, .0765, .486, .581182, .714875, .753231,
		.813214, 1}
	got, found := BenjaminiHochberg(ps), 0
	for i := range ps {
		if !near(got[i], want[i], 1e-6) {
			t.Errorf("adjusted p %d = %v; want %v (%s)", i+1, got[i], want[i], src)
		}
		if got[i] <= .05 {
			found++
		}
	}
	if found != 4 {
		t.Errorf("%d discoveries at 0.05; want 4 (%s)", found, src)
	}
	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		order := rng.Perm(len(ps))
		mixed := make([]float64, len(ps))
		for i, k := range order {
			mixed[i] = ps[k]
		}
		for i, q := range BenjaminiHochberg(mixed) {
			if q != got[order[i]] {
				t.Fatalf("the order of the questions changes an adjusted p: %v, was %v", q, got[order[i]])
			}
		}
	}
	if q := BenjaminiHochberg([]float64{.02, .01, .02}); q[0] != q[2] {
		t.Errorf("equal p get %v and %v", q[0], q[2])
	}
}
