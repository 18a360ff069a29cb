package postgres

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"

	"overhang/internal/tags"
)

// grouped returns the SQL of dimensions as columns, and their places for GROUP BY.
func grouped(by []string, set *tags.Settings) (keys, group string) {
	var k, g []string
	for i, d := range by {
		k = append(k, dimension(d, set))
		g = append(g, fmt.Sprint(i+1))
	}
	return strings.Join(k, ", "), strings.Join(g, ", ")
}

// asked lists all dimensions a question touches.
func asked(by []string, filters map[string][]string) []string {
	return append(slices.Clone(by), slices.Sorted(maps.Keys(filters))...)
}

// Counts counts the counted plays by dimensions under filters, in the order of
// the keys. Plays on which one of them is unknown are counted under nil.
func (s *Store) Counts(ctx context.Context, p tags.Program, by []string,
	filters map[string][]string) (_ []tags.Count, err error) {
	defer wrap(&err, "Counts(%v)", by)
	q := tags.TendencyQuery{By: by, Filters: filters}
	if err := q.Validate(); err != nil {
		return nil, err
	}
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return nil, err
	}
	if im := s.image(ctx, &p); im != nil {
		return im.Numbers(by, only), nil
	}
	cs, err := countNumbers(ctx, s.db, &p, by, only)
	if err == nil {
		total := 0
		for i := range cs {
			total += cs[i].Plays
		}
		s.wantImage(ctx, &p, total)
	}
	return cs, err
}

// countNumbers counts the plays themselves.
func countNumbers(ctx context.Context, db conn, p *tags.Program, by []string,
	only map[string][]string) ([]tags.Count, error) {
	keys, group := grouped(by, &p.Settings)
	cond, args := where(only, &p.Settings, []any{p.ID})
	rows, err := db.Query(ctx, `
		SELECT `+keys+`, count(*)
		`+source(asked(by, only)...)+cond+`
		GROUP BY `+group+`
		ORDER BY `+group, args...)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(r pgx.CollectableRow) (tags.Count, error) {
		c := tags.Count{Keys: make([]*string, len(by))}
		dest := make([]any, 0, len(by)+1)
		for i := range c.Keys {
			dest = append(dest, &c.Keys[i])
		}
		return c, r.Scan(append(dest, &c.Plays)...)
	})
}

// WhyNone says why no play meets the filters: how many are left by each alone.
func (s *Store) WhyNone(ctx context.Context, p tags.Program, filters map[string][]string) (_ string, err error) {
	defer wrap(&err, "WhyNone")
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return "", err
	}
	left := func(f map[string][]string) (n int, err error) {
		cond, args := where(f, &p.Settings, []any{p.ID})
		err = s.db.QueryRow(ctx, `SELECT count(*) `+source(asked(nil, f)...)+cond, args...).Scan(&n)
		return n, err
	}
	all, err := left(nil)
	if err != nil {
		return "", err
	}
	if all == 0 {
		return "the program has no counted plays yet: tag some, or bring a spreadsheet in", nil
	}
	together, err := left(only)
	if err != nil {
		return "", err
	}
	if together == 1 {
		return "1 play meets the filters, but not all is tagged on it that this question needs", nil
	}
	if together > 1 {
		return fmt.Sprintf("%d plays meet the filters, but on none of them is all tagged that this question needs", together),
			nil
	}
	var parts []string
	for _, d := range slices.Sorted(maps.Keys(only)) {
		n, err := left(map[string][]string{d: only[d]})
		if err != nil {
			return "", err
		}
		values := strings.ReplaceAll(strings.Join(only[d], ","), ",,", ",(unknown),")
		if values == "" {
			values = "(unknown)"
		}
		parts = append(parts, fmt.Sprintf("%s=%s alone leaves %d", d, values, n))
	}
	return fmt.Sprintf("no play meets all filters together: of %d counted plays, %s", all, strings.Join(parts, ", ")), nil
}

// Depths gathers the break depths of every route by who ran it, for each group
// of the dimensions asked for (none: one group), most frequent first.
func (s *Store) Depths(ctx context.Context, p tags.Program, by []string,
	filters map[string][]string) (_ []tags.DepthGroup, err error) {
	defer wrap(&err, "Depths(%v)", by)
	if len(by) > 0 {
		q := tags.TendencyQuery{By: by, Filters: filters}
		if err := q.Validate(); err != nil {
			return nil, err
		}
	}
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return nil, err
	}
	keys, group := grouped(by, &p.Settings)
	if len(by) > 0 {
		keys, group = keys+", ", group+", "
	}
	n := len(by)
	group += fmt.Sprintf("%d, %d, %d", n+1, n+2, n+3)
	cond, args := where(only, &p.Settings, []any{p.ID})
	rows, err := s.db.Query(ctx, `
		SELECT `+keys+`r.number::int, r.eligible::text, r.route, count(*),
			coalesce(array_agg(r.break_depth_yd::float8 ORDER BY r.break_depth_yd) FILTER (WHERE r.break_depth_yd IS NOT NULL), '{}'),
			count(*) FILTER (WHERE r.targeted)
		`+source(asked(by, only)...)+`
		CROSS JOIN unnest(p.routes) r`+cond+`
		GROUP BY `+group+`
		ORDER BY count(*) DESC, `+group, args...)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(r pgx.CollectableRow) (tags.DepthGroup, error) {
		g := tags.DepthGroup{Keys: make([]*string, n)}
		var dest []any
		for i := range g.Keys {
			dest = append(dest, &g.Keys[i])
		}
		return g, r.Scan(append(dest, &g.Number, &g.Eligible, &g.Route, &g.N, &g.Depths, &g.Targeted)...)
	})
}

// CountedPlays returns the counted plays under filters, game by game in the order of
// their numbers: those that Tendencies and Counts count under the same filters.
func (s *Store) CountedPlays(ctx context.Context, p tags.Program,
	filters map[string][]string) (_ []tags.Play, err error) {
	defer wrap(&err, "CountedPlays")
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return nil, err
	}
	cond, args := where(only, &p.Settings, []any{p.ID})
	return list[tags.Play](ctx, s.db, `
		SELECT p.`+strings.ReplaceAll(plays.selected(), ", ", ", p.")+`
		`+source(asked(nil, only)...)+cond+`
		ORDER BY p.game_id, p.number`, args...)
}

// UnnamedPlays returns an opponent's counted plays with routes and no concept,
// the latest made first, at most limit, and how many there are.
func (s *Store) UnnamedPlays(ctx context.Context, p tags.Program, opponent uuid.UUID, filters map[string][]string,
	limit int) (_ []tags.Play, n int, err error) {
	defer wrap(&err, "UnnamedPlays")
	only, err := s.Resolve(ctx, p, filters)
	if err != nil {
		return nil, 0, err
	}
	cond, args := where(only, &p.Settings, []any{p.ID, opponent})
	from := source(asked(nil, only)...) + cond + `
			AND p.opponent_id = $2 AND p.concept IS NULL AND cardinality(p.routes) > 0`
	if err := s.db.QueryRow(ctx, `SELECT count(*) `+from, args...).Scan(&n); err != nil {
		return nil, 0, err
	}
	ps, err := list[tags.Play](ctx, s.db, `
		SELECT p.`+strings.ReplaceAll(plays.selected(), ", ", ", p.")+`
		`+from+`
		ORDER BY p.id DESC
		LIMIT `+fmt.Sprint(limit), args...)
	return ps, n, err
}
