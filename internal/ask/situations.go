package ask

import (
	"context"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// Thin is the number of plays in a concept picture below which a situation borrows
// the board of all plays.
const Thin = tendency.Thin

// goalSide is how near the goal line a field zone ends that gets a box of its own:
// the red zone begins at the 20. Common practice, no source.
const goalSide = 20

// A SituationBoard is one of the situations the program's bands define, with its board.
type SituationBoard struct {
	Name  string            // as it is printed
	Where map[string]string // dimensions with a value each: which plays are of it
	Plays int               // counted plays of the opponent in it
	Board plan.Board
	// Whole says that the board is that of all plays: too few were in the situation.
	Whole bool
}

// SituationsAnswer is every situation the opponent was in, with the calls their boards
// were played with.
type SituationsAnswer struct {
	Calls      []plan.Named
	Situations []SituationBoard
	Plays      int // counted plays of the scope
}

// Situations are the downs by the program's distance bands, the red zone by tens, the goal
// line, the last two minutes of a half, and their usual personnel. Where the opponent has not
// been there is none; where they were seldom, the board is that of all their plays.
func Situations(ctx context.Context, from Reads, in Scope) (out SituationsAnswer, err error) {
	from = Recent(from) // every situation asks for the results of all opponents
	if out.Calls, err = in.activeCalls(ctx, from); err != nil {
		return out, err
	}
	if out.Plays, err = from.CountPlays(ctx, in.Program, in.Opponent.ID, in.Filters); err != nil {
		return out, err
	}
	groups, err := groupings(ctx, from, in)
	if err != nil {
		return out, err
	}
	for _, x := range append(bands(in.Program.Settings), groups...) {
		f, ok := in.narrowed(x.filters)
		if !ok {
			continue
		}
		b, whole, err := boardIn(ctx, from, in, out.Calls, f)
		if err != nil {
			return out, err
		}
		if b.Plays > 0 {
			out.Situations = append(out.Situations, SituationBoard{Name: x.name, Where: x.filters, Plays: b.Plays, Board: b,
				Whole: whole})
		}
	}
	return out, nil
}

// mostGroups is how many groups of personnel get a situation of their own.
const mostGroups = 4

// groupings are their groups of personnel, the most frequent first: those with enough plays.
func groupings(ctx context.Context, from Reads, in Scope) (out []band, err error) {
	f := in.Theirs()
	counts, err := from.Counts(ctx, in.Program, []string{"personnel"}, f)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(counts, func(a, b tags.Count) int { return b.Plays - a.Plays })
	for _, c := range counts {
		if c.Keys[0] != nil && c.Plays >= Thin && len(out) < mostGroups {
			out = append(out, band{*c.Keys[0] + " personnel", map[string]string{"personnel": *c.Keys[0]}})
		}
	}
	return out, nil
}

// boardIn is the board of a situation, of all the opponent's plays (whole) as if they were run
// in it where too few of its own have routes; its plays are those of the situation either way.
func boardIn(ctx context.Context, from Reads, in Scope, calls []plan.Named,
	f map[string][]string) (b plan.Board, whole bool, err error) {
	level, err := field.ParseLevel(in.Program.Level)
	if err != nil {
		return b, false, err
	}
	plays, err := from.CountPlays(ctx, in.Program, in.Opponent.ID, f)
	if err != nil {
		return b, false, err
	}
	need := situationOf(f, in.Program.Settings)
	for _, filters := range []map[string][]string{f, in.Filters} {
		concepts, err := in.concepts(ctx, from, filters)
		if err != nil {
			return b, false, err
		}
		if whole {
			concepts = moved(concepts, f, &need)
		}
		if b, err = plan.Build(ctx, calls, concepts, plays, level, need); err != nil {
			return b, false, err
		}
		if b.Covered >= Thin {
			return b, whole, nil
		}
		whole = true
	}
	return b, true, nil
}

// moved brings all that an opponent runs to the down and distance, or the stretch before the goal
// line, of a situation that names one.
func moved(cs []plan.Concept, f map[string][]string, need *plan.Terms) []plan.Concept {
	if len(f["near_goal"]) == 1 {
		return need.Moved(cs, tags.NearGoalMiddle[f["near_goal"][0]])
	}
	if len(f["down"]) == 1 && len(f["distance_band"]) == 1 {
		return need.Moved(cs, 0)
	}
	return cs
}

// A Stretch is a period of a practice with what fills it.
type Stretch struct {
	Period plan.Period
	Board  plan.Board
	Usages []plan.Usage // of the period
	Plays  int
	Whole  bool // the board is that of all plays: too few were the period's
}

// A PracticeAnswer is the periods of a practice.
type PracticeAnswer struct {
	Level     field.Level
	Plays     int // counted plays of the scope
	Stretches []Stretch
}

// Practice fills the usual periods, scaled to so many minutes; 0 is the usual day. Of a
// plan only its calls are practiced.
func Practice(ctx context.Context, from Reads, in Scope, of *PlannedAnswer,
	minutes float64) (out PracticeAnswer, err error) {
	set, err := in.Setting(ctx, from)
	if err != nil {
		return out, err
	}
	set.Calls = of.among(set.Calls, "")
	out.Level = set.Level
	if out.Plays, err = from.CountPlays(ctx, in.Program, in.Opponent.ID, in.Filters); err != nil {
		return out, err
	}
	us, err := Usages(ctx, from, in)
	if err != nil {
		return out, err
	}
	near := nearGoal(in.Program.Settings)
	for _, p := range plan.Scaled(plan.UsualPeriods, minutes) {
		b, whole, err := boardIn(ctx, from, in, set.Calls, in.period(&p, near))
		if err != nil {
			return out, err
		}
		mine := p.In(us, near)
		if whole {
			mine = us
		}
		out.Stretches = append(out.Stretches, Stretch{Period: p, Board: b, Usages: mine, Plays: b.Plays, Whole: whole})
	}
	return out, nil
}

// period narrows the scope's filters to the plays of a period; an order for one down
// keeps it.
func (s *Scope) period(p *plan.Period, near []string) map[string][]string {
	f := s.with()
	if len(p.Downs) > 0 && len(f["down"]) == 0 {
		f["down"] = p.Downs
	}
	if p.Near && len(f["field_zone"]) == 0 {
		f["field_zone"] = near
	}
	return f
}

// nearGoal names the field zones near the goal line.
func nearGoal(set tags.Settings) []string {
	out := []string{}
	for _, z := range set.FieldZones {
		if z.To <= goalSide {
			out = append(out, z.Name)
		}
	}
	return out
}

// A band is a situation by name with the plays it asks for.
type band struct {
	name    string
	filters map[string]string
}

// bands are the four downs by distance, the stretches before the goal line, and the last
// two minutes of a half.
func bands(set tags.Settings) []band {
	var out []band
	for _, d := range [][2]string{{"1", "1st"}, {"2", "2nd"}, {"3", "3rd"}, {"4", "4th"}} {
		for _, b := range set.DistanceBands {
			out = append(out, band{d[1] + " and " + b.Name, map[string]string{"down": d[0], "distance_band": b.Name}})
		}
	}
	for _, n := range tags.NearGoal {
		out = append(out, band{n, map[string]string{"near_goal": n}})
	}
	return append(out, band{"two-minute", map[string]string{"two_minute": "yes"}})
}

// narrowed puts more filters to those of the scope; false when both cannot hold.
func (s *Scope) narrowed(more map[string]string) (map[string][]string, bool) {
	out := s.with()
	for name, v := range more {
		if old := out[name]; len(old) > 0 && !slices.Contains(old, v) {
			return nil, false
		}
		out[name] = []string{v}
	}
	return out, true
}
