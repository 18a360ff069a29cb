package tendency

import "math"

// Entropy returns how hard the outcome is to guess, in bits (Shannon 1948): 0
// when it is always the same, 1 for an even run and pass, log2 k for k even
// outcomes. Nothing counted: 0. A small sample looks more predictable than it
// is, by about (k-1)/(1.4 n) bits.
func Entropy(counts ...int) float64 {
	n, h := 0, 0.0
	for _, c := range counts {
		n += c
	}
	for _, c := range counts {
		if c > 0 {
			p := float64(c) / float64(n)
			h -= p * math.Log2(p)
		}
	}
	return h
}

// margins returns the sums of the rows and of the columns.
func margins(table [][]int) (rows, cols []int) {
	rows, cols = make([]int, len(table)), make([]int, len(table[0]))
	for i, row := range table {
		for j, v := range row {
			rows[i] += v
			cols[j] += v
		}
	}
	return rows, cols
}
