package reports

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/google/uuid"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/tags"
)

// SnapSheet is a row a snap: every tag in the order that a play has them, routes as one text.
func SnapSheet(a *ask.SnapsAnswer) Sheet {
	out := Sheet{Name: "snaps", Notes: []string{fmt.Sprintf("%d counted plays under the filters", a.Plays)}}
	label := map[uuid.UUID]string{}
	for _, g := range a.Games {
		label[g.ID] = g.Label
	}
	names, at := tagColumns()
	out.Columns = slices.Concat([]string{"game"}, names, []string{"id"})
	for i := range a.Items {
		p, row := &a.Items[i], []any{label[a.Items[i].GameID]}
		for _, k := range at {
			switch v := reflect.ValueOf(p).Elem().Field(k); {
			case v.Kind() == reflect.Slice:
				row = append(row, routesSaid(p.Routes))
			case v.Kind() == reflect.Pointer && v.IsNil():
				row = append(row, nil)
			default:
				row = append(row, reflect.Indirect(v).Interface())
			}
		}
		out.Rows = append(out.Rows, append(row, p.ID.String()))
	}
	return out
}

// tagColumns are the tags of a play with their places in it, without what a row of counted
// plays says otherwise or need not say.
func tagColumns() (names []string, at []int) {
	play := reflect.TypeFor[tags.Play]()
	for i := range play.NumField() {
		name, _, _ := strings.Cut(play.Field(i).Tag.Get("json"), ",")
		if !slices.Contains([]string{"", "game_id", "opponent_id", "status"}, name) {
			names, at = append(names, name), append(at, i)
		}
	}
	return names, at
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
// mix has it, how often the coordinator means to call it (unknown where nothing was chosen).
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
