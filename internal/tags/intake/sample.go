package intake

import (
	"fmt"
	"strings"

	"overhang/internal/tags"
)

// sample shows a play as it would be stored.
func sample(rec *Record) Sample {
	s := Sample{Tab: rec.tab, Row: rec.Line, Opponent: rec.opponentName, Game: rec.Game.Label, Tags: []Tag{}}
	add := func(field, value string) { s.Tags = append(s.Tags, Tag{field, value}) }
	p := &rec.Play
	add("number", fmt.Sprint(p.Number))
	if p.Status != "counted" {
		add("status", p.Status)
	}
	for _, x := range []struct {
		field string
		v     *int
	}{{"quarter", p.Quarter}, {"clock_s", p.ClockS}, {"down", p.Down}, {"distance_yd", p.DistanceYd},
		{"yards_to_goal", p.YardsToGoal}, {"score_margin", p.ScoreMargin}, {"gain_yd", p.GainYd}} {
		if x.v != nil {
			add(x.field, fmt.Sprint(*x.v))
		}
	}
	for _, x := range []struct {
		field string
		v     *string
	}{{"hash", p.Hash}, {"personnel", p.Personnel}, {"set_name", p.SetName}, {"strength", p.Strength},
		{"backfield", p.Backfield}, {"motion", p.Motion},
		{"called", p.Called}, {"family", p.Family}, {"concept", p.Concept}, {"play_side", p.PlaySide}, {"result", p.Result},
		{"coverage", p.Coverage}, {"shell", p.Shell}} {
		if x.v != nil {
			add(x.field, *x.v)
		}
	}
	if p.Touchdown {
		add("touchdown", "yes")
	}
	if p.RoutesAssumed {
		add("routes_assumed", routesText(p.Routes))
	}
	return s
}

func routesText(rs []tags.Route) string {
	var out []string
	for _, r := range rs {
		out = append(out, fmt.Sprintf("%s %d %s", r.Side, r.Number, r.Route))
	}
	return strings.Join(out, ", ")
}
