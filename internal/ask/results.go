package ask

import (
	"context"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// metBy is what the results of opponents are counted by.
var metBy = []string{"opponent", "concept", "down", "distance_band", "success"}

// results puts to each concept what the opponent's own results add to its chance: his level
// beside all opponents of the program, what he does with the concept, and in the situation of
// the filters.
func (s *Scope) results(
	ctx context.Context, from Reads, concepts []plan.Concept, filters map[string][]string,
) error {
	if len(concepts) == 0 {
		return nil
	}
	counts, err := from.Counts(ctx, s.Program, metBy, nil)
	if err != nil {
		return err
	}
	prior := tendency.Amateur
	if level, err := field.ParseLevel(s.Program.Level); err == nil && level == field.Pro {
		prior = tendency.Professional
	}
	pool := tendency.NewPool(met(counts), prior)
	in := 0.0
	only := map[string][]string{}
	for d, vs := range filters {
		if !slices.Contains(cellDimensions, d) { // what they run is no situation
			only[d] = vs
		}
	}
	if len(only) > 0 {
		only["opponent"] = []string{s.Opponent.Code}
		if counts, err = from.Counts(ctx, s.Program, metBy, only); err != nil {
			return err
		}
		in = pool.In(met(counts))
	}
	for i := range concepts {
		c := &concepts[i]
		c.Results = &plan.Results{Plays: pool.Known(s.Opponent.Code), Everybody: pool.Plays,
			Worth: pool.Prior.Overall, Learned: pool.Learned,
			Level: pool.Level(s.Opponent.Code), With: pool.With(s.Opponent.Code, c.Concept), In: in}
	}
	return nil
}

// met are counts by metBy: plays whose success is not known say nothing.
func met(counts []tags.Count) (out []tendency.Met) {
	word := func(v *string) string {
		if v == nil {
			return ""
		}
		return *v
	}
	for _, c := range counts {
		if c.Keys[4] == nil {
			continue
		}
		m := tendency.Met{Who: word(c.Keys[0]), What: word(c.Keys[1]), Down: word(c.Keys[2]) + " " + word(c.Keys[3]),
			Known: c.Plays}
		if *c.Keys[4] == "yes" {
			m.Won = c.Plays
		}
		out = append(out, m)
	}
	return out
}
