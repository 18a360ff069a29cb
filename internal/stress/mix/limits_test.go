package mix

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestNoGame: what is no game is refused, by both programs alike.
func TestNoGame(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		a    [][]float64
		says string
	}{
		"nothing":     {nil, "empty"},
		"no columns":  {[][]float64{{}, {}}, "empty"},
		"ragged":      {[][]float64{{1, 2}, {3}}, "ragged"},
		"not known":   {[][]float64{{1, math.NaN()}}, "not a number"},
		"without end": {[][]float64{{1, math.Inf(1)}}, "not a number"},
	} {
		if _, err := Solve(tt.a); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: %v; want it to say %q", name, err, tt.says)
		}
		low, high := make([]float64, len(tt.a)), slices.Repeat([]float64{1}, len(tt.a))
		if _, err := Within(tt.a, low, high); err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s within limits: %v; want it to say %q", name, err, tt.says)
		}
	}
}

// TestLimits: limits that no mix keeps are refused; those that leave one mix give it; none at
// all leave the game as it is.
func TestLimits(t *testing.T) {
	t.Parallel()
	a := [][]float64{{2, 5}, {10, -6}} // Bluman 2005, ch. 11, p. 199
	for _, tt := range []struct {
		low, high []float64
		rows      []float64 // nil: there is none
	}{
		{[]float64{0.7, 0.4}, []float64{1, 1}, nil},
		{[]float64{0, 0}, []float64{0.4, 0.5}, nil},
		{[]float64{0.3, 0.7}, []float64{1, 1}, []float64{0.3, 0.7}},
		{[]float64{0, 0}, []float64{0.25, 0.75}, []float64{0.25, 0.75}},
		{[]float64{0, 0}, []float64{1, 1}, []float64{16.0 / 19, 3.0 / 19}},
		{[]float64{0.9, 0}, []float64{1, 1}, []float64{0.9, 0.1}},
	} {
		s, err := Within(a, tt.low, tt.high)
		if (err == nil) != (tt.rows != nil) {
			t.Errorf("from %v to %v: %v, %v; want %v", tt.low, tt.high, s.Rows, err, tt.rows)
			continue
		}
		for i := range tt.rows {
			if math.Abs(s.Rows[i]-tt.rows[i]) > 1e-7 {
				t.Errorf("from %v to %v: %v; want %v", tt.low, tt.high, s.Rows, tt.rows)
				break
			}
		}
	}
}

// TestLimitsCost: a tighter limit never makes a mix worth more, a mix keeps its limits and adds
// up to one, and what it is said to be worth is what the best answer leaves of it.
func TestLimitsCost(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(1, 8).Draw(t, "n"), rapid.IntRange(1, 8).Draw(t, "m")
		a := make([][]float64, n)
		low, high := make([]float64, n), make([]float64, n)
		for i := range a {
			for range m {
				a[i] = append(a[i], float64(rapid.IntRange(-20, 20).Draw(t, "a"))/4)
			}
			low[i] = rapid.Float64Range(0, 1/float64(n)).Draw(t, "low")
			high[i] = rapid.Float64Range(1/float64(n), 1).Draw(t, "high")
		}
		free, err := Solve(a)
		if err != nil {
			t.Fatal(err)
		}
		s, err := Within(a, low, high)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, p := range s.Rows {
			sum += p
			if p < low[i]-1e-9 || p > high[i]+1e-9 {
				t.Fatalf("row %d is called %v, the limits are %v and %v", i, p, low[i], high[i])
			}
		}
		if math.Abs(sum-1) > 1e-7 {
			t.Fatalf("the mix adds up to %v", sum)
		}
		if s.Value > free.Value+1e-7 {
			t.Fatalf("within limits the game is worth %v, without %v", s.Value, free.Value)
		}
		if got := exploit(a, s.Rows, s.Value); math.Abs(got) > 1e-9 {
			t.Fatalf("the best answer takes %v more than the mix is said to leave", got)
		}
	})
}

// TestScale: payoffs twice as large make a game worth twice as much; a row that is worse
// against everything changes nothing; and who changes seats gets the other side of it.
func TestScale(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(1, 7).Draw(t, "n"), rapid.IntRange(1, 7).Draw(t, "m")
		a, twice := make([][]float64, n), make([][]float64, n)
		turned := make([][]float64, m)
		for i := range a {
			for j := range m {
				v := float64(rapid.IntRange(-20, 20).Draw(t, "a")) / 4
				a[i], twice[i] = append(a[i], v), append(twice[i], 2*v)
				turned[j] = append(turned[j], -v)
			}
		}
		worse := slices.Clone(a[0])
		for j := range worse {
			worse[j] -= 1
		}
		value := func(g [][]float64) float64 {
			s, err := Solve(g)
			if err != nil {
				t.Fatal(err)
			}
			return s.Value
		}
		v := value(a)
		for name, x := range map[string][2]float64{"twice": {value(twice), 2 * v}, "turned": {value(turned), -v},
			"with a worse row": {value(append(slices.Clone(a), worse)), v}} {
			if math.Abs(x[0]-x[1]) > 1e-7 {
				t.Fatalf("%s: %v; want %v", name, x[0], x[1])
			}
		}
	})
}
