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
	var out []handout.Situation
	for _, x := range bands(o.Program.Settings) {
		f, ok := narrowed(o.Filters, x.filters)
		if !ok {
			continue
		}
		b, whole, err := boardIn(ctx, store, o, calls, f)
		if err != nil {
			return nil, err
		}
		if b.Plays > 0 {
			out = append(out, handout.Situation{Name: x.name, Where: x.filters, Plays: b.Plays, Board: b, Whole: whole})
		}
	}
	return out, nil
}

// boardIn is the board of a situation, of all the opponent's plays (whole) where too
// few of its own have routes; its plays are those of the situation either way.
func boardIn(ctx context.Context, store *postgres.Store, o *sheetOrder, calls []plan.Named, f map[string][]string) (b plan.Board, whole bool, err error) {
	level, err := field.ParseLevel(o.Program.Level)
	if err != nil {
		return b, false, err
	}
	plays, err := store.CountPlays(ctx, o.Program, o.Opponent.ID, f)
	if err != nil {
		return b, false, err
	}
	need := situationOf(f, o.Program.Settings)
	for _, filters := range []map[string][]string{f, o.Filters} {
		rows, err := store.ConceptRows(ctx, o.Program, o.Opponent.ID, filters)
		if err != nil {
			return b, false, err
		}
		b = plan.Build(calls, plan.Concepts(rows), plays, level, need)
		if b.Covered >= handout.Thin {
			return b, whole, nil
		}
		whole = true
	}
	return b, true, nil
}

// stretches are the periods of a practice, scaled to the minutes ordered.
func stretches(ctx context.Context, store *postgres.Store, o *sheetOrder, calls []plan.Named) ([]handout.Stretch, error) {
	us, err := usages(ctx, store, o)
	if err != nil {
		return nil, err
	}
	near := []string{}
	for _, z := range o.Program.Settings.FieldZones {
		if z.To <= goalSide {
			near = append(near, z.Name)
		}
	}
	var out []handout.Stretch
	for _, p := range plan.Scaled(plan.UsualPeriods, o.Minutes) {
		more := map[string][]string{}
		if len(p.Downs) > 0 {
			more["down"] = p.Downs
		}
		if p.Near {
			more["field_zone"] = near
		}
		f := maps.Clone(o.Filters)
		if f == nil {
			f = map[string][]string{}
		}
		for name, vs := range more {
			if len(f[name]) == 0 { // an order for one down keeps it
				f[name] = vs
			}
		}
		b, whole, err := boardIn(ctx, store, o, calls, f)
		if err != nil {
			return nil, err
		}
		mine := p.In(us, near)
		if whole {
			mine = us
		}
		out = append(out, handout.Stretch{Period: p, Board: b, Usages: mine, Plays: b.Plays, Whole: whole})
	}
	return out, nil
}

// usages counts where the opponent runs what.
func usages(ctx context.Context, store *postgres.Store, o *sheetOrder) ([]plan.Usage, error) {
	f := maps.Clone(o.Filters)
	if f == nil {
		f = map[string][]string{}
	}
	f["opponent"] = []string{o.Opponent.Code}
	t, err := store.Tendencies(ctx, o.Program, tags.TendencyQuery{By: plan.UsageBy, Filters: f})
	if err != nil {
		return nil, err
	}
	return plan.Usages(t), nil
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
