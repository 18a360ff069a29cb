package mix

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestPublishedGames(t *testing.T) {
	for _, g := range []struct {
		a     [][]float64
		value float64
		rows  []float64 // nil where best mixes are not unique
		src   string
	}{
		{[][]float64{{2, 5}, {10, -6}}, 62.0 / 19, []float64{16.0 / 19, 3.0 / 19},
			"run/pass: Bluman 2005, ch. 11, p. 199 (SEEN)"},
		{[][]float64{{-5, 5}, {5, -5}}, 0, []float64{.5, .5}, "run/pass: Mathematics in Sport, lecture 6.2 (SEEN)"},
		{[][]float64{{-5, 10}, {5, -5}}, 1, []float64{.4, .6}, "run improved: the same lecture (SEEN)"},
		{[][]float64{{-5, 5}, {10, 0}}, 2.5, []float64{.5, .5}, "Albert McLay 2015 (mix and value SEEN)"},
		{[][]float64{{58.30, 94.97}, {92.91, 69.92}}, 79.573, []float64{121.0 / 314, 193.0 / 314},
			"Palacios-Huerta 2003 (MEM, CALC)"},
		{[][]float64{{-2, 3}, {3, -4}}, 1.0 / 12, []float64{7.0 / 12, 5.0 / 12}, "Ferguson, Game Theory, II 1.2 (SEEN)"},
		{[][]float64{{0, -1, 2}, {1, 0, -3}, {-2, 3, 0}}, 0, []float64{.5, 1.0 / 3, 1.0 / 6},
			"rock-paper-scissors with stakes: Ferguson 3.4 (MEM, CALC)"},
		{[][]float64{{0, 2, -3, 0}, {-2, 0, 0, 3}, {3, 0, 0, -4}, {0, -3, 4, 0}}, 0, nil,
			"two-finger Morra: Chvatal 1983, ch. 15 (MEM, CALC)"},
	} {
		s, err := Solve(g.a)
		tol := 1e-9
		if g.value > 70 {
			tol = 5e-4 // published in percent to three decimals
		}
		if err != nil || math.Abs(s.Value-g.value) > tol {
			t.Errorf("value %v, %v; want %v (%s)", s.Value, err, g.value, g.src)
		}
		for i := range g.rows {
			if math.Abs(s.Rows[i]-g.rows[i]) > 1e-6 {
				t.Errorf("mix %v; want %v (%s)", s.Rows, g.rows, g.src)
			}
		}
		if e := exploit(g.a, s.Rows, s.Value); e > 1e-9 {
			t.Errorf("the mix %v can be exploited by %v (%s)", s.Rows, e, g.src)
		}
	}
}

// TestPrimalIsDual is invariant 9: no pure answer beats either mix, so the
// value is what both programs say; shifting the payoffs shifts it.
func TestPrimalIsDual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(1, 12).Draw(t, "n"), rapid.IntRange(1, 12).Draw(t, "m")
		a := make([][]float64, n)
		for i := range a {
			for range m {
				a[i] = append(a[i], float64(rapid.IntRange(-20, 20).Draw(t, "a"))/4)
			}
		}
		s, err := Solve(a)
		if err != nil {
			t.Fatal(err)
		}
		if e := exploit(a, s.Rows, s.Value); math.Abs(e) > 1e-9 {
			t.Fatalf("rows lose %v against the best answer", e)
		}
		if _, v := against(a, s.Cols); math.Abs(v-s.Value) > 1e-9 {
			t.Fatalf("columns give up %v, value %v: primal and dual differ", v, s.Value)
		}
	})
}

// against returns the pure row that does best against a known column mix, and
// what it gets: what to call if the offense does not answer.
func against(a [][]float64, cols []float64) (row int, value float64) {
	value = math.Inf(-1)
	for i := range a {
		s := 0.0
		for j, p := range cols {
			s += p * a[i][j]
		}
		if s > value {
			row, value = i, s
		}
	}
	return row, value
}

// exploit returns how much the column player can take off the value by
// answering a row mix best: 0 for a best mix.
func exploit(a [][]float64, rows []float64, value float64) float64 {
	least := math.Inf(1)
	for j := range a[0] {
		s := 0.0
		for i, p := range rows {
			s += p * a[i][j]
		}
		least = min(least, s)
	}
	return value - least
}

// TestWithin: a mix keeps to its floors and ceilings, without any it is worth what Solve says,
// and no mix of a grid of tenths within them is worth more (the definition of the best one).
func TestWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := 3, rapid.IntRange(1, 5).Draw(t, "m")
		a := make([][]float64, n)
		low, high := make([]float64, n), []float64{1, 1, 1}
		left := 10
		for i := range a {
			for range m {
				a[i] = append(a[i], float64(rapid.IntRange(-20, 20).Draw(t, "a"))/4)
			}
			f := rapid.IntRange(0, left).Draw(t, "low")
			left -= f
			low[i] = float64(f) / 10
			high[i] = min(1, low[i]+float64(rapid.IntRange(0, 10).Draw(t, "room"))/10)
		}
		open, err := Within(a, make([]float64, n), []float64{1, 1, 1})
		if s, bad := Solve(a); err != nil || bad != nil || math.Abs(open.Value-s.Value) > 1e-7 {
			t.Fatalf("without limits %v (%v), solved %v (%v)", open.Value, err, s.Value, bad)
		}
		best, some := math.Inf(-1), false
		for x := 0; x <= 10; x++ {
			for y := 0; x+y <= 10; y++ {
				mix := []float64{float64(x) / 10, float64(y) / 10, float64(10-x-y) / 10}
				inside := true
				for i := range mix {
					inside = inside && mix[i] > low[i]-1e-9 && mix[i] < high[i]+1e-9
				}
				if inside {
					best, some = max(best, -exploit(a, mix, 0)), true
				}
			}
		}
		s, err := Within(a, low, high)
		if !some {
			if err == nil {
				t.Fatalf("a mix %v within %v and %v, where there is none", s.Rows, low, high)
			}
			return
		}
		if err != nil || s.Value < best-1e-7 {
			t.Fatalf("worth %v (%v), a mix of tenths is worth %v", s.Value, err, best)
		}
		sum := 0.0
		for i, p := range s.Rows {
			sum += p
			if p < low[i]-1e-7 || p > high[i]+1e-7 {
				t.Fatalf("row %d is called %v, from %v to %v", i, p, low[i], high[i])
			}
		}
		if math.Abs(sum-1) > 1e-7 {
			t.Fatalf("the shares come to %v", sum)
		}
	})
}
