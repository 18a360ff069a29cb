package tendency

import (
	"cmp"
	"math"
	"slices"
)

// tie is the relative difference up to which two tables count as equally
// likely; R's fisher.test uses the same.
const tie = 1e-7

// FisherExact returns the two-sided p of a 2x2 table: the total probability,
// margins fixed, of all tables no more likely than this one (Fisher 1935). An
// empty row or column: 1.
func FisherExact(a, b, c, d int) float64 {
	r1, r2, c1 := a+b, c+d, a+c
	logC := func(n, k int) float64 { return logFactorial(n) - logFactorial(k) - logFactorial(n-k) }
	prob := func(k int) float64 { return math.Exp(logC(r1, k) + logC(r2, c1-k) - logC(r1+r2, c1)) }
	here, sum := prob(a), 0.0
	for k := max(0, c1-r2); k <= min(r1, c1); k++ {
		if p := prob(k); p <= here*(1+tie) {
			sum += p
		}
	}
	return min(1, sum)
}

func logFactorial(n int) float64 {
	x, _ := math.Lgamma(float64(n) + 1)
	return x
}

// Limits of the exact test: states fit in 64 bits, and the work in some tens of
// milliseconds.
const (
	mostSide   = 6
	mostPlays  = 1000
	mostStates = 10_000
)

// FisherTable is FisherExact for a table of any size, without sampling. ok is
// false when the table is too large for it.
//
// The columns are dealt with in two halves. A half is a list of states: what it
// has used of each row's margin, how likely (a sum of log factorials), how many
// tables. Two halves fit when together they use the margins up; the tables no
// more likely than the one seen are then found by bisection. Log factorials are
// whole multiples of 1e-11, so that sums are exact and the order does not matter.
func FisherTable(table [][]int) (p float64, ok bool) { return fisherTable(table, mostStates) }

func fisherTable(table [][]int, limit int) (p float64, ok bool) {
	table = filled(table)
	if len(table) < 2 || len(table[0]) < 2 {
		return 1, true
	}
	if len(table) > len(table[0]) {
		table = transposed(table)
	}
	rows, cols := margins(table)
	n := 0
	for _, r := range rows {
		n += r
	}
	if len(rows) > mostSide || n > mostPlays {
		return 0, false
	}
	seen := int64(0)
	whole := -fixedLog(n)
	for _, row := range table {
		for _, v := range row {
			seen += fixedLog(v)
		}
	}
	for _, m := range slices.Concat(rows, cols) {
		whole += fixedLog(m)
	}
	slices.Sort(cols)
	var halves [2][]int // large and small columns to each
	for i, c := range cols {
		halves[i%2] = append(halves[i%2], c)
	}
	left, ok1 := deal(rows, halves[0], limit)
	right, ok2 := deal(rows, halves[1], limit)
	if !ok1 || !ok2 {
		return 0, false
	}
	return min(1, joined(left, right, pack(rows), seen, whole)), true
}

// fixedLog returns log n! in units of 1e-11.
func fixedLog(n int) int64 { return int64(math.Round(logFactorial(n) * 1e11)) }

func transposed(table [][]int) [][]int {
	out := make([][]int, len(table[0]))
	for j := range out {
		for i := range table {
			out[j] = append(out[j], table[i][j])
		}
	}
	return out
}

// pack puts one number for each row into ten bits each.
func pack(used []int) uint64 {
	key := uint64(0)
	for i, u := range used {
		key |= uint64(u) << (10 * i)
	}
	return key
}

// A dealt is what some columns may have used of the rows' margins.
type dealt struct {
	used uint64
	log  int64 // sum of the log factorials of their cells
}

// deal returns in how many ways columns can use the rows, sorted by use and
// then from unlikely to likely; false when there are more than limit states.
func deal(rows, cols []int, limit int) ([]state, bool) {
	now := map[dealt]float64{{}: 1}
	for _, total := range cols {
		next := make(map[dealt]float64, 4*len(now))
		for d, ways := range now {
			spread(rows, d, 0, total, func(to dealt) { next[to] += ways })
			if len(next) > limit {
				return nil, false
			}
		}
		now = next
	}
	out := make([]state, 0, len(now))
	for d, ways := range now {
		out = append(out, state{d, ways})
	}
	slices.SortFunc(out, func(a, b state) int { return cmp.Or(cmp.Compare(a.used, b.used), cmp.Compare(b.log, a.log)) })
	return out, true
}

type state struct {
	dealt
	ways float64 // a whole number
}

// spread deals the rest of a column over the rows from i on.
func spread(rows []int, d dealt, i, rest int, visit func(dealt)) {
	room := rows[i] - int(d.used>>(10*i)&1023)
	if i == len(rows)-1 {
		if rest <= room {
			visit(dealt{d.used + uint64(rest)<<(10*i), d.log + fixedLogs[rest]})
		}
		return
	}
	for v := 0; v <= min(room, rest); v++ {
		spread(rows, dealt{d.used + uint64(v)<<(10*i), d.log + fixedLogs[v]}, i+1, rest-v, visit)
	}
}

var fixedLogs = func() (out [mostPlays + 1]int64) {
	for n := range out {
		out[n] = fixedLog(n)
	}
	return out
}()

// joined adds up the tables no more likely than the one seen.
func joined(left, right []state, margins uint64, seen, whole int64) float64 {
	const unit = 1e-11
	most := seen - int64(tie/unit) // a larger sum of logs is a less likely table
	type run struct {
		from, to int
	}
	runs := map[uint64]run{}
	for i, s := range right {
		r, ok := runs[s.used]
		if !ok {
			r = run{i, i}
		}
		r.to++
		runs[s.used] = r
	}
	// Likelihoods are relative to the likeliest of their run, its last: as they
	// are, those of some hundred plays are out of a float's range.
	sums := make([]float64, len(right)+1) // of ways x likelihood, restarted for each use
	for i, s := range right {
		r := runs[s.used]
		sums[i+1] = s.ways * math.Exp(float64(right[r.to-1].log-s.log)*unit)
		if i > r.from {
			sums[i+1] += sums[i]
		}
	}
	p := 0.0
	for _, l := range left {
		r, ok := runs[margins-l.used]
		if !ok {
			continue
		}
		k, _ := slices.BinarySearchFunc(right[r.from:r.to], most-l.log, func(s state, need int64) int {
			if s.log >= need {
				return -1
			}
			return 1
		})
		if k > 0 {
			p += l.ways * math.Exp(float64(whole-l.log-right[r.to-1].log)*unit) * sums[r.from+k]
		}
	}
	return p
}
