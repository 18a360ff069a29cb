package tendency

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// A Question is a table to be searched for a tell: does knowing the row (the
// hash, the backfield, the motion) change what comes (run or pass, the concept)?
// Plays on which either is unknown are not in it.
type Question struct {
	Name       string // "3rd and 4-6: hash"
	Rows, Cols []string
	Counts     [][]int
}

// A Tell answers a Question with the row and column that say most.
type Tell struct {
	Question               string
	Row, Col               string // with Row, Col comes in With.X of With.N plays
	With, Without          Fraction
	Difference             float64  // of the two shares, -1 to 1
	Low, High              float64  // 95% for this one difference, though it was picked out
	N                      int      // plays in the table
	Effect                 float64  // Cramer's V of the whole table
	Method                 string   // exact, chi-square, none: not enough to test
	P, Adjusted            float64  // of the whole table; adjusted for all the questions asked
	Stands                 bool     // a discovery
	PooledRows, PooledCols []string // thin values counted together as Pooled
}

// A Fraction is X of N plays.
type Fraction struct{ X, N int }

// Share returns X/N, 0 of nothing.
func (f Fraction) Share() float64 { return Share(f.X, f.N) }

// Pooled is the name of thin rows, or columns, counted together.
const Pooled = "(others)"

// Tells answers all questions asked at once. rate is the share of false ones
// that is accepted among those that stand (Benjamini and Hochberg 1995; 0.05 is
// usual): the more is asked, the more it takes. Those that stand come first, the
// strongest first: by the limit of the difference that is nearer to none. A
// question with nothing to compare is answered with Method "none".
func Tells(questions []Question, rate float64) []Tell {
	out, ps := make([]Tell, len(questions)), make([]float64, len(questions))
	for i, q := range questions {
		out[i] = answer(q)
		ps[i] = out[i].P
	}
	for i, p := range BenjaminiHochberg(ps) {
		out[i].Adjusted = p
		out[i].Stands = out[i].Method != "none" && p <= rate
	}
	slices.SortStableFunc(out, func(a, b Tell) int {
		if a.Stands != b.Stands {
			return map[bool]int{true: -1, false: 1}[a.Stands]
		}
		return cmp.Or(cmp.Compare(b.sure(), a.sure()), cmp.Compare(a.Question, b.Question))
	})
	return out
}

// sure returns the size of the difference that its interval leaves, negative
// where it holds 0.
func (t *Tell) sure() float64 { return sure(t.Low, t.High) }

func sure(low, high float64) float64 { return max(low, -high) }

func answer(q Question) Tell {
	out := Tell{Question: q.Name}
	q = q.used()
	t := Independence(q.Counts)
	for t.Method == "none" && (len(q.Rows) > 2 || len(q.Cols) > 2) {
		q.pool(&out)
		t = Independence(q.Counts)
	}
	out.N, out.Effect, out.Method, out.P = t.N, t.Effect, t.Method, t.P
	if len(q.Rows) < 2 || len(q.Cols) < 2 {
		return out
	}
	out.sharpest(&q)
	return out
}

// sharpest puts in the cell whose share differs most surely from the rest of its column.
func (out *Tell) sharpest(q *Question) {
	rows, cols := margins(q.Counts)
	best := math.Inf(-1)
	for i, row := range q.Counts {
		for j, x := range row {
			with, without := Fraction{x, rows[i]}, Fraction{cols[j] - x, out.N - rows[i]}
			low, high := Difference(with.X, with.N, without.X, without.N)
			if s := sure(low, high); s > best {
				best = s
				out.Row, out.Col, out.With, out.Without = q.Rows[i], q.Cols[j], with, without
				out.Difference, out.Low, out.High = with.Share()-without.Share(), low, high
			}
		}
	}
}

// used drops rows and columns without a play.
func (q Question) used() Question {
	out := Question{Name: q.Name, Counts: filled(q.Counts)}
	if len(q.Counts) == 0 {
		return out
	}
	rows, cols := margins(q.Counts)
	for i, n := range rows {
		if n > 0 {
			out.Rows = append(out.Rows, q.Rows[i])
		}
	}
	for j, n := range cols {
		if n > 0 {
			out.Cols = append(out.Cols, q.Cols[j])
		}
	}
	return out
}

// pool counts the two thinnest rows together, or the two thinnest columns where
// those are thinner or only two rows are left.
func (q *Question) pool(t *Tell) {
	rows, cols := margins(q.Counts)
	if len(q.Rows) > 2 && (len(q.Cols) == 2 || slices.Min(rows) <= slices.Min(cols)) {
		a, b := thinnest(rows)
		t.PooledRows = named(t.PooledRows, q.Rows[a], q.Rows[b])
		for j := range q.Cols {
			q.Counts[a][j] += q.Counts[b][j]
		}
		q.Rows[a] = Pooled
		q.Rows, q.Counts = slices.Delete(q.Rows, b, b+1), slices.Delete(q.Counts, b, b+1)
		return
	}
	a, b := thinnest(cols)
	t.PooledCols = named(t.PooledCols, q.Cols[a], q.Cols[b])
	for i := range q.Counts {
		q.Counts[i][a] += q.Counts[i][b]
		q.Counts[i] = slices.Delete(q.Counts[i], b, b+1)
	}
	q.Cols[a] = Pooled
	q.Cols = slices.Delete(q.Cols, b, b+1)
}

// thinnest returns the places of the two smallest numbers, in order of place.
func thinnest(ns []int) (a, b int) {
	order := make([]int, len(ns))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(ns[i], ns[j]) })
	return min(order[0], order[1]), max(order[0], order[1])
}

func named(have []string, more ...string) []string {
	for _, m := range more {
		if m != Pooled {
			have = append(have, m)
		}
	}
	slices.SortFunc(have, strings.Compare)
	return have
}
