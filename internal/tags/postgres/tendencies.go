package postgres

import (
	"context"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
	"overhang/internal/tags/tally"
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
	return s.tendency(ctx, &p, q.By, only)
}

// tendency counts kept plays, or the plays themselves where none are kept.
func (s *Store) tendency(ctx context.Context, p *tags.Program, by []string,
	only map[string][]string) (tags.Tendency, error) {
	if im := s.image(ctx, p); im != nil {
		return tendencyOf(im, by, only), nil
	}
	t, err := countTendency(ctx, s.db, p, by, only)
	if err == nil {
		s.wantImage(ctx, p, t.Total)
	}
	return t, err
}

// tendencyOf counts kept plays.
func tendencyOf(im *tally.Image, by []string, only map[string][]string) tags.Tendency {
	cells := im.Count(by, only)
	t := tags.Tendency{Cells: make([]tags.Cell, len(cells)), Skip: map[string]int{}}
	for i := range cells {
		c := &cells[i]
		t.Total += c.Plays
		leaveOut(t.Skip, by, &c.Cell, c.Unsituated)
		t.Cells[i] = c.Cell
	}
	return t
}

// countTendency counts the plays themselves.
func countTendency(ctx context.Context, db conn, p *tags.Program, by []string,
	only map[string][]string) (tags.Tendency, error) {
	keys, group := grouped(by, &p.Settings)
	cond, args := where(only, &p.Settings, []any{p.ID})
	rows, err := db.Query(ctx, `
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
			count(p.throw_s),
			count(*) FILTER (WHERE p.down IS NULL OR p.distance_yd IS NULL)
		`+source(asked(by, only)...)+cond+`
		GROUP BY `+group+`
		ORDER BY count(*) DESC, `+group, args...)
	if err != nil {
		return tags.Tendency{}, err
	}
	t := tags.Tendency{Skip: map[string]int{}}
	t.Cells, err = pgx.CollectRows(rows, func(r pgx.CollectableRow) (tags.Cell, error) {
		c := tags.Cell{Keys: make([]*string, len(by))}
		dest := make([]any, 0, len(by)+20)
		for i := range c.Keys {
			dest = append(dest, &c.Keys[i])
		}
		unsituated := 0
		dest = append(dest, &c.Plays, &c.Runs, &c.Passes, &c.GainSum, &c.GainKnown, &c.MedianGain, &c.Successes,
			&c.SuccessKnown, &c.FirstDowns, &c.Touchdowns,
			&c.Explosives, &c.ExplosiveKnown, &c.Throws, &c.Completions, &c.Interceptions, &c.Sacks, &c.Scrambles, &c.DepthSum,
			&c.DepthKnown, &c.TimeSum, &c.TimeKnown, &unsituated)
		err := r.Scan(dest...)
		t.Total += c.Plays
		leaveOut(t.Skip, by, &c, unsituated)
		return c, err
	})
	return t, err
}

// leaveOut counts the plays of a cell that a measure has to do without, each play
// under one reason of each measure.
func leaveOut(skip map[string]int, by []string, c *tags.Cell, unsituated int) {
	var unknown []string
	for k, d := range by {
		if c.Keys[k] == nil {
			unknown = append(unknown, d)
		}
	}
	if len(unknown) > 0 {
		skip["cells: "+strings.Join(unknown, " and ")+" unknown"] += c.Plays
	}
	skip["mean gain: gain unknown"] += c.Plays - c.GainKnown
	skip["run share: call unknown"] += c.Plays - c.Runs - c.Passes
	skip["explosive rate: call or gain unknown"] += c.Plays - c.ExplosiveKnown
	skip["success rate: down or distance unknown"] += unsituated
	skip["success rate: gain unknown"] += c.Plays - c.SuccessKnown - unsituated
}

