package demo

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres/postgrestest"
	"overhang/internal/tags/starter"
)

func TestMain(m *testing.M) { postgrestest.Main(m) }

func games(i int) [][]tags.Play {
	var out [][]tags.Play
	for week := 1; week <= 5; week++ {
		out = append(out, opponents[i].game(rand.New(rand.NewPCG(uint64(2031+i), uint64(week)))))
	}
	if i == len(opponents)-1 { // our game
		out = append(out, ourPlays())
	}
	return out
}

// TestChainAddsUp follows every drive: the next play's down, distance and spot
// are those the last one left (rules of the game: a gain of at least the
// distance is a first down, ten yards or the goal to go).
func TestChainAddsUp(t *testing.T) {
	v := tags.NewVocabulary(starter.Words())
	for i := range opponents {
		for _, plays := range games(i) {
			if n := len(plays); n < 40 || n > 80 {
				t.Errorf("%s: a game of %d snaps", opponents[i].code, n)
			}
			for k := range plays {
				p := &plays[k]
				if err := p.Validate(); err != nil {
					t.Fatalf("%s play %d: %v", opponents[i].code, p.Number, err)
				}
				if err := v.Apply(p); err != nil {
					t.Fatalf("%s play %d: %v", opponents[i].code, p.Number, err)
				}
				if k == 0 {
					continue
				}
				last := &plays[k-1]
				left := *last.YardsToGoal - *last.GainYd
				down, dist := *last.Down+1, *last.DistanceYd-*last.GainYd
				if dist <= 0 {
					down, dist = 1, min(10, left)
				}
				ended := last.Touchdown || *last.Result == "intercepted" || *last.Result == "fumble_lost" || down >= 4
				if ended && *p.Down == 1 && *p.DistanceYd == 10 {
					continue // a new drive
				}
				if *p.Down != down || *p.DistanceYd != dist || *p.YardsToGoal != left {
					t.Errorf("%s play %d: %d and %d at %d; the play before left %d and %d at %d", opponents[i].code, p.Number, *p.Down,
						*p.DistanceYd, *p.YardsToGoal, down, dist, left)
				}
			}
		}
	}
}

func TestSameEveryTime(t *testing.T) {
	for i := range opponents {
		if d := cmp.Diff(games(i), games(i)); d != "" {
			t.Errorf("%s differs from itself: %s", opponents[i].code, d)
		}
	}
}

func TestLoadTwice(t *testing.T) {
	ctx := context.Background()
	s, _ := postgrestest.New(t)
	counts := func() tags.Tendency {
		p, err := s.Program(ctx, Code)
		if err != nil {
			t.Fatal(err)
		}
		ten, err := s.Tendencies(ctx, p, tags.TendencyQuery{By: []string{"opponent", "game", "down"}})
		if err != nil {
			t.Fatal(err)
		}
		return ten
	}
	if err := Load(ctx, s); err != nil {
		t.Fatal(err)
	}
	first := counts()
	if first.Total < 4*5*40 {
		t.Errorf("the season has %d plays", first.Total)
	}
	if err := Load(ctx, s); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(first, counts()); d != "" {
		t.Errorf("loading twice changed the season: %s", d)
	}
}
