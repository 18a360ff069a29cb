package httpapi

import (
	"context"
	"maps"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/reports/handout"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
	"overhang/internal/tags/postgres"
)

// goalSide is how near the goal line a field zone ends that gets a box of its own:
// the red zone begins at the 20. Common practice, no source.
const goalSide = 20

// situations are those a program's bands define: the first three downs by distance
// band, fourth down, the field zones near the goal line. Where the opponent has not
// been there is none; where he was seldom, the board is that of all his plays.
func situations(ctx context.Context, store *postgres.Store, o *sheetOrder, calls []plan.Named) ([]handout.Situation, error) {
	level, err := field.ParseLevel(o.Program.Level)
	if err != nil {
		return nil, err
	}
	all, err := store.ConceptRows(ctx, o.Program, o.Opponent.ID, o.Filters)
	if err != nil {
		return nil, err
	}
	whole := plan.Concepts(all)
	var out []handout.Situation
	for _, x := range bands(o.Program.Settings) {
		f, ok := narrowed(o.Filters, x.filters)
		if !ok {
			continue
		}
		plays, err := store.CountPlays(ctx, o.Program, o.Opponent.ID, f)
		if err != nil {
			return nil, err
		}
		if plays == 0 {
			continue
		}
		rows, err := store.ConceptRows(ctx, o.Program, o.Opponent.ID, f)
		if err != nil {
			return nil, err
		}
		need := situationOf(f, o.Program.Settings)
		b := plan.Build(calls, plan.Concepts(rows), plays, level, need)
		thin := b.Covered < handout.Thin
		if thin {
			b = plan.Build(calls, whole, plays, level, need)
		}
		out = append(out, handout.Situation{Name: x.name, Plays: plays, Board: b, Whole: thin})
	}
	return out, nil
}

// A band is a situation by name with the plays it asks for.
type band struct {
	name    string
	filters map[string]string
}

func bands(set tags.Settings) []band {
	var out []band
	for _, d := range [][2]string{{"1", "1st"}, {"2", "2nd"}, {"3", "3rd"}} {
		for _, b := range set.DistanceBands {
			out = append(out, band{d[1] + " and " + b.Name, map[string]string{"down": d[0], "distance_band": b.Name}})
		}
	}
	out = append(out, band{"4th down", map[string]string{"down": "4"}})
	for _, z := range set.FieldZones {
		if z.To <= goalSide {
			out = append(out, band{z.Name, map[string]string{"field_zone": z.Name}})
		}
	}
	return out
}

// narrowed puts more filters to those of an order; false when both cannot hold.
func narrowed(f map[string][]string, more map[string]string) (map[string][]string, bool) {
	out := maps.Clone(f)
	if out == nil {
		out = map[string][]string{}
	}
	for name, v := range more {
		if old := out[name]; len(old) > 0 && !slices.Contains(old, v) {
			return nil, false
		}
		out[name] = []string{v}
	}
	return out, true
}