// ConceptRows counts, for every set, concept and family of an opponent under
// filters, what each eligible did: the route, how often, and the quartiles of
// its break depth; with the downs it was run on. A run without routes is a row without
// one, of the family run: its concept says how it is blocked. Where no set is tagged it is
// "(unknown)". Plays without a concept and passes without a family, a play side or routes are
// left out: which side of the picture is which is not guessed, but for assumed routes, which
// were laid to the side that [tags.AssumedSide] names.
func (s *Store) ConceptRows(ctx context.Context, p tags.Program, opponent uuid.UUID,
	filters map[string][]string) (_ []tags.ConceptRow, err error) {
	defer wrap(&err, "ConceptRows")
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return nil, err
	}
	cond, args := where(only, &p.Settings, []any{p.ID, opponent})
	return list[tags.ConceptRow](ctx, s.db, `
		WITH told AS (
			SELECT p.id, coalesce(p.set_name, '(unknown)') AS set_name, p.concept, p.routes, p.routes_assumed,
				CASE WHEN cardinality(p.routes) = 0 THEN 'run' WHEN p.routes_assumed THEN coalesce(p.family, 'dropback')
					ELSE p.family END AS family,
				coalesce(p.play_side, CASE WHEN p.routes_assumed
					THEN coalesce(nullif(p.strength, 'balanced'), 'right') END) AS play_side,
				coalesce(p.down, 0) AS down, coalesce(p.distance_yd, 0) AS distance_yd,
				coalesce(p.yards_to_goal, 0) AS yards_to_goal
			`+source(asked(nil, only)...)+cond+`
				AND p.opponent_id = $2 AND p.concept IS NOT NULL
				AND (cardinality(p.routes) = 0 AND p.called = 'run' OR cardinality(p.routes) > 0
					AND (p.family IS NOT NULL AND p.play_side IS NOT NULL OR p.routes_assumed))
		), chosen AS (
			SELECT *, count(*) OVER (PARTITION BY set_name, concept, family) AS plays,
				count(*) FILTER (WHERE routes_assumed) OVER (PARTITION BY set_name, concept, family) AS assumed
			FROM told
		), faced AS (
			SELECT set_name, concept, family, jsonb_agg(jsonb_build_object('down', down, 'distance_yd', distance_yd,
				'yards_to_goal', yards_to_goal, 'plays', n) ORDER BY n DESC, down, distance_yd, yards_to_goal) AS faced
			FROM (
				SELECT set_name, concept, family, down, distance_yd, yards_to_goal, count(*) AS n
				FROM chosen GROUP BY 1, 2, 3, 4, 5, 6
			) d
			GROUP BY 1, 2, 3
		)
		SELECT c.set_name, c.concept, c.family, c.plays, c.assumed::int AS assumed,
			CASE WHEN r.side IS NULL OR r.side = c.play_side THEN 'play' ELSE 'back' END AS side,
			coalesce(r.number, 0)::int AS number, coalesce(r.eligible = 'back', true) AS back, coalesce(r.route, '') AS route,
			count(*) AS n, count(r.break_depth_yd) AS known,
			percentile_cont(0.5) WITHIN GROUP (ORDER BY r.break_depth_yd::float8) AS median,
			percentile_cont(0.25) WITHIN GROUP (ORDER BY r.break_depth_yd::float8) AS lower,
			percentile_cont(0.75) WITHIN GROUP (ORDER BY r.break_depth_yd::float8) AS upper, f.faced
		FROM chosen c JOIN faced f USING (set_name, concept, family)
			LEFT JOIN LATERAL unnest(c.routes) r ON true
		GROUP BY c.set_name, c.concept, c.family, c.plays, c.assumed, 6, 7, 8, 9, f.faced
		ORDER BY c.plays DESC, c.set_name, c.concept, c.family, 6 DESC, 7, 8, n DESC, 9`, args...)
}

// SetUses counts the concepts an opponent ran from each set, by personnel: what the set
// nobody knows is assumed from. All counted plays, whatever a question filters by, so that a
// word is drawn from one set on every board.
func (s *Store) SetUses(ctx context.Context, program, opponent uuid.UUID) (_ []tags.SetUse, err error) {
	defer wrap(&err, "SetUses")
	rows, err := s.db.Query(ctx, `
		SELECT coalesce(p.set_name, '(unknown)') AS set_name, p.concept, coalesce(p.personnel, '') AS personnel,
			count(*)::int AS n
		FROM plays p JOIN games g ON g.program_id = p.program_id AND g.id = p.game_id
		WHERE p.program_id = $1 AND p.opponent_id = $2 AND p.status = 'counted' AND p.concept IS NOT NULL AND NOT g.ours
		GROUP BY 1, 2, 3
		ORDER BY 1, 2, 3`, program, opponent)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowToStructByName[tags.SetUse])
}

// CountPlays returns how many counted plays an opponent has under filters.
func (s *Store) CountPlays(ctx context.Context, p tags.Program, opponent uuid.UUID,
	filters map[string][]string) (n int, err error) {
	defer wrap(&err, "CountPlays")
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return 0, err
	}
	cond, args := where(only, &p.Settings, []any{p.ID, opponent})
	err = s.db.QueryRow(ctx, `
		SELECT count(*)
		`+source(asked(nil, only)...)+cond+` AND p.opponent_id = $2`, args...).Scan(&n)
	return n, err
}

// OurPlays returns the counted plays of our games against an opponent under filters,
// in the order they were made. Invalid where there are more than most: they are read whole.
func (s *Store) OurPlays(ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string,
	most int) (_ []tags.Play, err error) {
	defer wrap(&err, "OurPlays")
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return nil, err
	}
	cond, args := where(only, &p.Settings, []any{p.ID, opponent})
	ps, err := list[tags.Play](ctx, s.db, `
		SELECT p.`+strings.ReplaceAll(plays.selected(), ", ", ", p.")+`
		`+source(asked(nil, only)...)+cond+` AND p.opponent_id = $2 AND g.ours
		ORDER BY p.id
		LIMIT `+fmt.Sprint(most+1), args...)
	if err == nil && len(ps) > most {
		err = tags.Fieldf(tags.Invalid, "game", "more than %d plays: name a game, or a season", most)
	}
	return ps, err
}
