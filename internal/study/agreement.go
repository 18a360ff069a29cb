package study

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
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

// unsaid are members of a play that are no statement about the film: which play it is,
// what is worked out, and what one analyst notes alone.
var unsaid = []string{"game_id", "opponent_id", "number", "since_last", "note", "routes_assumed"}

// statements lists what a play says, field by field; of routes, eligible by eligible. A
// new tag is one without a line here.
func statements(p *tags.Play) map[spot]string {
	out := map[spot]string{}
	said(out, "", reflect.ValueOf(p).Elem(), unsaid)
	for i := range p.Routes {
		r := &p.Routes[i]
		said(out, fmt.Sprint(r.Side, " ", r.Number), reflect.ValueOf(r).Elem(), []string{"side", "number"})
	}
	return out
}

// said adds the known single values of a noun, by their names in JSON.
func said(out map[spot]string, at string, noun reflect.Value, without []string) {
	for i := range noun.NumField() {
		name, _, _ := strings.Cut(noun.Type().Field(i).Tag.Get("json"), ",")
		if v := reflect.Indirect(noun.Field(i)); v.IsValid() && !slices.Contains(without, name) {
			if s := text(v); s != "" {
				out[spot{name, at}] = s
			}
		}
	}
}

// text is a single value in writing, "" where it is none.
func text(v reflect.Value) string {
	switch v.Kind() {
	case reflect.String:
		return v.String()
	case reflect.Int:
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Bool:
		return strconv.FormatBool(v.Bool())
	case reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'g', -1, 64)
	}
	return ""
}
