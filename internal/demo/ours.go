package demo

import (
	"math/rand/v2"

	"overhang/internal/tags"
)

// callIt puts our invented calls on the plays of a game of ours, with habits a
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
	return pick(rng, "quarters match", "quarters match", "quarters match", "cover 3 match", "cover 3 match", "palms", "cover 6", "cover 4")
}
