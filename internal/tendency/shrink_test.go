package tendency

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestBlend takes published posterior means.
func TestBlend(t *testing.T) {
	for _, tt := range []struct {
		alpha, beta float64
		x, n        int
		want, tol   float64
		src         string
	}{
		{1, 1, 437, 980, .4460, 5e-5, "placenta previa, uniform prior: BDA3 2.4 (MEM+CALC)"},
		{1.3703, 8.7056, 4, 14, .22306, 5e-6, "rat tumours: BDA3 5.1 (MEM+CALC)"},
		{78.661, 224.875, 300, 1000, .2905, 5e-5,
			"D. Robinson 2015, empirical Bayes estimation (story SEEN, parameters MEM+CALC)"},
		{78.661, 224.875, 4, 10, .2636, 5e-5,
			"D. Robinson 2015: 4 of 10 ranks behind 300 of 1000 (story SEEN, parameters MEM+CALC)"},
	} {
		size := tt.alpha + tt.beta
		got := blend([]int{tt.x, tt.n - tt.x}, []float64{tt.alpha / size, tt.beta / size}, size)
		if !near(got[0], tt.want, tt.tol) || !near(got[0]+got[1], 1, 1e-12) {
			t.Errorf("%d of %d on Beta(%v, %v): %v; want %v (%s)", tt.x, tt.n, tt.alpha, tt.beta, got[0], tt.want, tt.src)
		}
	}
	const src = "1988 poll, uniform Dirichlet: BDA3 3.4 (MEM+CALC)"
	for j, p := range blend([]int{727, 583, 137}, []float64{1. / 3, 1. / 3, 1. / 3}, 3) {
		if want := []float64{.50207, .40276, .09517}[j]; !near(p, want, 5e-6) {
			t.Errorf("posterior mean %d = %v; want %v (%s)", j+1, p, want, src)
		}
	}
}

// TestShrinkInterval: one level, equal shares worth one play against the
// uniform prior's two, which moves the limits by less than the source's rounding.
func TestShrinkInterval(t *testing.T) {
	got := Shrink([]Level{{Name: "all", Counts: []int{437, 543}}})
	if !near(got.Low[0], .415, 5e-4) || !near(got.High[0], .477, 5e-4) {
		t.Errorf("437 of 980: %.4f to %.4f; want .415 to .477 (BDA3 2.4, MEM+CALC)", got.Low[0], got.High[0])
	}
}

// TestShrinkBaseball: 18 players, 45 at-bats each. Efron and Morris shrink by
// .212 (1977) or .209 (1975); a Beta-binomial fit is another estimator of the
// same thing, so the figures are those of the source to .012 and the shape is
// exactly theirs.
func TestShrinkBaseball(t *testing.T) {
	const src = "Efron & Morris 1977, Scientific American: factor and grand mean SEEN, values CALC"
	hits := []int{18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7}
	want := []float64{.294, .289, .284, .280, .275, .275, .270, .266, .261, .261, .256, .256, .256, .256, .256, .252, .247,
		.242}
	var players [][]int
	all := []int{0, 0}
	for _, h := range hits {
		players = append(players, []int{h, 45 - h})
		all[0] += h
		all[1] += 45 - h
	}
	mean, last, off := Share(all[0], all[0]+all[1]), math.Inf(1), 0.0
	for i, p := range players {
		got := Shrink([]Level{{"player", p, players}, {"all players", all, nil}}).Shares[0]
		raw := Share(hits[i], 45)
		if !near(got, want[i], .012) {
			t.Errorf("%d hits of 45: %.4f; want about %v (%s)", hits[i], got, want[i], src)
		}
		if got > last || i > 0 && hits[i] == hits[i-1] && got != last {
			t.Errorf("%d hits of 45: %.4f after %.4f; the raw order must be kept, equals stay equal (%s)", hits[i], got, last,
				src)
		}
		if math.Abs(got-mean) > math.Abs(raw-mean) || (got-mean)*(raw-mean) < -1e-4 {
			t.Errorf("%d hits of 45: %.4f is not between %.4f and the mean %.4f (%s)", hits[i], got, raw, mean, src)
		}
		last = got
		off = max(off, math.Abs(got-want[i]))
	}
	t.Logf("largest distance from the published estimates: %.4f", off)
}

