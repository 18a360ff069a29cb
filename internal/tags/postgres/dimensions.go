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

// yes turns a condition into yes, no, or unknown.
func yes(cond string) string {
	return "CASE WHEN " + cond + " THEN 'yes' WHEN NOT (" + cond + ") THEN 'no' END"
}

// plain are dimensions that a column holds as it is.
var plain = map[string]string{"opponent": "o.code", "season": "s.label", "game": "g.label", "week": "g.week::text",
	"games_ago": "a.ago::text", "quarter": "p.quarter::text", "down": "p.down::text", "rushers": "p.rushers::text",
	"blitzers": "p.blitzers::text", "distance": "p.distance_yd::text", "gain": "p.gain_yd::text",
	"throw_depth": "p.throw_depth_yd::text", "throw_time": "p.throw_s::text",
	"target_number":   "(SELECT r.number::text FROM unnest(p.routes) r WHERE r.targeted)",
	"target_eligible": "(SELECT r.eligible::text FROM unnest(p.routes) r WHERE r.targeted)",
	"target_route":    "coalesce((SELECT r.route FROM unnest(p.routes) r WHERE r.targeted), p.target_route)",
}

// dimension returns the SQL of a dimension over plays p joined as source says.
// Bands and zones are the program's; the CASE is built from checked names and
// whole numbers, and names go in quoted.
func dimension(name string, set *tags.Settings) string {
	if column := plain[name]; column != "" {
		return column
	}
	switch name {
	case "ours":
		return yes("g.ours")
	case "play_fake", "run_option", "pressured", "touchdown":
		return yes("p." + name)
	case "blitz":
		return yes("p.blitzers > 0")
	case "first_down":
		return yes(firstDown)
	case "success":
		return "CASE WHEN " + judged("p") + " THEN " + yes(success("p", set)) + " END"
	case "explosive":
		return yes(explosive("p", set))
	case "previous_called", "previous_family", "previous_concept", "previous_result":
		return previous("v." + strings.TrimPrefix(name, "previous_"))
	case "previous_outcome":
		return previous(choose([]string{"explosive", "success", "no success"}, explosive("v", set), judged("v")+" AND "+
			success("v", set), judged("v")))
	}
	return banded(name, set)
}

// banded is a dimension that puts values together, else the play's column of its name.
func banded(name string, set *tags.Settings) string {
	switch name {
	case "half":
		return "CASE WHEN p.quarter <= 2 THEN 'first' WHEN p.quarter <= 4 THEN 'second' WHEN p.quarter = 5 THEN " +
			"'overtime' END"
	case "score_state":
		return choose(tags.ScoreStates, "p.score_margin <= -9", "p.score_margin < 0", "p.score_margin = 0",
			"p.score_margin <= 8", "p.score_margin >= 9")
	case "target_area": // in toward the middle, else the side where the target lined up
		return "(SELECT CASE WHEN r.break_direction = 'in' OR r.break_direction IS NULL AND r.route IN ('" +
			strings.Join(tags.InsideRoutes, "', '") + "') THEN 'middle' ELSE r.side::text END FROM unnest(p.routes) r " +
			"WHERE r.targeted)"
	case "two_minute": // the last two minutes of a half
		return yes("(p.quarter IN (2, 4) AND p.clock_s <= 120)")
	case "near_goal":
		return choose(tags.NearGoal, "p.yards_to_goal BETWEEN 11 AND 20", "p.yards_to_goal BETWEEN 4 AND 10",
			"p.yards_to_goal <= 3")
	case "throw_depth_band":
		return choose(tags.ThrowDepthBands, "p.throw_depth_yd < 0", "p.throw_depth_yd < 10", "p.throw_depth_yd < 20",
			"p.throw_depth_yd >= 20")
	case "distance_band":
		return bands("p.distance_yd", set.DistanceBands)
	case "field_zone":
		return bands("p.yards_to_goal", set.FieldZones)
	case "play_to":
		return wideSide("p.play_side")
	case "strength_to":
		return wideSide("p.strength")
	case "play_strength":
		return "CASE WHEN p.play_side IS NULL THEN NULL WHEN p.strength = 'balanced' THEN 'balanced' WHEN p.strength = " +
			"p.play_side THEN 'to' WHEN p.strength <> p.play_side THEN 'away' END"
	}
	return "p." + name
}

const firstDown = "p.gain_yd >= p.distance_yd"

// judged says whether a play has what it takes to be called a success or not.
func judged(play string) string {
	return strings.ReplaceAll("(p.down IS NOT NULL AND p.distance_yd IS NOT NULL AND (p.gain_yd IS NOT NULL OR "+
		"p.touchdown))", "p.", play+".")
}

// success compares whole numbers only: 100 x gain against percent x distance.
func success(play string, set *tags.Settings) string {
	ok := set.SuccessPercent
	return strings.ReplaceAll(fmt.Sprintf("(p.touchdown OR 100 * p.gain_yd >= p.distance_yd * CASE p.down WHEN 1 THEN "+
		"%d WHEN 2 THEN %d ELSE %d END)", ok[0], ok[1], ok[2]), "p.", play+".")
}

func explosive(play string, set *tags.Settings) string {
	return strings.ReplaceAll(fmt.Sprintf("(p.gain_yd >= CASE p.called WHEN 'run' THEN %d WHEN 'pass' THEN %d END)",
		set.ExplosiveRunYd, set.ExplosivePassYd), "p.", play+".")
}

// choose names the first condition that holds.
func choose(names []string, conds ...string) string {
	var b strings.Builder
	b.WriteString("CASE")
	for i, c := range conds {
		fmt.Fprintf(&b, " WHEN %s THEN '%s'", c, names[i])
	}
	return b.String() + " END"
}

