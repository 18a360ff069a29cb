package demo

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// choices are what the invented coordinator means to call; elsewhere the
// recommendation stands.
var choices = []plan.ChoiceIn{
	{Situation: "1st and 7-10", Choice: plan.Choice{Calls: []plan.Chosen{{Call: "quarters match", Share: .5},
		{Call: "cover 3 match", Share: .3}, {Call: "palms", Share: .2}}}},
	{Situation: "2nd and 7-10", Choice: plan.Choice{Calls: []plan.Chosen{{Call: "quarters match", Share: .6},
		{Call: "cover 3 match", Share: .4}}}},
	{Situation: "3rd and 4-6", Choice: plan.Choice{Calls: []plan.Chosen{{Call: "cover 1", Share: .7},
		{Call: "palms", Share: .3}}, Note: "Man unless they line up in the bunch."}},
	{Situation: "3rd and 7-10", Choice: plan.Choice{Calls: []plan.Chosen{{Call: "fire zone", Share: .5},
		{Call: "cover 1", Share: .5}}}},
}

// ourGame is the week we played the last opponent: the game, the plan for it, locked,
// then what happened.
func ourGame(ctx context.Context, s *postgres.Store, p tags.Program) error {
	week, versus := 6, "us (invented)"
	g, err := ensure(ctx, s, p, len(opponents)-1, tags.Game{Label: "week 6 (ours)", Week: &week, Versus: &versus,
		Ours: true})
	if err != nil {
		return err
	}
	if err := keepPlan(ctx, s, p, g); err != nil {
		return err
	}
	return play(ctx, s, p, g, ourPlays())
}

// keepPlan stores the plan for a game where there is none.
func keepPlan(ctx context.Context, s *postgres.Store, p tags.Program, g tags.Game) error {
	there, err := s.PlanHeads().List(ctx, p.ID, postgres.Page{Limit: 1,
		Filters: map[string]string{"game_id": g.ID.String()}})
	if err != nil || len(there) > 0 {
		return err
	}
	content, err := ask.Snapshot(ctx, s, p, g.OpponentID)
	if err != nil {
		return err
	}
	if err := content.Choose(choices); err != nil {
		return err
	}
	now := time.Now()
	x := tags.Plan{PlanHead: tags.PlanHead{OpponentID: g.OpponentID, GameID: &g.ID, Label: "plan for week 6",
		LockedAt: &now}}
	if x.Content, err = json.Marshal(content); err != nil {
		return err
	}
	_, err = s.Plans().Create(ctx, p.ID, x)
	return err
}

// ourPlays are the plays of our game.
func ourPlays() []tags.Play {
	rng := rand.New(rand.NewPCG(2031, 6))
	plays := opponents[len(opponents)-1].game(rng)
	callIt(plays, rng)
	return plays
}

// callIt puts our invented calls on the plays of our own game, with habits a
// self-scout can find: one call against two backs, another and a blitz on third and
// long. On some snaps nobody tagged the call, on some only the family of coverages.
func callIt(plays []tags.Play, rng *rand.Rand) {
	for i := range plays {
		p := &plays[i]
		c := ourCall(p, rng)
		p.Coverage, p.Shell, p.CoverageOf = &c, ptr("one_high"), ptr("zone")
		p.Rushers, p.Blitzers = ptr(4), ptr(0)
		switch c {
		case "quarters match", "palms", "cover 6", "cover 2 spot", "cover 4":
			p.Shell = ptr("two_high")
		case "cover 1":
			p.CoverageOf = ptr("man")
		case "fire zone":
			p.Rushers, p.Blitzers = ptr(5), ptr(1)
		}
		if rng.Float64() < .05 {
			p.Coverage, p.Shell, p.CoverageOf, p.Rushers, p.Blitzers = nil, nil, nil, nil, nil
		}
	}
}

// ourCall is what we call against a play.
func ourCall(p *tags.Play, rng *rand.Rand) string {
	switch {
	case *p.Personnel == "21":
		return pick(rng, "cover 3 match", "cover 3 match", "cover 3 match", "quarters match")
	case *p.Down >= 3 && *p.DistanceYd >= 7:
		return pick(rng, "fire zone", "fire zone", "cover 1", "cover 2 spot")
	case *p.Down >= 3:
		return pick(rng, "cover 1", "cover 1", "palms", "fire zone")
	case *p.YardsToGoal <= 20:
		return pick(rng, "quarters match", "cover 1", "cover 6")
	}
	return pick(rng, "quarters match", "quarters match", "quarters match", "cover 3 match", "cover 3 match", "palms",
		"cover 6", "cover 4")
}
