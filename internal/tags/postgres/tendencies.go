package postgres

import (
	"context"
	"fmt"
	"sort"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// dimension returns the SQL of a dimension over plays p joined with games g and
// opponents o. Bands and zones are the program's; the CASE is built from checked
// names and whole numbers, and names go in quoted.
func dimension(name string, set *tags.Settings) string {
	switch name {
	case "opponent":
		return "o.code"
	case "game":
		return "g.label"
	case "week":
		return "g.week::text"
	case "distance":
		return "p.distance_yd::text"
	case "quarter", "down":
		return "p." + name + "::text"
	case "distance_band":
		return bands("p.distance_yd", set.DistanceBands)
	case "field_zone":
		return bands("p.yards_to_goal", set.FieldZones)
	}
	return "p." + name
}

func bands(col string, bs []tags.Band) string {
	var b strings.Builder
	b.WriteString("CASE")
	for _, x := range bs {
		fmt.Fprintf(&b, " WHEN %s BETWEEN %d AND %d THEN '%s'", col, x.From, x.To, strings.ReplaceAll(x.Name, "'", "''"))
	}
	return b.String() + " END"
}

// where turns filters into SQL; the value "" asks for the unknown.
func where(filters map[string][]string, set *tags.Settings, args []any) (string, []any) {
	names := make([]string, 0, len(filters))
	for d := range filters {
		names = append(names, d)
	}
	sort.Strings(names)
	var out strings.Builder
	for _, d := range names {
		expr := dimension(d, set)
		args = append(args, filters[d])
		fmt.Fprintf(&out, " AND coalesce(%s, '') = ANY($%d)", expr, len(args))
	}
	return out.String(), args
}

// Tendencies counts the counted plays by the dimensions asked for, most
// frequent cell first and by keys among equals. SQL counts; package tendency
// scores. plays_opponent_down serves a question about one opponent.
func (s *Store) Tendencies(ctx context.Context, p tags.Program, q tags.TendencyQuery) (_ tags.Tendency, err error) {
	defer wrap(&err, "Tendencies(%v)", q)
	if err := q.Validate(); err != nil {
		return tags.Tendency{}, err
	}
	var keys, group []string
	for i, d := range q.By {
		keys = append(keys, dimension(d, &p.Settings))
		group = append(group, fmt.Sprint(i+1))
	}
	cond, args := where(q.Filters, &p.Settings, []any{p.ID})
	ok := p.Settings.SuccessPercent
	// Whole numbers only: 100 x gain against percent x distance.
	success := fmt.Sprintf(`(p.touchdown OR 100 * p.gain_yd >= p.distance_yd * CASE p.down WHEN 1 THEN %d WHEN 2 THEN %d ELSE %d END)`, ok[0], ok[1], ok[2])
	rows, err := s.db.Query(ctx, fmt.Sprintf(`
		SELECT %s,
			count(*),
			count(*) FILTER (WHERE p.called = 'run'),
			count(*) FILTER (WHERE p.called = 'pass'),
			coalesce(sum(p.gain_yd), 0),
			count(p.gain_yd),
			count(*) FILTER (WHERE %s),
			count(*) FILTER (WHERE p.down IS NOT NULL AND p.distance_yd IS NOT NULL AND (p.gain_yd IS NOT NULL OR p.touchdown)),
			count(*) FILTER (WHERE p.gain_yd >= p.distance_yd),
			count(*) FILTER (WHERE p.touchdown),
			count(*) FILTER (WHERE p.called = 'run' AND p.gain_yd >= %d OR p.called = 'pass' AND p.gain_yd >= %d)
		FROM plays p
		JOIN games g ON g.program_id = p.program_id AND g.id = p.game_id
		JOIN opponents o ON o.program_id = p.program_id AND o.id = p.opponent_id
		WHERE p.program_id = $1 AND p.status = 'counted'%s
		GROUP BY %s
		ORDER BY count(*) DESC, %s`,
		strings.Join(keys, ", "), success, p.Settings.ExplosiveRunYd, p.Settings.ExplosivePassYd, cond, strings.Join(group, ", "), strings.Join(group, ", ")), args...)
	if err != nil {
		return tags.Tendency{}, err
	}
	t := tags.Tendency{Skip: map[string]int{}}
	t.Cells, err = pgx.CollectRows(rows, func(r pgx.CollectableRow) (tags.Cell, error) {
		c := tags.Cell{Keys: make([]*string, len(q.By))}
		dest := make([]any, 0, len(q.By)+10)
		for i := range c.Keys {
			dest = append(dest, &c.Keys[i])
		}
		dest = append(dest, &c.Plays, &c.Runs, &c.Passes, &c.GainSum, &c.GainKnown, &c.Successes, &c.SuccessKnown, &c.FirstDowns, &c.Touchdowns, &c.Explosives)
		return c, r.Scan(dest...)
	})
	if err != nil {
		return t, err
	}
	for i := range t.Cells {
		c := &t.Cells[i]
		t.Total += c.Plays
		t.Skip["gain unknown"] += c.Plays - c.GainKnown
		t.Skip["success cannot be judged"] += c.Plays - c.SuccessKnown
		for k, d := range q.By {
			if c.Keys[k] == nil {
				t.Skip[d+" unknown"] += c.Plays
			}
		}
	}
	return t, nil
}

// ConceptRows counts, for every set, concept and family of an opponent under
// filters, what each eligible did: the route, how often, and the quartiles of
// its break depth. Plays without a concept, a set or routes are left out.
func (s *Store) ConceptRows(ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string) (_ []tags.ConceptRow, err error) {
	defer wrap(&err, "ConceptRows")
	cond, args := where(filters, &p.Settings, []any{p.ID, opponent})
	rows, err := s.db.Query(ctx, `
		WITH chosen AS (
			SELECT p.id, p.set_name, p.concept, coalesce(p.family, 'dropback') AS family, coalesce(p.play_side, 'right') AS play_side, p.routes,
				count(*) OVER (PARTITION BY p.set_name, p.concept, coalesce(p.family, 'dropback')) AS plays
			FROM plays p
			JOIN games g ON g.program_id = p.program_id AND g.id = p.game_id
			JOIN opponents o ON o.program_id = p.program_id AND o.id = p.opponent_id
			WHERE p.program_id = $1 AND p.opponent_id = $2 AND p.status = 'counted'
				AND p.set_name IS NOT NULL AND p.concept IS NOT NULL AND cardinality(p.routes) > 0`+cond+`
		)
		SELECT c.set_name, c.concept, c.family, c.plays,
			CASE WHEN r.side = c.play_side THEN 'play' ELSE 'back' END AS side,
			r.number::int AS number, r.eligible = 'back' AS back, r.route, count(*) AS n, count(r.break_depth_yd) AS known,
			percentile_cont(0.5) WITHIN GROUP (ORDER BY r.break_depth_yd::float8) AS median,
			percentile_cont(0.25) WITHIN GROUP (ORDER BY r.break_depth_yd::float8) AS lower,
			percentile_cont(0.75) WITHIN GROUP (ORDER BY r.break_depth_yd::float8) AS upper
		FROM chosen c, unnest(c.routes) r
		GROUP BY c.set_name, c.concept, c.family, c.plays, 5, 6, 7, r.route
		ORDER BY c.plays DESC, c.set_name, c.concept, c.family, 5 DESC, 6, 7, n DESC, r.route`, args...)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowToStructByName[tags.ConceptRow])
}

// CountPlays returns how many counted plays an opponent has under filters.
func (s *Store) CountPlays(ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string) (n int, err error) {
	defer wrap(&err, "CountPlays")
	cond, args := where(filters, &p.Settings, []any{p.ID, opponent})
	err = s.db.QueryRow(ctx, `
		SELECT count(*)
		FROM plays p
		JOIN games g ON g.program_id = p.program_id AND g.id = p.game_id
		JOIN opponents o ON o.program_id = p.program_id AND o.id = p.opponent_id
		WHERE p.program_id = $1 AND p.opponent_id = $2 AND p.status = 'counted'`+cond, args...).Scan(&n)
	return n, err
}
