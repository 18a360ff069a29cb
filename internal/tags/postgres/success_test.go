package postgres_test

import (
	"strconv"
	"testing"

	"overhang/internal/tags"
	"overhang/internal/tags/postgres/postgrestest"
	"overhang/internal/tendency"
)

// TestSuccessIsOne holds what the database calls a success, and an explosive play,
// against the one that Go means, on both sides of every boundary: all downs, distances
// to 20 yards, gains about the yards needed, touchdowns short of them, what is not known.
// The rule is the program's own cut points; common practice, no source.
func TestSuccessIsOne(t *testing.T) {
	t.Parallel()
	s, p := postgrestest.New(t)
	g := game(t, s, p)
	var plays []tags.Play
	add := func(down, distance, gain *int, touchdown bool, called string) {
		plays = append(plays, tags.Play{GameID: g.ID, OpponentID: g.OpponentID, Number: len(plays) + 1, Status: "counted",
			Called: &called,
			Down:   down, DistanceYd: distance, GainYd: gain, Touchdown: touchdown})
	}
	for down := 1; down <= 4; down++ {
		for distance := 1; distance <= 20; distance++ {
			need := tendency.Needed(down, distance, p.Settings.SuccessPercent)
			for _, gain := range []int{need - 1, need, p.Settings.ExplosiveRunYd - 1, p.Settings.ExplosiveRunYd,
				p.Settings.ExplosivePassYd - 1, p.Settings.ExplosivePassYd} {
				add(&down, &distance, &gain, false, []string{"run", "pass"}[distance%2])
			}
			add(&down, &distance, ptr(need-1), true, "run")
		}
	}
	add(nil, ptr(5), ptr(5), false, "run")
	add(ptr(3), nil, ptr(5), false, "run")
	add(ptr(3), ptr(5), nil, false, "run")
	add(ptr(3), ptr(5), nil, true, "run")
	if _, err := s.LoadPlays(ctx, p.ID, plays); err != nil {
		t.Fatal(err)
	}
	by := []string{"down", "distance", "gain", "touchdown", "called", "success", "explosive"}
	got, err := s.Tendencies(ctx, p, tags.TendencyQuery{By: by})
	if err != nil {
		t.Fatal(err)
	}
	judged := 0
	for _, c := range got.Cells {
		down, distance, gain := known(c.Keys[0]), known(c.Keys[1]), known(c.Keys[2])
		touchdown, called := *c.Keys[3] == "yes", *c.Keys[4]
		said := down != nil && distance != nil && (gain != nil || touchdown)
		if (c.Keys[5] != nil) != said {
			t.Errorf("down %s, distance %s, gain %s: judged %v, want %v", word(c.Keys[0]), word(c.Keys[1]), word(c.Keys[2]),
				!said, said)
		}
		if said {
			judged += c.Plays
			yards := 0
			if gain != nil {
				yards = *gain
			}
			if want := tendency.Success(*down, *distance, yards, touchdown,
				p.Settings.SuccessPercent); (*c.Keys[5] == "yes") != want {
				t.Errorf("down %d, %d to go, gain %d, touchdown %v: the database says %s, Go %v", *down, *distance, yards,
					touchdown, *c.Keys[5], want)
			}
		}
		if gain != nil {
			want := tendency.Explosive(called == "pass", *gain, p.Settings.ExplosiveRunYd, p.Settings.ExplosivePassYd)
			if (*c.Keys[6] == "yes") != want {
				t.Errorf("a %s of %d yards: the database says explosive is %s, Go %v", called, *gain, *c.Keys[6], want)
			}
		}
	}
	if want := 4*20*7 + 1; judged != want {
		t.Errorf("%d plays were judged, want %d", judged, want)
	}
}

func known(key *string) *int {
	if key == nil {
		return nil
	}
	n, err := strconv.Atoi(*key)
	if err != nil {
		return nil
	}
	return &n
}

func word(key *string) string {
	if key == nil {
		return "unknown"
	}
	return *key
}
