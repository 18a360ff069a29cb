package tendency

import (
	"math"
	"testing"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

func TestWilson(t *testing.T) {
	const newcombe = "Newcombe 1998, Stat. Med. 17:857, Table I, method 3 (SEEN-code, CALC)"
	const small = "Wilson score interval recomputed with independent code (CALC)"
	for _, tt := range []struct {
		x, n      int
		low, high float64
		tol       float64
		src       string
	}{
		{81, 263, .2553, .3662, 5e-5, newcombe}, {15, 148, .0624, .1605, 5e-5, newcombe}, {0, 20, 0, .1611, 5e-5, newcombe}, {1, 29, .0061, .1718, 5e-5, newcombe},
		{0, 10, 0, .277533, 5e-7, small}, {1, 10, .017876, .404150, 5e-7, small}, {5, 10, .236593, .763407, 5e-7, small}, {9, 10, .595850, .982124, 5e-7, small},
		{10, 10, .722467, 1, 5e-7, small}, {3, 8, .136844, .694258, 5e-7, small}, {7, 20, .181192, .567146, 5e-7, small},
		{6521, 13113, .4887, .5059, 5e-5, "run share on 1st and 10, NFL 2016, published counts (SEEN), interval CALC"},
	} {
		if l, h := Wilson(tt.x, tt.n); !near(l, tt.low, tt.tol) || !near(h, tt.high, tt.tol) {
			t.Errorf("Wilson(%d, %d) = %.6f, %.6f; want %v, %v (%s)", tt.x, tt.n, l, h, tt.low, tt.high, tt.src)
		}
	}
	for _, tt := range []struct {
		x, fail   int
		low, high float64
	}{{0, 1, 0, 0.7934567085261071}, {1, 0, 0.20654329147389294, 1}, {1, 10, 0.016231752262825982, 0.3773646254862038}, {25, 75, 0.17545094003724265, 0.3430464637007583}, {0, 100, 0, 0.03699480747600191}} {
		if l, h := wilson(tt.x, tt.x+tt.fail, 1.96); !near(l, tt.low, 1e-12) || !near(h, tt.high, 1e-12) {
			t.Errorf("wilson(%d of %d, z = 1.96) = %v, %v; want %v, %v (codegolf.stackexchange.com 105389, SEEN)", tt.x, tt.x+tt.fail, l, h, tt.low, tt.high)
		}
	}
}

func TestDifference(t *testing.T) {
	for _, tt := range []struct {
		a, m, b, n int
		low, high  float64
	}{{56, 70, 48, 80, .0524, .3339}, {9, 10, 3, 10, .1705, .8090}, {6, 7, 2, 7, .0582, .8062}, {5, 56, 0, 29, -.0381, .1926},
		{0, 10, 0, 20, -.1611, .2775}, {0, 10, 0, 10, -.2775, .2775}, {10, 10, 0, 20, .6791, 1}, {10, 10, 0, 10, .6075, 1}} {
		l, h := Difference(tt.a, tt.m, tt.b, tt.n)
		if !near(l, tt.low, 5e-5) || !near(h, tt.high, 5e-5) {
			t.Errorf("Difference(%d/%d - %d/%d) = %.4f, %.4f; want %v, %v (Newcombe 1998, Stat. Med. 17:873, Table II, method 10, SEEN-code)", tt.a, tt.m, tt.b, tt.n, l, h, tt.low, tt.high)
		}
		if ml, mh := Difference(tt.b, tt.n, tt.a, tt.m); !near(ml, -h, 1e-12) || !near(mh, -l, 1e-12) {
			t.Errorf("Difference is not mirrored for %d/%d and %d/%d", tt.a, tt.m, tt.b, tt.n)
		}
	}
}

func TestSuccess(t *testing.T) {
	const src = "published success rules, boundaries included (published.md 5.1, SEEN)"
	for _, tt := range []struct {
		down, dist, gain int
		percent          [3]int
		want             bool
	}{{1, 10, 4, [3]int{40, 60, 100}, true}, {1, 10, 4, [3]int{45, 60, 100}, false}, {1, 10, 4, [3]int{50, 70, 100}, false},
		{2, 10, 6, [3]int{40, 60, 100}, true}, {2, 10, 6, [3]int{50, 70, 100}, false}, {2, 5, 3, [3]int{40, 60, 100}, true}, {3, 4, 3, [3]int{40, 60, 100}, false}, {4, 1, 1, [3]int{40, 60, 100}, true}} {
		if got := Success(tt.down, tt.dist, tt.gain, false, tt.percent); got != tt.want {
			t.Errorf("Success(%d and %d, gain %d, %v) = %v; want %v (%s)", tt.down, tt.dist, tt.gain, tt.percent, got, tt.want, src)
		}
		if n := Needed(tt.down, tt.dist, tt.percent); !Success(tt.down, tt.dist, n, false, tt.percent) || n > 0 && Success(tt.down, tt.dist, n-1, false, tt.percent) {
			t.Errorf("Needed(%d and %d) = %d is not the smallest success", tt.down, tt.dist, n)
		}
	}
}

func TestFisherAndChiSquare(t *testing.T) {
	if p := FisherExact(3, 1, 1, 3); !near(p, 34.0/70, 1e-9) {
		t.Errorf("FisherExact(tea) = %v; want 34/70 (Fisher 1935, ch. II, CALC)", p)
	}
	if p := FisherExact(2, 15, 10, 3); !near(p, 0.000536724, 1e-8) {
		t.Errorf("FisherExact(convictions) = %v; want 0.000536724 (Fisher 1962 via R help, SEEN-code)", p)
	}
	if p := FisherExact(37, 30, 227, 299); !near(p, .06808, 5e-5) {
		t.Errorf("FisherExact(3rd and 6) = %v; want .06808 (published.md 5.5, CALC)", p)
	}
	x2, df, p, _ := ChiSquare([][]int{{762, 327, 468}, {484, 239, 477}})
	if !near(x2, 30.0701, 1e-4) || df != 2 || !near(p, 2.954e-07, 1e-9) {
		t.Errorf("ChiSquare(party) = %v, %d, %v; want 30.0701, 2, 2.954e-07 (Agresti 2007 p. 39, SEEN-code)", x2, df, p)
	}
	if x2, df, p, least := ChiSquare([][]int{{83, 3}, {90, 3}, {129, 7}, {70, 12}}); !near(x2, 12.6004, 1e-4) || df != 3 || !near(p, .005585, 1e-6) || !near(least, 5.16, .01) {
		t.Errorf("ChiSquare(smokers) = %v, %d, %v, least %v; want 12.6004, 3, .005585, 5.16 (Fleiss 1981 p. 139, MEM+CALC)", x2, df, p, least)
	}
}

func TestBenjaminiHochberg(t *testing.T) {
	ps := []float64{.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344, .0459, .3240, .4262, .5719, .6528, .7590, 1}
	want := []float64{.0015, .0030, .0095, .035625, .0603, .063857, .063857, .0645, .0765, .486, .581182, .714875, .753231, .813214, 1}
	got := BenjaminiHochberg(ps)
	for i := range ps {
		if !near(got[i], want[i], 1e-6) {
			t.Errorf("adjusted p %d = %v; want %v (Benjamini and Hochberg 1995, section 4; p-list SEEN-code, adjusted CALC)", i+1, got[i], want[i])
		}
	}
	// '3rd and 6 is a running down': third downs 1 to 10, runs and passes converted (published.md 5.5, SEEN counts).
	rows := [][4]int{{418, 130, 129, 74}, {158, 102, 185, 179}, {77, 56, 215, 208}, {59, 51, 219, 248}, {45, 50, 229, 302}, {37, 30, 227, 299}, {28, 48, 196, 311}, {17, 47, 170, 331}, {25, 51, 123, 273}, {24, 63, 194, 409}}
	var p []float64
	for _, r := range rows {
		p = append(p, FisherExact(r[0], r[1], r[2], r[3]))
	}
	if adj := BenjaminiHochberg(p); adj[5] <= .05 || adj[0] > .05 {
		t.Errorf("adjusted p: 3rd and 6 %v (must not be a discovery), 3rd and 1 %v (must be one)", adj[5], adj[0])
	}
}
