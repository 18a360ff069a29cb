package demo

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/tags"
)

// season is every play of an opponent.
func seasonOf(i int) (out []tags.Play) {
	for _, g := range games(i) {
		out = append(out, g...)
	}
	return out
}

// TestInvented: everybody is marked as invented, and what he runs is in the library.
func TestInvented(t *testing.T) {
	t.Parallel()
	if !strings.Contains(season, "(invented)") {
		t.Errorf("the season %q is not marked", season)
	}
	for i := range opponents {
		o := &opponents[i]
		if !strings.Contains(o.name, "(invented)") {
			t.Errorf("%q is not marked", o.name)
		}
		for _, h := range o.passes {
			if library[h.concept].Routes == "" || h.early+h.late <= 0 {
				t.Errorf("%s: %+v is not in the library, or never called", o.code, h)
			}
		}
		for n, share := range append(o.runShare[:], o.fieldSide) {
			if share <= 0 || share >= 1 {
				t.Errorf("%s: share %d is %v", o.code, n, share)
			}
		}
	}
}

// TestGamesFollow: by the rules of the game, as package tags checks them, no play of a half
// contradicts the one before: downs, spot, score, quarter and clock; and a half begins with a drive
// of its own, first and ten from where drives of the season begin, and later than all before it.
func TestGamesFollow(t *testing.T) {
	t.Parallel()
	for i := range opponents {
		for n, plays := range games(i) {
			half := 0
			for half < len(plays) && *plays[half].Quarter <= 2 {
				half++
			}
			if p := plays[half]; *p.Down != 1 || *p.DistanceYd != 10 || *p.YardsToGoal < 55 || *p.YardsToGoal > 84 {
				t.Errorf("%s, game %d: the second half begins on %d and %d, %d from the goal line", opponents[i].code, n+1,
					*p.Down, *p.DistanceYd, *p.YardsToGoal)
			}
			for k := 1; k < len(plays); k++ {
				if elapsed(&plays[k]) <= elapsed(&plays[k-1]) {
					t.Errorf("%s, game %d: play %d is no later than the one before", opponents[i].code, n+1, k+1)
				}
			}
			for _, part := range [][]tags.Play{plays[:half], plays[half:]} {
				c := tags.CheckChain(part)
				if len(c.Breaks) > 0 || c.Links == 0 || c.Checked < c.Links*9/10 {
					t.Errorf("%s, game %d: %d of %d checked, breaks %+v", opponents[i].code, n+1, c.Checked, c.Links, c.Breaks)
				}
			}
		}
	}
}

// TestHabitsShow: what is counted shows the habits: runs by down and distance, and the wide side
// from a hash, each within four standard errors of what was meant.
func TestHabitsShow(t *testing.T) {
	t.Parallel()
	for i := range opponents {
		o := &opponents[i]
		var ran, of [3]int
		wide, fromHash := 0, 0
		for _, p := range seasonOf(i) {
			k := 0
			switch {
			case *p.Down >= 3 && *p.DistanceYd <= 2:
				continue
			case *p.Down >= 3:
				k = 2
			case *p.DistanceYd > 7:
				k = 1
			}
			of[k]++
			if *p.Called == "run" {
				ran[k]++
			}
			if *p.Hash != "middle" {
				fromHash++
				if *p.PlaySide != *p.Hash {
					wide++
				}
			}
		}
		for k, want := range o.runShare {
			shows(t, o.code+" runs", ran[k], of[k], want)
		}
		shows(t, o.code+" to the wide side", wide, fromHash, o.fieldSide)
	}
}

func shows(t *testing.T, what string, x, n int, want float64) {
	t.Helper()
	got := float64(x) / float64(n)
	if n < 20 || math.Abs(got-want) > 4*math.Sqrt(want*(1-want)/float64(n)) {
		t.Errorf("%s: %.2f of %d, meant %.2f", what, got, n, want)
	}
}

// TestThrown: one target of a pass, no routes of a run; how far a ball was thrown is said of thrown
// balls only, and of a caught one no further than the gain, or into the end zone.
func TestThrown(t *testing.T) {
	t.Parallel()
	depths := 0
	for i := range opponents {
		for _, p := range seasonOf(i) {
			targets := 0
			for _, r := range p.Routes {
				if r.Targeted {
					targets++
				}
			}
			if want := map[string]int{"run": 0, "pass": 1}[*p.Called]; targets != want {
				t.Errorf("%s play %d, a %s: %d targets", opponents[i].code, p.Number, *p.Called, targets)
			}
			if p.ThrowDepth == nil {
				continue
			}
			depths++
			r := *p.Result
			deep := *p.GainYd
			if p.Touchdown {
				deep += 10
			}
			if r != "complete" && r != "incomplete" && r != "intercepted" || r == "complete" && *p.ThrowDepth > deep {
				t.Errorf("%s play %d: %s for %d, thrown %d deep", opponents[i].code, p.Number, r, *p.GainYd, *p.ThrowDepth)
			}
		}
	}
	if depths < 200 {
		t.Errorf("%d depths of throws in a season", depths)
	}
}

// TestOurCalls: what we call is in the book; the choices of the plan are calls of the book whose
// shares come to one; somebody left a call out, and our habit against two backs shows.
func TestOurCalls(t *testing.T) {
	t.Parallel()
	for _, c := range choices {
		sum := 0.0
		for _, x := range c.Calls {
			sum += x.Share
			if _, err := call.Lookup(x.Call); err != nil {
				t.Errorf("%s: %v", c.Situation, err)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("%s: the shares come to %v", c.Situation, sum)
		}
	}
	two, match, untagged := 0, 0, 0
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(7, seed))
		plays := opponents[len(opponents)-1].game(rng)
		callIt(plays, rng)
		for i := range plays {
			p := &plays[i]
			if p.Coverage == nil {
				untagged++
				if p.Shell != nil || p.Rushers != nil || p.CoverageOf != nil {
					t.Errorf("play %d: no call, and %v, %v", p.Number, p.Shell, p.Rushers)
				}
				continue
			}
			if man := *p.Coverage == "cover 1"; (*p.CoverageOf == "man") != man {
				t.Errorf("%s is tagged as %s", *p.Coverage, *p.CoverageOf)
			}
			if *p.Rushers-*p.Blitzers != 4 {
				t.Errorf("%s: %d rush, %d of them blitz", *p.Coverage, *p.Rushers, *p.Blitzers)
			}
			if *p.Personnel == "21" {
				two++
				if *p.Coverage == "cover 3 match" {
					match++
				}
			}
		}
	}
	if untagged == 0 {
		t.Error("every call is tagged")
	}
	shows(t, "cover 3 match against two backs", match, two, .75)
}
