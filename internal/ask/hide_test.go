package ask

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"overhang/internal/tags"
)

// TestTells holds the rule of one cell against its definition: five programs at least (OECD
// Glossary of Statistical Terms, "threshold rule": three or five respondents, SEEN), none with
// more than half (the dominance rule with n = 1, k = 50%, MEM).
func TestTells(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what  string
		plays []int
		gains []int
		want  bool
	}{
		{"four programs", []int{5, 5, 5, 5}, nil, true},
		{"five programs", []int{5, 5, 5, 5, 5}, nil, false},
		{"one has half", []int{20, 5, 5, 5, 5}, nil, false},
		{"one has more than half", []int{21, 5, 5, 5, 5}, nil, true},
		{"two know the gain", []int{5, 5, 5, 5, 5}, []int{1, 1}, true},
		{"all know the gain", []int{5, 5, 5, 5, 5}, []int{1, 1, 1, 1, 2}, false},
	} {
		p := make(pool, len(c.plays))
		for i, n := range c.plays {
			b := behind{int32(n)}
			if i < len(c.gains) {
				b[2] = int32(c.gains[i])
			}
			p.add(i, b)
		}
		if got := p.tells(); got != c.want {
			t.Errorf("%s: tells of one program: %v", c.what, got)
		}
	}
}

// TestTakenApart plays the one who asks for every table by some of three dimensions and works
// with what they show: whatever is a sum and difference of shown cells must not be a cell that
// tells of one program. What follows from the shown cells is linear algebra: a cell is known
// where its indicator is a combination of theirs.
func TestTakenApart(t *testing.T) {
	t.Parallel()
	cells, known, shown := 0, 0, 0
	for seed := range uint64(300) {
		shared := madeUp(rand.New(rand.NewPCG(seed, 7)))
		var basis []string // the finest cells
		at := map[string]int{}
		for _, h := range []*hiding{tabulate(all(3), shared)} {
			for key := range h.pools {
				at[key] = len(basis)
				basis = append(basis, key)
			}
		}
		var told [][]float64
		type secret struct {
			name string
			of   []float64
		}
		var secrets []secret
		for chosen := choice(1); chosen <= all(3); chosen++ {
			// as a question about these dimensions alone is answered
			hidden, err := hide(t.Context(), 3, only(shared, chosen))
			if err != nil {
				t.Fatal(err)
			}
			for key, of := range indicators(shared, chosen, at) {
				if hidden[key] {
					if tabulate(all(3), only(shared, chosen)).pools[key].tells() {
						secrets = append(secrets, secret{fmt.Sprintf("seed %d, %q", seed, key), of})
					}
				} else {
					told = append(told, of)
				}
			}
		}
		shown += len(told)
		for _, s := range secrets {
			cells++
			if follows(told, s.of) {
				known++
				if known < 5 {
					t.Logf("follows from the others: %s", s.name)
				}
			}
		}
	}
	t.Logf("%d cells that tell of one program, %d shown, %d of the former follow", cells, shown, known)
	if known > 0 || cells < 1000 || shown < 1000 {
		t.Errorf("%d of %d cells that tell of one program follow from %d shown ones", known, cells, shown)
	}
}

// madeUp are the cells of five to twelve programs by three dimensions of three values, some of
// them rare.
func madeUp(r *rand.Rand) [][]tags.Cell {
	shared := make([][]tags.Cell, 5+r.IntN(8))
	for p := range shared {
		for n := range 27 {
			if r.IntN(100) < 25 {
				continue
			}
			var keys []*string
			rare := 0
			for _, v := range []int{n % 3, n % 9 / 3, n / 9} {
				word := fmt.Sprint(v)
				keys = append(keys, &word)
				if v == 2 {
					rare += 40
				}
			}
			if r.IntN(100) >= rare {
				shared[p] = append(shared[p], tags.Cell{Keys: keys, Plays: 1 + r.IntN(12)})
			}
		}
	}
	return shared
}

// only are the cells as a question by the chosen dimensions counts them: the others are all
// alike.
func only(shared [][]tags.Cell, chosen choice) [][]tags.Cell {
	out := make([][]tags.Cell, len(shared))
	for p, cells := range shared {
		for _, c := range cells {
			keys := make([]*string, len(c.Keys))
			for i := range keys {
				if chosen>>i&1 == 1 {
					keys[i] = c.Keys[i]
				}
			}
			out[p] = append(out[p], tags.Cell{Keys: keys, Plays: c.Plays})
		}
	}
	return out
}

// indicators say of each cell by the chosen dimensions which of the finest ones it sums.
func indicators(shared [][]tags.Cell, chosen choice, at map[string]int) map[string][]float64 {
	out := map[string][]float64{}
	for p, cells := range only(shared, chosen) {
		for i := range cells {
			key := keyOf(cells[i].Keys, all(3))
			if out[key] == nil {
				out[key] = make([]float64, len(at))
			}
			out[key][at[keyOf(shared[p][i].Keys, all(3))]] = 1
		}
	}
	return out
}

// follows reports whether a vector is a combination of others, by least squares.
func follows(of [][]float64, v []float64) bool {
	if len(of) == 0 {
		return false
	}
	a := mat.NewDense(len(v), len(of), nil)
	for j, col := range of {
		a.SetCol(j, col)
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		panic("no decomposition")
	}
	rank := svd.Rank(1e-9)
	var u mat.Dense
	svd.UTo(&u)
	left := mat.NewVecDense(len(v), append([]float64{}, v...))
	for k := range rank { // what is left after the part that lies in their span
		left.AddScaledVec(left, -mat.Dot(left, u.ColView(k)), u.ColView(k))
	}
	return mat.Norm(left, 2) < 1e-6
}

// BenchmarkHide: what finding out costs on a large question: 60 concepts by five downs and six
// bands, forty programs of 2,750 plays.
func BenchmarkHide(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	shared := make([][]tags.Cell, 40)
	for p := range shared {
		cells := map[[3]int]int{}
		for range 2750 {
			cells[[3]int{int(60 * r.Float64() * r.Float64() * r.Float64()), r.IntN(5), r.IntN(6)}]++
		}
		for at, n := range cells {
			var keys []*string
			for _, v := range at {
				word := fmt.Sprint(v)
				keys = append(keys, &word)
			}
			shared[p] = append(shared[p], tags.Cell{Keys: keys, Plays: n})
		}
	}
	var hidden map[string]bool
	for b.Loop() {
		var err error
		if hidden, err = hide(b.Context(), 3, shared); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(tabulate(all(3), shared).pools)), "cells")
	b.ReportMetric(float64(len(hidden)), "left-out")
}
