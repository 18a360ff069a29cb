package tendency

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func TestDivergence(t *testing.T) {
	// Weighted by plays, 2 N ln 2 times the divergence is the likelihood ratio
	// statistic: G2 = 30.02 is printed for this table.
	party := [][]int{{762, 327, 468}, {484, 239, 477}}
	if g := 2 * 2757 * math.Ln2 * divergence(party, 1557.0/2757); !near(g, 30.0167, 5e-5) {
		t.Errorf("G2 = %v; want 30.02, 30.0167 (Agresti 2007 p. 39, SEEN-code + CALC)", g)
	}
	for _, tt := range []struct {
		pair [][]int
		want float64
		src  string
	}{
		{[][]int{{7, 0}, {0, 3}}, 1, "nothing in common: one bit (Lin 1991, bound; MEM)"},
		{[][]int{{2, 4}, {10, 20}}, 0, "the same shares: none"},
		{[][]int{{1, 0}, {1, 1}}, 0.311278, "H(3/4, 1/4) - 1/2, with H(3/4, 1/4) = 0.811278 (definition, CALC)"},
	} {
		if got := divergence(tt.pair, .5); !near(got, tt.want, 5e-7) {
			t.Errorf("divergence(%v) = %v; want %v (%s)", tt.pair, got, tt.want, tt.src)
		}
	}
}

func TestLikest(t *testing.T) {
	target := Profile{"target", [][]int{{40, 30, 30}, {10, 60, 10}}}
	got := Likest(target, []Profile{
		{"other way round", [][]int{{10, 30, 60}, {60, 10, 10}}},
		{"the same, more film", [][]int{{80, 60, 60}, {20, 120, 20}}},
		{"never seen there", [][]int{{0, 0, 0}, {0, 0, 0}}},
		{"a little off", [][]int{{30, 30, 40}, {15, 50, 15}}},
	})
	var names []string
	for _, l := range got {
		names = append(names, l.Name)
	}
	if want := []string{"the same, more film", "a little off", "other way round", "never seen there"}; !slices.Equal(names,
		want) {
		t.Errorf("likest first: %v; want %v", names, want)
	}
	if got[0].Apart != 0 || got[0].P < .99 || got[2].P > 1e-6 || got[3].Situations != 0 || got[3].P != 1 {
		t.Errorf("likeness: %+v", got)
	}
}

// TestThinIsNotUnlike: what chance gives is taken off, so that of two opponents
// with the target's own mix the one with little film does not look different.
func TestThinIsNotUnlike(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	draw := func(n int) []int {
		out := make([]int, 5)
		for range n {
			u, j := rng.Float64(), 0
			for _, p := range []float64{.3, .25, .2, .15} {
				if u < p {
					break
				}
				u -= p
				j++
			}
			out[j]++
		}
		return out
	}
	var raw, off float64
	const trials = 500
	for range trials {
		l := likeness(Profile{"a", [][]int{draw(200)}}, Profile{"b", [][]int{draw(25)}})
		raw += l.Raw / trials
		off += l.Apart / trials
	}
	t.Logf("two samples of one mix, 200 and 25 plays: apart %.4f bits raw, %.4f with chance taken off", raw, off)
	if off > raw/2 || raw < .01 {
		t.Errorf("chance is not taken off: %.4f of %.4f bits left", off, raw)
	}
}

// TestSeasonHalvesAreAlike: on the open season, an offense's even weeks should
// be likest to its own odd weeks more often than one time in 32, by chance.
func TestSeasonHalvesAreAlike(t *testing.T) {
	bands := []string{"1-3", "4-6", "7-10", "11+"}
	people := []string{"11", "12", "21", "13", "22", "10", "20"}
	profile := func(plays []seasonPlay, offense string, half int) Profile {
		out := Profile{offense, make([][]int, 16)}
		for s := range out.Counts {
			out.Counts[s] = make([]int, 2*len(people)+2)
		}
		for _, p := range plays {
			if p.offense != offense || p.week%2 != half {
				continue
			}
			who := slices.Index(people, p.personnel)
			if who < 0 {
				who = len(people)
			}
			out.Counts[4*int(p.down[0]-'1')+slices.Index(bands, p.band)][2*who+p.called]++
		}
		return out
	}
	plays := season(t)
	var names []string
	for _, p := range plays {
		if !slices.Contains(names, p.offense) {
			names = append(names, p.offense)
		}
	}
	slices.Sort(names)
	var odd []Profile
	for _, n := range names {
		odd = append(odd, profile(plays, n, 1))
	}
	first, rank := 0, 0
	for _, n := range names {
		for i, l := range Likest(profile(plays, n, 0), odd) {
			if l.Name == n {
				rank += i + 1
				if i == 0 {
					first++
				}
			}
		}
	}
	t.Logf("personnel and call by down and distance: %d of %d offenses are likest to their own other half; mean rank "+
		"%.1f (chance: 1 and 16.5)", first, len(names), float64(rank)/float64(len(names)))
	if first < len(names)/3 {
		t.Errorf("only %d of %d offenses are recognized", first, len(names))
	}
}