func TestShrinkSaysWhereFrom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 4).Draw(t, "outcomes")
		var chain []Level
		counts := make([]int, k)
		for range rapid.IntRange(1, 4).Draw(t, "levels") {
			more := rapid.SliceOfN(rapid.IntRange(0, 20), k, k).Draw(t, "more")
			for j := range more {
				more[j] += counts[j]
			}
			siblings := rapid.SliceOfN(rapid.SliceOfN(rapid.IntRange(0, 20), k, k), 0, 5).Draw(t, "siblings")
			chain = append(chain, Level{"level", more, siblings})
			counts = more
		}
		got := Shrink(chain)
		weight, share := 0.0, 0.0
		for _, s := range got.From {
			weight += s.Weight
		}
		mixed := make([]float64, k) // the estimate put together again from its sources
		for i, s := range got.From {
			for j := range mixed {
				if i == len(chain) {
					mixed[j] += s.Weight / float64(k)
				} else if s.Plays > 0 {
					mixed[j] += s.Weight * Share(chain[i].Counts[j], s.Plays)
				}
			}
		}
		for j, p := range got.Shares {
			share += p
			if !(got.Low[j] <= p && p <= got.High[j]) && k > 1 || !near(p, mixed[j], 1e-9) {
				t.Fatalf("share %v in %v to %v, from its sources %v", p, got.Low[j], got.High[j], mixed[j])
			}
		}
		if !near(weight, 1, 1e-9) || !near(share, 1, 1e-9) {
			t.Fatalf("weights add up to %v, shares to %v", weight, share)
		}
	})
	if got := Shrink(nil); got.Shares != nil || got.From != nil {
		t.Errorf("Shrink(nil) = %+v; want nothing", got)
	}
}

// TestShrinkRealSeason learns on the odd weeks of a season and is judged on the
// even ones: the shrunk share of passes in each offense's down and distance cell
// must miss by less than the raw share, cells weighted by their later plays.
func TestShrinkRealSeason(t *testing.T) {
	type key struct{ offense, situation, down string }
	odd, even := map[key][]int{}, map[key][]int{}
	for _, p := range season(t) {
		half := odd
		if p.week%2 == 0 {
			half = even
		}
		k := key{p.offense, p.down + " and " + p.band, p.down}
		if half[k] == nil {
			half[k] = make([]int, 2)
		}
		half[k][p.called]++
	}
	sum := func(same func(key) bool) []int {
		out := make([]int, 2)
		for k, c := range odd {
			if same(k) {
				out[0], out[1] = out[0]+c[0], out[1]+c[1]
			}
		}
		return out
	}
	var keys []key
	for k := range even {
		if odd[k] != nil {
			keys = append(keys, k)
		}
	}
	slices.SortFunc(keys, func(a, b key) int {
		return slices.Compare([]string{a.offense, a.situation}, []string{b.offense, b.situation})
	})
	var raw, shrunk, weight, thinRaw, thinShrunk, thinWeight float64
	borrowed := 0.0
	for _, k := range keys {
		var cells, situations [][]int
		for _, other := range keys {
			if other.situation == k.situation {
				cells = append(cells, odd[other])
			}
		}
		seen := map[string]bool{}
		for _, other := range keys {
			if other.down == k.down && !seen[other.situation] {
				seen[other.situation] = true
				situations = append(situations, sum(func(o key) bool { return o.situation == other.situation }))
			}
		}
		got := Shrink([]Level{
			{k.offense + " on " + k.situation, odd[k], cells},
			{"all offenses on " + k.situation, sum(func(o key) bool { return o.situation == k.situation }), situations},
			{"all offenses on down " + k.down, sum(func(o key) bool { return o.down == k.down }), nil},
		})
		n, later := odd[k][0]+odd[k][1], even[k][0]+even[k][1]
		truth := Share(even[k][1], later)
		r, s, w := Share(odd[k][1], n)-truth, got.Shares[1]-truth, float64(later)
		raw, shrunk, weight = raw+w*r*r, shrunk+w*s*s, weight+w
		borrowed += w * (1 - got.From[0].Weight)
		if n < 20 {
			thinRaw, thinShrunk, thinWeight = thinRaw+w*r*r, thinShrunk+w*s*s, thinWeight+w
		}
	}
	raw, shrunk, thinRaw, thinShrunk = raw/weight, shrunk/weight, thinRaw/thinWeight, thinShrunk/thinWeight
	t.Logf("pass share of %d cells, odd weeks against even: mean squared error raw %.5f, shrunk %.5f (borrowed %.0f "+
		"%%); cells under 20 plays: raw %.5f, shrunk %.5f",
		len(keys), raw, shrunk, 100*borrowed/weight, thinRaw, thinShrunk)
	if len(keys) < 300 || shrunk >= raw || thinShrunk >= thinRaw {
		t.Errorf("%d cells: the shrunk share must miss by less than the raw one", len(keys))
	}
}
