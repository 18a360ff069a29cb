package tendency

import (
	"math"
	"slices"
)

// mostApart bounds how far situations of one kind may lie apart, as a share of
// the variance that all-or-nothing situations would have: at a share of one half
// a standard deviation of .22. Assumed: offenses of the open season of 2022 lie
// .01 to .065 apart on downs and distances with plays enough to tell.
const mostApart = 0.2

// A Kin is what situations of one kind tell of how alike they are. It is the
// longest part of Shrink, and the same for all of them.
type Kin struct {
	logs, ms []float64 // of how likely each size m of the prior is
	used     int       // situations that hold a play
}

// NewKin learns from the counts of all situations of a kind.
//
// Cells spread around the level above like a Dirichlet whose parameters add up
// to m; the variance of a share is then p(1-p)/(m+1). Beforehand 1/(m+1) is
// uniform from 0 to mostApart. With fewer than two cells that hold a play only
// that speaks.
func NewKin(siblings [][]int) *Kin {
	mean, used := pooled(siblings)
	const points = 80
	lo, hi := math.Log(1/mostApart-1), math.Log(20_000)
	k := &Kin{make([]float64, points), make([]float64, points), used}
	for i := range points {
		m := math.Exp(lo + (hi-lo)*(float64(i)+.5)/points)
		// d(1/(m+1)) = -m/(m+1)^2 d log m
		k.logs[i], k.ms[i] = math.Log(m)-2*math.Log1p(m), m
		if used >= 2 {
			k.logs[i] += logSiblings(siblings, mean, m)
		}
	}
	return k
}

// worth returns how many plays the level above counts for in a cell of n plays:
// n B / (1 - B), where B is the weight the level above should get: the mean of
// m/(n+m). learned is false where only the prior speaks. The most likely m would do
// with many siblings, but pulls too hard with few: for 18 equal cells Stein's
// estimate has 15 where the likelihood divides by 18 (Efron and Morris 1975).
func (k *Kin) worth(n int) (plays float64, learned bool) {
	n = max(n, 1)
	most := slices.Max(k.logs)
	borrow, all := 0.0, 0.0
	for i, m := range k.ms {
		w := math.Exp(k.logs[i] - most)
		borrow += w * m / (float64(n) + m)
		all += w
	}
	b := borrow / all
	return float64(n) * b / (1 - b), k.used >= 2
}

// pooled returns the shares of all siblings together and how many hold a play.
func pooled(siblings [][]int) (mean []float64, used int) {
	total := 0.0
	for _, s := range siblings {
		if mean == nil {
			mean = make([]float64, len(s))
		}
		own := 0
		for j, v := range s {
			mean[j] += float64(v)
			own += v
		}
		if own > 0 {
			used++
		}
		total += float64(own)
	}
	for j := range mean {
		mean[j] /= max(1, total)
	}
	return mean, used
}

// logSiblings returns the log of the chance of the siblings' counts.
func logSiblings(siblings [][]int, mean []float64, m float64) float64 {
	alpha := make([]float64, len(mean))
	for j, p := range mean {
		alpha[j] = m * p
	}
	sum := 0.0
	for _, s := range siblings {
		sum += logDirichletMultinomial(alpha, s)
	}
	return sum
}

// logDirichletMultinomial returns the log of the chance of the counts when
// their shares are drawn from a Dirichlet with parameters alpha. An outcome
// with parameter 0 must have count 0, and says nothing.
func logDirichletMultinomial(alpha []float64, counts []int) float64 {
	size, n, sum := 0.0, 0, 0.0
	for j, c := range counts {
		if alpha[j] == 0 {
			continue
		}
		size += alpha[j]
		n += c
		sum += lgamma(alpha[j]+float64(c)) - lgamma(alpha[j]) - logFactorial(c)
	}
	if n == 0 {
		return 0
	}
	return sum + lgamma(size) - lgamma(size+float64(n)) + logFactorial(n)
}

func lgamma(x float64) float64 {
	y, _ := math.Lgamma(x)
	return y
}
