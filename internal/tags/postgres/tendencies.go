package postgres

import (
	"context"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// Tendencies counts the counted plays by the dimensions asked for, most
// frequent cell first and by keys among equals. SQL counts; package tendency
// scores. plays_opponent_down serves a question about one opponent.
func (s *Store) Tendencies(ctx context.Context, p tags.Program, q tags.TendencyQuery) (_ tags.Tendency, err error) {
	defer wrap(&err, "Tendencies(%v)", q)
	if err := q.Validate(); err != nil {
		return tags.Tendency{}, err
	}
	only, err := s.Resolve(ctx, p, q.Filters)
	if err != nil {
		return tags.Tendency{}, err
	}
	keys, group := grouped(q.By, &p.Settings)
	cond, args := where(only, &p.Settings, []any{p.ID})
	rows, err := s.db.Query(ctx, `
		SELECT `+keys+`,
			count(*),
			count(*) FILTER (WHERE p.called = 'run'),
			count(*) FILTER (WHERE p.called = 'pass'),
			coalesce(sum(p.gain_yd), 0),
			count(p.gain_yd),
			percentile_cont(0.5) WITHIN GROUP (ORDER BY p.gain_yd),
			count(*) FILTER (WHERE `+judged("p")+` AND `+success("p", &p.Settings)+`),
			count(*) FILTER (WHERE `+judged("p")+`),
			count(*) FILTER (WHERE `+firstDown+`),
			count(*) FILTER (WHERE p.touchdown),
			count(*) FILTER (WHERE `+explosive("p", &p.Settings)+`),
			count(*) FILTER (WHERE p.called IS NOT NULL AND p.gain_yd IS NOT NULL),
			count(*) FILTER (WHERE p.result IN ('complete', 'incomplete', 'intercepted')),
			count(*) FILTER (WHERE p.result = 'complete'),
			count(*) FILTER (WHERE p.result = 'intercepted'),
			count(*) FILTER (WHERE p.result = 'sack'),
			count(*) FILTER (WHERE p.result = 'scramble'),
			coalesce(sum(p.throw_depth_yd), 0),
			count(p.throw_depth_yd),
			coalesce(sum(p.throw_s::numeric), 0)::float8,
			count(p.throw_s)
		`+source(asked(q.By, only)...)+cond+`
		GROUP BY `+group+`
		ORDER BY count(*) DESC, `+group, args...)
	if err != nil {
		return tags.Tendency{}, err
	}
	t := tags.Tendency{Skip: map[string]int{}}
	t.Cells, err = pgx.CollectRows(rows, func(r pgx.CollectableRow) (tags.Cell, error) {
		c := tags.Cell{Keys: make([]*string, len(q.By))}
		dest := make([]any, 0, len(q.By)+20)
		for i := range c.Keys {
			dest = append(dest, &c.Keys[i])
		}
		dest = append(dest, &c.Plays, &c.Runs, &c.Passes, &c.GainSum, &c.GainKnown, &c.MedianGain, &c.Successes, &c.SuccessKnown, &c.FirstDowns, &c.Touchdowns,
			&c.Explosives, &c.ExplosiveKnown, &c.Throws, &c.Completions, &c.Interceptions, &c.Sacks, &c.Scrambles, &c.DepthSum, &c.DepthKnown, &c.TimeSum, &c.TimeKnown)
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
		t.Skip["explosive cannot be judged"] += c.Plays - c.ExplosiveKnown
		t.Skip["run or pass unknown"] += c.Plays - c.Runs - c.Passes
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
			`+source(asked(nil, filters)...)+cond+`
				AND p.opponent_id = $2 AND p.set_name IS NOT NULL AND p.concept IS NOT NULL AND cardinality(p.routes) > 0
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
		`+source(asked(nil, filters)...)+cond+` AND p.opponent_id = $2`, args...).Scan(&n)
	return n, err
}
