package study

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Field is how far analysts agree on one field, beyond chance.
type Field struct {
	Field    string   `json:"field"`
	Units    int      `json:"units"`  // clips, or eligibles of clips, that two at least tagged
	Values   int      `json:"values"` // said about them
	Same     float64  `json:"same"`   // share of the pairs of values that are equal
	Alpha    *float64 `json:"alpha,omitempty"`
	Interval *float64 `json:"alpha_interval,omitempty"` // of measured fields: a yard off counts less than ten
	Pairs    []Pair   `json:"pairs"`
}

// A Pair is how two analysts agree.
type Pair struct {
	A     string   `json:"a"`
	B     string   `json:"b"`
	Units int      `json:"units"`
	Same  float64  `json:"same"`
	Kappa *float64 `json:"kappa,omitempty"`
}

// A Difference is one field of one clip on which analysts who know it differ.
type Difference struct {
	ClipID uuid.UUID         `json:"clip_id"`
	Field  string            `json:"field"`
	At     string            `json:"at,omitempty"` // of a route: the eligible, as in left 1
	Values map[string]string `json:"values"`       // by analyst
}

// Agreement is what blind tags say about the taggers.
type Agreement struct {
	Analysts    []string     `json:"analysts"`
	Clips       int          `json:"clips"`  // tagged by two analysts at least
	Single      int          `json:"single"` // tagged by one: nothing to compare
	Fields      []Field      `json:"fields"` // least agreed first, where nothing can be said last
	Differences []Difference `json:"differences"`
}

// measured are fields whose values are numbers on a scale.
var measured = map[string]bool{"distance_yd": true, "yards_to_goal": true, "gain_yd": true, "rushers": true,
	"blitzers": true, "throw_depth_yd": true, "throw_s": true, "break_depth_yd": true, "clock_s": true,
	"score_margin": true}

// A unit is one thing that analysts say something about.
type unit struct {
	clip  uuid.UUID
	field string
	at    string
}

// Agree compares blind tags by field. An unknown value is no statement: it is
// neither agreement nor a difference.
func Agree(blind []tags.BlindTag) Agreement {
	out := Agreement{Analysts: []string{}, Fields: []Field{}, Differences: []Difference{}}
	said, clips := map[unit]map[string]string{}, map[uuid.UUID]int{}
	for i := range blind {
		b := &blind[i]
		clips[b.ClipID]++
		if !slices.Contains(out.Analysts, b.Analyst) {
			out.Analysts = append(out.Analysts, b.Analyst)
		}
		for at, v := range statements(&b.Tags.Play) {
			u := unit{b.ClipID, at.field, at.at}
			if said[u] == nil {
				said[u] = map[string]string{}
			}
			said[u][b.Analyst] = v
		}
	}
	slices.Sort(out.Analysts)
	for _, n := range clips {
		if n > 1 {
			out.Clips++
		} else {
			out.Single++
		}
	}
	byField := map[string][]unit{}
	for _, u := range slices.SortedFunc(maps.Keys(said), unit.compare) {
		if len(said[u]) < 2 {
			continue
		}
		byField[u.field] = append(byField[u.field], u)
		if len(slices.Compact(slices.Sorted(maps.Values(said[u])))) > 1 {
			out.Differences = append(out.Differences, Difference{u.clip, u.field, u.at, said[u]})
		}
	}
	for _, name := range slices.Sorted(maps.Keys(byField)) {
		out.Fields = append(out.Fields, field(name, byField[name], said, out.Analysts))
	}
	slices.SortStableFunc(out.Fields, func(a, b Field) int { return cmp.Compare(order(a.Alpha), order(b.Alpha)) })
	return out
}

func (u unit) compare(v unit) int {
	return cmp.Or(strings.Compare(u.clip.String(), v.clip.String()), strings.Compare(u.field, v.field),
		strings.Compare(u.at, v.at))
}

// order puts what cannot be said last.
func order(alpha *float64) float64 {
	if alpha == nil {
		return 2
	}
	return *alpha
}

