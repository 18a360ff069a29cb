package tendency

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// TestPoolBounds: ten plays with a concept move its success by at most .02 at professional
// strengths, whatever came of them (the strengths' source: pooled seasons); an opponent whose
// every play succeeds is not drawn further than his plays are worth; nobody's plays move
// nothing.
func TestPoolBounds(t *testing.T) {
	all := []Met{{"a", "flood", "1st", 10, 10}, {"a", "other", "1st", 20, 50}, {"b", "other", "1st", 160, 400}}
	p := NewPool(all, Professional)
	if got := p.With("a", "flood"); got <= 0 || got > 0.02 {
		t.Errorf("ten of ten with a concept move it by %.3f", got)
	}
	if got, most := p.Level("a"), 60.0/(60+400); got <= 0 || got > most {
		t.Errorf("his level is %.3f, at most %.3f", got, most)
	}
	if p.Level("nobody") != 0 || p.With("a", "none") != 0 || p.In(nil) != 0 || NewPool(nil, Amateur).Level("a") != 0 {
		t.Error("without plays something moves")
	}
	if p.Learned || !NewPool(six(0, 40), Amateur).Learned {
		t.Error("a prior is learned from six opponents, not from two")
	}
}

// six are six opponents of so many plays a concept whose true rates lie apart by so much.
func six(apart float64, plays int) (all []Met) {
	rng := rand.New(rand.NewPCG(16, 6))
	for o := range 12 {
		level := 0.45 + apart*rng.NormFloat64()
		for k := range 10 {
			m := Met{fmt.Sprint("o", o), fmt.Sprint("k", k), "1st", 0, plays}
			for range plays {
				if rng.Float64() < level {
					m.Won++
				}
			}
			all = append(all, m)
		}
	}
	return all
}

// TestPoolLearns: opponents whose rates are drawn .08 apart have a prior near
// p(1-p)/.08^2 = 39 plays, those who are alike one of hundreds. The numbers are drawn; the
// formula is that of a Beta's variance.
func TestPoolLearns(t *testing.T) {
	far, near := NewPool(six(0.08, 100), Amateur).Prior, NewPool(six(0, 100), Amateur).Prior
	t.Logf("apart by .08: %.0f plays; alike: %.0f; a concept within: %.0f", far.Overall, near.Overall, far.Within)
	if far.Overall < 20 || far.Overall > 80 || near.Overall < 300 || far.Within < 300 {
		t.Errorf("worth %.0f and %.0f plays, within %.0f", far.Overall, near.Overall, far.Within)
	}
}

// TestPoolForecasts holds levels against the open season of 2022 (sources at season): what
// the first half of it says of each offense forecasts the second better than the downs alone,
// and than what the offense did taken as it is.
func TestPoolForecasts(t *testing.T) {
	var first, second []Met
	for _, p := range season(t) {
		m := Met{p.offense, fmt.Sprint("called ", p.called), p.down + p.band, p.success, 1}
		if p.week <= 9 {
			first = append(first, m)
		} else {
			second = append(second, m)
		}
	}
	missed := func(prior Prior) (sum float64) {
		p := NewPool(first, Prior{1e9, 1e9})
		p.Prior = prior // as given, not as learned
		for i := range second {
			m := &second[i]
			d := float64(m.Won) - min(1, max(0, p.expected(m)))
			sum += d * d
		}
		return sum / float64(len(second))
	}
	downs, pooled, raw := missed(Prior{1e9, 1e9}), missed(Professional), missed(Prior{0, 0})
	t.Logf("Brier of %d plays: downs alone %.5f, pooled %.5f, as it is %.5f; learned %.0f",
		len(second), downs, pooled, raw, NewPool(first, Professional).Prior.Overall)
	if pooled >= downs || pooled >= raw || math.IsNaN(pooled) {
		t.Errorf("Brier: downs alone %.5f, pooled %.5f, as it is %.5f", downs, pooled, raw)
	}
}