// wideSide says whether a side is the wide one (the field) or the boundary.
func wideSide(side string) string {
	return strings.ReplaceAll("CASE WHEN @ IS NULL THEN NULL WHEN @ = 'balanced' THEN 'balanced' WHEN p.hash = "+
		"'middle' THEN 'middle' WHEN p.hash = @ THEN 'boundary' WHEN p.hash <> @ THEN 'field' END", "@", side)
}

// previous takes a value of the play before, in the same possession.
func previous(value string) string {
	return "CASE WHEN coalesce(v.apart, v.id IS NULL) THEN '" + tags.NewPossession + "' WHEN v.apart IS NOT NULL THEN " +
		value + " END"
}

func bands(col string, bs []tags.Band) string {
	var b strings.Builder
	b.WriteString("CASE")
	for _, x := range bs {
		fmt.Fprintf(&b, " WHEN %s BETWEEN %d AND %d THEN '%s'", col, x.From, x.To, strings.ReplaceAll(x.Name, "'", "''"))
	}
	return b.String() + " END"
}

// source returns the FROM of a query about plays p that uses some dimensions; $1
// is the program.
func source(dims ...string) string {
	from := `FROM plays p
		JOIN games g ON g.program_id = p.program_id AND g.id = p.game_id
		JOIN opponents o ON o.program_id = p.program_id AND o.id = p.opponent_id`
	if slices.Contains(dims, "season") {
		from += `
		LEFT JOIN seasons s ON s.program_id = p.program_id AND s.id = g.season_id`
	}
	if slices.Contains(dims, "games_ago") {
		from += `
		JOIN (` + gamesAgo("") + `) a ON a.id = p.game_id`
	}
	if slices.ContainsFunc(dims, func(d string) bool { return strings.HasPrefix(d, "previous_") }) {
		// plays_number_key finds the play before. Where neither the downs nor the
		// result say whether it was of the same possession, apart is unknown.
		from += `
		LEFT JOIN LATERAL (
			SELECT w.*, CASE
				WHEN p.since_last IN ('possession', 'kick', 'half') THEN true
				WHEN p.since_last IN ('penalty', 'review') THEN false
				WHEN w.touchdown OR w.result IN ('intercepted', 'fumble_lost') OR w.quarter <= 2 AND p.quarter > 2 THEN true
				WHEN p.down = w.down + 1 OR p.down = w.down AND p.down > 1 OR p.down = 1 AND w.gain_yd >= w.distance_yd THEN false
				WHEN p.down = 1 AND w.down >= 3 AND w.gain_yd < w.distance_yd THEN true
			END AS apart
			FROM plays w
			WHERE w.program_id = p.program_id AND w.game_id = p.game_id AND w.number < p.number AND w.status = 'counted'
			ORDER BY w.number DESC
			LIMIT 1
		) v ON true`
	}
	return from
}

// where chooses the counted plays under filters; the value "" asks for the
// unknown. $1 is the program.
func where(filters map[string][]string, set *tags.Settings, args []any) (string, []any) {
	var out strings.Builder
	out.WriteString("\n\t\tWHERE p.program_id = $1 AND p.status = 'counted'")
	for _, d := range slices.Sorted(maps.Keys(filters)) {
		args = append(args, filters[d])
		expr := dimension(d, set)
		if slices.Contains(filters[d], "") { // only then: a bare column lets an index serve
			expr = "coalesce(" + expr + ", '')"
		}
		fmt.Fprintf(&out, " AND %s = ANY($%d)", expr, len(args))
	}
	return out.String(), args
}

// Resolve brings filters to the program's words, or says what is wrong with them.
func (s *Store) Resolve(ctx context.Context, p tags.Program,
	filters map[string][]string) (_ map[string][]string, err error) {
	defer wrap(&err, "Resolve")
	var v *tags.Vocabulary
	if tags.UsesVocabulary(filters) {
		if v, err = vocabulary(ctx, s.db, p.ID); err != nil {
			return nil, err
		}
	}
	names, err := s.named(ctx, p.ID, filters)
	if err != nil {
		return nil, err
	}
	return tags.Resolve(filters, &p.Settings, v, names)
}

// named are the codes of opponents and the labels of seasons and games, of those of which several
// values are asked for: they may be one name with commas.
func (s *Store) named(ctx context.Context, program uuid.UUID,
	filters map[string][]string) (map[string][]string, error) {
	out := map[string][]string{}
	for d, sql := range map[string]string{"opponent": `SELECT code FROM opponents WHERE program_id = $1`,
		"season": `SELECT label FROM seasons WHERE program_id = $1`,
		"game":   `SELECT label FROM games WHERE program_id = $1`} {
		if len(filters[d]) < 2 {
			continue
		}
		rows, err := s.db.Query(ctx, sql, program)
		if err != nil {
			return nil, err
		}
		if out[d], err = pgx.CollectRows(rows, pgx.RowTo[string]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// gamesAgo numbers games x under a condition, each opponent's by themselves: the latest
// that holds a counted play is 1. $1 is the program.
func gamesAgo(cond string) string {
	return `
			SELECT x.id, row_number() OVER (PARTITION BY x.opponent_id
				ORDER BY y.label DESC NULLS LAST, x.week DESC NULLS LAST, x.id DESC) AS ago
			FROM games x
			LEFT JOIN seasons y ON y.program_id = x.program_id AND y.id = x.season_id
			WHERE x.program_id = $1 AND EXISTS (SELECT FROM plays z
				WHERE z.program_id = x.program_id AND z.game_id = x.id AND z.status = 'counted')` + cond
}
