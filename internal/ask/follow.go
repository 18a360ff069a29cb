package ask

import (
	"maps"
	"slices"
	"strings"
)

// prime is what following calculates by: exact, and no fraction grows.
const prime = 2147483647 // 2^31 - 1

// following returns the unknowns that sums of them determine: in says of each which sums it
// is in, and every sum is known. Two in the same sums are told apart by nothing.
func following(in map[string][]string) (out []string) {
	alike := map[string][]string{}
	for key, sums := range in {
		of := strings.Join(sums, "\x03")
		alike[of] = append(alike[of], key)
	}
	columns := slices.Sorted(maps.Keys(alike))
	rows := map[string][]uint64{}
	for col, of := range columns {
		for _, sum := range in[alike[of][0]] {
			if rows[sum] == nil {
				rows[sum] = make([]uint64, len(columns))
			}
			rows[sum][col] = 1
		}
	}
	matrix := make([][]uint64, 0, len(rows))
	for _, sum := range slices.Sorted(maps.Keys(rows)) {
		matrix = append(matrix, rows[sum])
	}
	for _, col := range lone(matrix) {
		if same := alike[columns[col]]; len(same) == 1 {
			out = append(out, same[0])
		}
	}
	return out
}

// lone reduces a matrix (Gauss and Jordan, modulo prime) and returns the columns that have a row
// to themselves.
func lone(matrix [][]uint64) (out []int) {
	at := 0
	for col := 0; at < len(matrix) && col < len(matrix[0]); col++ {
		pivot := slices.IndexFunc(matrix[at:], func(r []uint64) bool { return r[col] != 0 })
		if pivot < 0 {
			continue
		}
		matrix[at], matrix[at+pivot] = matrix[at+pivot], matrix[at]
		scale(matrix[at], inverse(matrix[at][col]))
		for i, r := range matrix {
			if i != at && r[col] != 0 {
				subtract(r, matrix[at], r[col])
			}
		}
		at++
	}
	for _, r := range matrix[:at] {
		first := slices.IndexFunc(r, func(x uint64) bool { return x != 0 })
		if !slices.ContainsFunc(r[first+1:], func(x uint64) bool { return x != 0 }) {
			out = append(out, first)
		}
	}
	return out
}

func scale(r []uint64, by uint64) {
	for i := range r {
		r[i] = r[i] * by % prime
	}
}

func subtract(r, other []uint64, times uint64) {
	for i, x := range other {
		if x != 0 {
			r[i] = (r[i] + (prime-times)*x) % prime
		}
	}
}

// inverse by Fermat: x to the power of prime - 2.
func inverse(x uint64) uint64 {
	out := uint64(1)
	for e := prime - 2; e > 0; e >>= 1 {
		if e&1 == 1 {
			out = out * x % prime
		}
		x = x * x % prime
	}
	return out
}