func field(name string, units []unit, said map[unit]map[string]string, analysts []string) Field {
	out := Field{Field: name, Units: len(units), Pairs: []Pair{}}
	var words [][]string
	var numbers [][]float64
	for _, u := range units {
		var w []string
		var n []float64
		for _, a := range analysts {
			if v, ok := said[u][a]; ok {
				w = append(w, v)
				if f, err := strconv.ParseFloat(v, 64); err == nil {
					n = append(n, f)
				}
			}
		}
		words, numbers = append(words, w), append(numbers, n)
	}
	a := tendency.Alpha(words)
	out.Values, out.Same, out.Alpha = a.Units, a.Same, coefficient(a)
	if measured[name] {
		out.Interval = coefficient(tendency.AlphaInterval(numbers))
	}
	for i, x := range analysts {
		for _, y := range analysts[i+1:] {
			var as, bs []string
			for _, u := range units {
				as, bs = append(as, said[u][x]), append(bs, said[u][y])
			}
			if k := tendency.Kappa(as, bs); k.Units > 0 {
				out.Pairs = append(out.Pairs, Pair{x, y, k.Units, k.Same, coefficient(k)})
			}
		}
	}
	return out
}

func coefficient(a tendency.Agreement) *float64 {
	if !a.Defined {
		return nil
	}
	return &a.Coefficient
}

type spot struct{ field, at string }

// statements lists what a play says, field by field; of routes, eligible by
// eligible.
func statements(p *tags.Play) map[spot]string {
	out := map[spot]string{}
	word := func(field string, v *string) {
		if v != nil {
			out[spot{field, ""}] = *v
		}
	}
	number := func(field string, v *int) {
		if v != nil {
			out[spot{field, ""}] = strconv.Itoa(*v)
		}
	}
	truth := func(field string, v *bool) {
		if v != nil {
			out[spot{field, ""}] = strconv.FormatBool(*v)
		}
	}
	out[spot{"status", ""}] = p.Status
	truth("touchdown", &p.Touchdown)
	for f, v := range map[string]*int{"quarter": p.Quarter, "clock_s": p.ClockS, "down": p.Down,
		"distance_yd": p.DistanceYd, "yards_to_goal": p.YardsToGoal, "score_margin": p.ScoreMargin,
		"gain_yd": p.GainYd, "throw_depth_yd": p.ThrowDepth, "rushers": p.Rushers, "blitzers": p.Blitzers} {
		number(f, v)
	}
	for f, v := range map[string]*string{"hash": p.Hash, "personnel": p.Personnel, "set_name": p.SetName,
		"strength": p.Strength, "backfield": p.Backfield, "motion": p.Motion, "called": p.Called,
		"family": p.Family, "concept": p.Concept, "play_side": p.PlaySide, "target_route": p.TargetRoute, "result": p.Result,
		"shell": p.Shell, "coverage": p.Coverage, "coverage_kind": p.CoverageOf} {
		word(f, v)
	}
	for f, v := range map[string]*bool{"play_fake": p.PlayFake, "run_option": p.RunOption, "pressured": p.Pressured} {
		truth(f, v)
	}
	if p.ThrowS != nil {
		out[spot{"throw_s", ""}] = strconv.FormatFloat(*p.ThrowS, 'g', -1, 64)
	}
	for i := range p.Routes {
		r := &p.Routes[i]
		at := fmt.Sprint(r.Side, " ", r.Number)
		out[spot{"route", at}] = r.Route
		if r.Eligible != "" {
			out[spot{"eligible", at}] = r.Eligible
		}
		out[spot{"targeted", at}] = strconv.FormatBool(r.Targeted)
		if r.BreakDepthYd != nil {
			out[spot{"break_depth_yd", at}] = strconv.FormatFloat(*r.BreakDepthYd, 'g', -1, 64)
		}
		if r.BreakDirection != nil {
			out[spot{"break_direction", at}] = *r.BreakDirection
		}
	}
	return out
}
