// Package mix solves zero-sum matrix games: which mix of calls gives up least
// when the offense answers it best. Linear programs are gonum's.
package mix

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// A Solution is the value of a game and a best mix for each side. Where several
// mixes are best, one of them: trust the value.
type Solution struct {
	Value float64   // to the row player
	Rows  []float64 // the row player's mix
	Cols  []float64 // the column player's mix
}

// Solve finds best mixes for a matrix of payoffs to the row player, who
// maximizes. It fails on an empty or ragged matrix or one with a NaN.
//
// The row player's program: maximize v with sum_i x_i a_ij >= v for every
// column, x a mix. Payoffs are shifted to be positive, so that v needs no sign;
// the column player's program is its dual and is solved by itself, so that
// primal = dual checks the solver.
func Solve(a [][]float64) (Solution, error) {
	least, err := lowest(a)
	if err != nil {
		return Solution{}, err
	}
	shift := 1 - least
	rows, v, err := best(len(a), len(a[0]), func(i, j int) float64 { return a[i][j] + shift })
	if err != nil {
		return Solution{}, err
	}
	// The column player maximizes the negative of what he gives up.
	most := slices.Max(slices.Concat(a...))
	cols, w, err := best(len(a[0]), len(a), func(j, i int) float64 { return most + 1 - a[i][j] })
	if err != nil {
		return Solution{}, err
	}
	v, w = v-shift, most+1-w
	if math.Abs(v-w) > 1e-7*(1+math.Abs(v)) {
		return Solution{}, errors.New("mix: primal and dual disagree")
	}
	return Solution{Value: v, Rows: rows, Cols: cols}, nil
}

// lowest is the least payoff of a matrix; it fails on one that is no game.
func lowest(a [][]float64) (float64, error) {
	if len(a) == 0 || len(a[0]) == 0 {
		return 0, errors.New("mix: an empty game")
	}
	least := math.Inf(1)
	for _, row := range a {
		if len(row) != len(a[0]) {
			return 0, errors.New("mix: a ragged matrix")
		}
		for _, v := range row {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return 0, errors.New("mix: a payoff is not a number")
			}
			least = min(least, v)
		}
	}
	return least, nil
}

// Within is Solve for a row player who may not call row i less often than low[i] nor more
// often than high[i], each from 0 to 1. It tells his mix and its value only. It fails where
// no mix is within.
//
// The program: with x = low + y, maximize v with sum_i y_i a_ij - v >= -sum_i low_i a_ij for
// every column, y_i <= high_i - low_i and sum y = 1 - sum low.
func Within(a [][]float64, low, high []float64) (Solution, error) {
	least, err := lowest(a)
	if err != nil {
		return Solution{}, err
	}
	left, room := 1.0, 0.0
	for i := range a {
		left -= low[i]
		room += high[i] - low[i]
	}
	const slack = 1e-9
	if left < -slack || room < left-slack {
		return Solution{}, errors.New("mix: no mix is within the limits")
	}
	n, m := len(a), len(a[0])
	y := make([]float64, n)
	if left > slack {
		if y, err = spread(a, 1-least, low, high, left); err != nil {
			return Solution{}, err
		}
	}
	out := Solution{Value: math.Inf(1), Rows: make([]float64, n)}
	for i := range out.Rows {
		out.Rows[i] = min(high[i], low[i]+max(0, y[i]))
	}
	for j := range m {
		s := 0.0
		for i := range n {
			s += out.Rows[i] * a[i][j]
		}
		out.Value = min(out.Value, s)
	}
	return out, nil
}

// spread finds how what the floors leave is laid on the rows; payoffs are shifted to be
// positive, so that v needs no sign. Variables: y (n), v, slacks of columns (m), of
// ceilings (n).
func spread(a [][]float64, shift float64, low, high []float64, left float64) ([]float64, error) {
	n, m := len(a), len(a[0])
	c := make([]float64, 2*n+1+m)
	c[n] = -1
	A, b := mat.NewDense(m+n+1, len(c), nil), make([]float64, m+n+1)
	for j := range m {
		for i := range n {
			A.Set(j, i, a[i][j]+shift)
			b[j] -= low[i] * (a[i][j] + shift)
		}
		A.Set(j, n, -1)
		A.Set(j, n+1+j, -1)
	}
	for i := range n {
		A.Set(m+i, i, 1)
		A.Set(m+i, n+1+m+i, 1)
		b[m+i] = high[i] - low[i]
		A.Set(m+n, i, 1)
	}
	b[m+n] = left
	_, x, err := lp.Simplex(c, A, b, 1e-12, nil)
	if err != nil {
		return nil, err
	}
	return x[:n:n], nil
}

// best maximizes the least column payoff of an all-positive n x m game.
// Variables: x (n), v, slacks (m); v = sum x_i a_ij - s_j, sum x = 1.
func best(n, m int, a func(i, j int) float64) ([]float64, float64, error) {
	c := make([]float64, n+1+m)
	c[n] = -1
	A := mat.NewDense(m+1, n+1+m, nil)
	b := make([]float64, m+1)
	for j := range m {
		for i := range n {
			A.Set(j, i, a(i, j))
		}
		A.Set(j, n, -1)
		A.Set(j, n+1+j, -1)
	}
	for i := range n {
		A.Set(m, i, 1)
	}
	b[m] = 1
	_, x, err := lp.Simplex(c, A, b, 1e-12, nil)
	if err != nil {
		return nil, 0, err
	}
	mix := x[:n:n]
	sum := 0.0
	for i, p := range mix {
		mix[i] = max(0, p)
		sum += mix[i]
	}
	v := math.Inf(1)
	for i := range mix {
		mix[i] /= sum
	}
	for j := range m {
		s := 0.0
		for i := range n {
			s += mix[i] * a(i, j)
		}
		v = min(v, s)
	}
	return mix, v, nil
}
