package tendency

import (
	"math"
	"testing"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

// Sources of interval rows.
const (
	newcombe = "Newcombe 1998, Stat. Med. 17:857, Table I; method 3 SEEN-code + CALC, other columns MEM+CALC"
	smallN   = "small-n rows recomputed with independent code (published.md 1.1, CALC)"
)

func TestWilson(t *testing.T) {
	for _, tt := range []struct {
		x, n   int
		wilson [2]float64
		tol    float64
		src    string
	}{
		{81, 263, [2]float64{.2553, .3662}, 5e-5, newcombe},
		{15, 148, [2]float64{.0624, .1605}, 5e-5, newcombe},
		{0, 20, [2]float64{0, .1611}, 5e-5, newcombe},
		{1, 29, [2]float64{.0061, .1718}, 5e-5, newcombe},
		{0, 10, [2]float64{0, .277533}, 5e-7, smallN},
		{1, 10, [2]float64{.017876, .404150}, 5e-7, smallN},
		{5, 10, [2]float64{.236593, .763407}, 5e-7, smallN},
		{9, 10, [2]float64{.595850, .982124}, 5e-7, smallN},
		{10, 10, [2]float64{.722467, 1}, 5e-7, smallN},
		{3, 8, [2]float64{.136844, .694258}, 5e-7, smallN},
		{7, 20, [2]float64{.181192, .567146}, 5e-7, smallN},
	} {
		if l, h := Wilson(tt.x, tt.n); !near(l, tt.wilson[0], tt.tol) || !near(h, tt.wilson[1], tt.tol) {
			t.Errorf("Wilson(%d, %d) = %.6f, %.6f; want %v (%s)", tt.x, tt.n, l, h, tt.wilson, tt.src)
		}
	}
	if l, h := Wilson(0, 0); l != 0 || h != 1 {
		t.Errorf("Wilson(0, 0) = %v, %v; want 0, 1: nothing is known", l, h)
	}
}

// TestWilsonRoundZ takes rows made with z = 1.96 exactly.
func TestWilsonRoundZ(t *testing.T) {
	const src = "codegolf.stackexchange.com/questions/105389, z = 1.96 (SEEN)"
	for _, tt := range []struct {
		x, fail   int
		low, high float64
	}{
		{0, 1, 0, 0.7934567085261071}, {1, 0, 0.20654329147389294, 1}, {1, 1, 0.09452865480086611, 0.905471345199134},
		{1, 10, 0.016231752262825982, 0.3773646254862038}, {10, 1, 0.6226353745137962, 0.9837682477371741},
		{10, 90, 0.05522854161313612, 0.1743673043676654}, {25, 75, 0.17545094003724265, 0.3430464637007583},
		{50, 50, 0.40382982859014716, 0.5961701714098528}, {0, 100, 0, 0.03699480747600191},
	} {
		if l, h := wilson(tt.x, tt.x+tt.fail, 1.96); !near(l, tt.low, 1e-12) || !near(h, tt.high, 1e-12) {
			t.Errorf("wilson(%d of %d, z = 1.96) = %v, %v; want %v, %v (%s)", tt.x, tt.x+tt.fail, l, h, tt.low, tt.high, src)
		}
	}
}

// TestRunShares takes published run and pass counts by down and distance.
func TestRunShares(t *testing.T) {
	const src = "NFL 2016, meanmark.wordpress.com 2017-05-23: counts SEEN, share, interval and entropy CALC " +
		"(published.md 5.5)"
	for _, tt := range []struct {
		situation                 string
		runs, passes              int
		share, low, high, entropy float64
	}{
		{"1st and 5", 131, 79, .6238, .5566, .6866, .9553}, {"1st and 10", 6521, 6592, .4973, .4887, .5059, 1.0000},
		{"1st and 15", 98, 151, .3936, .3350, .4554, .9671}, {"2nd and 1", 418, 184, .6944, .6564, .7298, .8881},
		{"2nd and 5", 407, 418, .4933, .4593, .5274, .9999}, {"2nd and 10", 952, 1556, .3796, .3608, .3987, .9577},
		{"3rd and 1", 511, 208, .7107, .6765, .7427, .8678}, {"3rd and 5", 46, 521, .0811, .0614, .1065, .4061},
		{"3rd and 10", 50, 579, .0795, .0608, .1033, .4004}, {"3rd and 15 or more", 112, 492, .1854, .1565, .2184, .6918},
	} {
		l, h := Wilson(tt.runs, tt.runs+tt.passes)
		p, e := Share(tt.runs, tt.runs+tt.passes), Entropy(tt.runs, tt.passes)
		if !near(p, tt.share, 5e-5) || !near(l, tt.low, 5e-5) || !near(h, tt.high, 5e-5) || !near(e, tt.entropy, 5e-5) {
			t.Errorf("%s: run share %.4f in %.4f to %.4f, %.4f bits; want %v in %v to %v, %v (%s)", tt.situation, p, l, h, e,
				tt.share, tt.low, tt.high, tt.entropy, src)
		}
	}
}

func TestDifference(t *testing.T) {
	const src = "Newcombe 1998, Stat. Med. 17:873, Table II, method 10 (SEEN-code + CALC)"
	for _, tt := range []struct {
		a, m, b, n int
		low, high  float64
		src        string
	}{
		{56, 70, 48, 80, .0524, .3339, src}, {9, 10, 3, 10, .1705, .8090, src}, {6, 7, 2, 7, .0582, .8062, src},
		{5, 56, 0, 29, -.0381, .1926, src},
		{0, 10, 0, 20, -.1611, .2775, src}, {0, 10, 0, 10, -.2775, .2775, src}, {10, 10, 0, 20, .6791, 1, src},
		{10, 10, 0, 10, .6075, 1, src},
	} {
		l, h := Difference(tt.a, tt.m, tt.b, tt.n)
		if !near(l, tt.low, 5e-5) || !near(h, tt.high, 5e-5) {
			t.Errorf("Difference(%d/%d - %d/%d) = %.4f, %.4f; want %v, %v (%s)", tt.a, tt.m, tt.b, tt.n, l, h, tt.low, tt.high,
				tt.src)
		}
		if ml, mh := Difference(tt.b, tt.n, tt.a, tt.m); !near(ml, -h, 1e-12) || !near(mh, -l, 1e-12) {
			t.Errorf("Difference is not mirrored for %d/%d and %d/%d", tt.a, tt.m, tt.b, tt.n)
		}
	}
	for _, d := range thirdDowns {
		l, h := Difference(d.runWon, d.runs, d.passWon, d.passes)
		if !near(l, d.low, 5e-5) || !near(h, d.high, 5e-5) {
			t.Errorf("3rd and %d, run less pass: %.4f, %.4f; want %v, %v (%s)", d.togo, l, h, d.low, d.high, thirdDownSource)
		}
	}
}

const thirdDownSource = "NFL 2005 third downs, Advanced NFL Stats community 2009-01-13: counts rebuilt from SEEN " +
	"rounded rates, differences CALC (published.md 5.5)"

// thirdDowns are plays and conversions by yards to go, with the published
// interval of the difference of the conversion rates.
var thirdDowns = []struct {
	togo, passes, passWon, runs, runWon int
	low, high                           float64
}{
	{1, 203, 129, 548, 418, .0540, .2033}, {2, 364, 185, 260, 158, .0203, .1763}, {3, 423, 215, 133, 77, -.0266, .1642},
	{4, 467, 219, 110, 59, -.0359, .1683}, {5, 531, 229, 95, 45, -.0638, .1502}, {6, 526, 227, 67, 37, -.0054, .2411},
	{7, 507, 196, 76, 28, -.1267, .1015}, {8, 501, 170, 64, 17, -.1757, .0521}, {9, 396, 123, 76, 25, -.0879, .1382},
	{10, 603, 194, 87, 24, -.1372, .0622},
}
