package reports

import (
	"fmt"
	"slices"
	"strings"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/tags"
)

// SnapSheet is a row a snap, in the order of the tags; routes are one text, as said.
func SnapSheet(a *ask.SnapsAnswer) Sheet {
	out := Sheet{Name: "snaps", Columns: []string{"game", "number", "quarter", "clock_s", "down", "distance_yd",
		"yards_to_goal", "hash", "score_margin", "personnel", "set_name", "strength", "backfield", "motion", "called",
		"family", "play_fake", "run_option", "concept", "play_side", "target_route", "throw_depth_yd", "throw_s", "pressured",
		"result", "gain_yd", "touchdown", "shell", "coverage", "coverage_kind", "rushers", "blitzers", "routes",
		"routes_assumed", "note", "id"}, Notes: []string{fmt.Sprintf("%d counted plays under the filters", a.Plays)}}
	label := map[uuid.UUID]string{}
	for _, g := range a.Games {
		label[g.ID] = g.Label
	}
	for i := range a.Items {
		p := &a.Items[i]
		out.Rows = append(out.Rows, []any{label[p.GameID], p.Number, p.Quarter, p.ClockS, p.Down, p.DistanceYd,
			p.YardsToGoal, p.Hash, p.ScoreMargin, p.Personnel, p.SetName, p.Strength, p.Backfield, p.Motion, p.Called, p.Family,
			said(p.PlayFake),
			said(p.RunOption), p.Concept, p.PlaySide, p.TargetRoute, p.ThrowDepth, p.ThrowS, said(p.Pressured), p.Result,
			p.GainYd, p.Touchdown, p.Shell, p.Coverage, p.CoverageOf, p.Rushers, p.Blitzers, routesSaid(p.Routes),
			p.RoutesAssumed, p.Note, p.ID.String()})
	}
	return out
}

// said is a bool that may be unknown.
func said(b *bool) any {
	if b == nil {
		return nil
	}
	return *b
}

// routesSaid are routes as one text: left 1 hitch at 6; left 2 corner at 12 (target).
func routesSaid(rs []tags.Route) any {
	if len(rs) == 0 {
		return nil
	}
	out := make([]string, len(rs))
	for i, r := range rs {
		out[i] = fmt.Sprintf("%s %d %s", r.Side, r.Number, r.Route)
		if r.BreakDepthYd != nil {
			out[i] += fmt.Sprintf(" at %g", *r.BreakDepthYd)
		}
		if r.Targeted {
			out[i] += " (target)"
		}
	}
	return strings.Join(out, "; ")
}

// BoardSheet is a row a cell of a board: a call against a concept, with the largest of what
// it finds.
func BoardSheet(b *plan.Board) Sheet {
	out := Sheet{Name: "board", Columns: []string{"call", "set_name", "concept", "family", "plays", "gives_up_points",
		"stress", "success", "explosive", "touchdown", "turnover", "mean_gain_yd", "kind", "defender", "open", "other",
		"short_yd", "sentence"}, Notes: []string{boardNote(b)}}
	for i := range b.Rows {
		for _, c := range b.Rows[i].Cells {
			k := &b.Concepts[c.Concept]
			row := []any{c.Call, k.SetName, k.Concept, k.Family, k.Plays, c.Points, c.Stress, c.Success, c.Explosive,
				c.Touchdown, c.Turnover, c.MeanGain, nil, nil, nil, nil, nil, nil}
			if len(c.Findings) > 0 {
				f := &c.Findings[0]
				copy(row[12:], []any{f.Kind, f.Defender, f.Open, f.Other, f.ShortYd, f.Sentence})
			}
			out.Rows = append(out.Rows, row)
		}
	}
	return out
}

// PlanSheet is a row a call of a situation of a plan: what the snapshot says of it, how often the
// mix has it, how often the coordinator means to call it (unknown where he chose nothing).
func PlanSheet(c *ask.PlanAnswer) Sheet {
	out := Sheet{Name: "plan", Notes: []string{c.Label, fmt.Sprintf("%d counted plays, as of %s", c.Plays,
		c.MadeAt.UTC().Format("2006-01-02 15:04 MST"))}}
	where := slices.DeleteFunc(slices.Clone(tags.Dimensions), func(d string) bool {
		return !slices.ContainsFunc(c.Situations, func(x ask.PlannedCall) bool { return x.Where[d] != "" })
	})
	out.Columns = slices.Concat([]string{"situation"}, where, []string{"plays", "plays_behind", "need_yd", "call", "group",
		"gives_up_points", "success", "explosive", "stress", "stress_low", "stress_high", "mix_share", "mix_for",
		"chosen_share", "note", "watch_concept", "watch_defender", "watch_short_yd"})
	for i := range c.Situations {
		x := &c.Situations[i]
		head := []any{x.Name}
		for _, d := range where {
			head = append(head, orNil(x.Where[d]))
		}
		head = append(head, x.Plays, x.Behind, x.NeedYd)
		for j := range x.Calls {
			out.Rows = append(out.Rows, slices.Concat(head, predicted(&x.Calls[j], &x.Choice)))
		}
	}
	return out
}

// predicted are the cells of a call.
func predicted(p *plan.Predicted, chosen *plan.Choice) []any {
	row := []any{p.Call, nil, nil, nil, nil, p.Stress, p.Low, p.High, p.Share, orNil(p.For), nil, orNil(chosen.Note),
		nil, nil, nil}
	if p.Group > 0 {
		row[1] = p.Group
	}
	if g := p.GivesUp; g != nil {
		copy(row[2:], []any{g.Points, g.Success, g.Explosive})
	}
	for _, c := range chosen.Calls {
		if row[10] == nil {
			row[10] = 0.0
		}
		if c.Call == p.Call {
			row[10] = c.Share
		}
	}
	if w := p.Watch; w != nil {
		copy(row[12:], []any{w.Concept, w.Defender, w.ShortYd})
	}
	return row
}

// orNil is nothing for no text.
func orNil(s string) any {
	if s == "" {
		return nil
	}
	return s
}
