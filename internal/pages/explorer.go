package pages

import (
	"net/url"
	"slices"
	"strings"

	"overhang/internal/reports/filmroom"
	"overhang/internal/tags"
)

// An Explorer is the page of tendencies: a question in its address, its answer a row
// a group. Numbers are the API's.
type Explorer struct {
	Opponent tags.Opponent
	Base     string // where the opponent's pages are
	Program  string // where the program's pages are
	By       []string
	Filters  []Chosen
	Selects  []Select
	Total    int
	Groups   []Group
	Tells    []Told
	Targets  *Targets // nil: no target is tagged
	Zones    []Zoned
	Gaps     *Gaps // nil: no run with a side is tagged
	Games    []Gamed
	query    url.Values
}

// A Chosen is a filter that stands, with the address without it.
type Chosen struct{ Dimension, Value, Without string }

// chosen lists the filters of a query; address is the page's under those that are left.
func chosen(query url.Values, address func(without url.Values) string) (out []Chosen) {
	for _, d := range slices.Sorted(keysOf(query)) {
		without := url.Values{}
		for k, v := range query {
			if k != d {
				without[k] = v
			}
		}
		v := query.Get(d)
		out = append(out, Chosen{Dimension(d), Value(d, &v), address(without)})
	}
	return out
}

// A Select offers the values of a dimension.
type Select struct {
	Dimension, Value string
	Values           []string
}

// A Group is one row of the answer.
type Group struct {
	Keys                    []*string
	Plays, Called           int
	Share, Low, High        float64
	RunShare                float64
	RunLow, RunHigh         float64
	Success                 *float64
	SuccessLow, SuccessHigh *float64
	Gain, Explosive         *float64
	Thin                    bool
}

// A Told is a tell in a sentence's worth of numbers.
type Told struct {
	Situation, Dimension, Value, Outcome string
	ShareWith, ShareOther                float64
	With, Without                        int
	Stands                               bool
}

// Dimensions a page groups by, in the order a staff asks.
var groupings = []string{"down", "distance_band", "field_zone", "hash", "half", "score_state", "game", "personnel",
	"set_name", "backfield", "motion", "strength_to",
	"called", "family", "concept", "play_side", "play_to", "target_number", "target_eligible", "target_route",
	"target_area",
	"throw_depth_band", "result", "coverage", "blitz", "previous_called", "previous_outcome"}

// dimensionWords are the dimensions as people say them, where the word is another.
var dimensionWords = map[string]string{"distance_band": "distance", "field_zone": "field zone",
	"near_goal":  "near the goal",
	"two_minute": "two-minute", "score_state": "score",
	"set_name": "set", "strength_to": "strength to", "called": "run or pass",
	"play_side": "play side", "play_to": "play to", "target_number": "target", "target_eligible": "who is thrown to",
	"target_route": "route thrown to", "target_area": "where to", "throw_depth_band": "throw depth",
	"coverage": "coverage faced", "previous_called": "play before", "previous_outcome": "how the play before went",
	"games_ago": "games ago", "last_games": "last games", "ours": "our games"}

// Dimension is how people say a dimension.
func Dimension(d string) string {
	if w := dimensionWords[d]; w != "" {
		return w
	}
	return strings.ReplaceAll(d, "_", " ")
}

// Value is how people say a value of a dimension; nil is what was not tagged.
func Value(d string, v *string) string {
	switch {
	case v == nil:
		return "not tagged"
	case d == "down":
		return Ordinal(*v)
	case d == "target_number":
		return "#" + *v
	case d == "field_zone":
		if w := zoneWords[*v]; w != "" {
			return w
		}
	}
	return strings.ReplaceAll(*v, "_", " ")
}

// zoneWords are the usual field zones as people say them; a staff's own stay.
var zoneWords = map[string]string{"OWN1-20": "own 1-20", "OWN21-50": "own 21-50", "OPP49-21": "opp 49-21",
	"RED": "red zone", "GOAL": "goal line"}

// NewExplorer reads the question of an address.
func NewExplorer(o tags.Opponent, base, program string, q url.Values, set *tags.Settings) *Explorer {
	x := &Explorer{Opponent: o, Base: base, Program: program, query: url.Values{}}
	for _, v := range q["by"] {
		for d := range strings.SplitSeq(v, ",") {
			if slices.Contains(groupings, d) && !slices.Contains(x.By, d) && len(x.By) < 3 {
				x.By = append(x.By, d)
			}
		}
	}
	if len(x.By) == 0 {
		x.By = []string{"down", "distance_band"}
		if q.Get("down") != "" || q.Get("concept") != "" {
			x.By = []string{"concept"}
		}
	}
	for d, vs := range q {
		if slices.Contains(tags.Dimensions, d) && d != "opponent" && vs[0] != "" {
			x.query.Set(d, vs[0])
		}
	}
	x.Filters = chosen(x.query, func(without url.Values) string { return x.address(x.By, without) })
	for _, s := range []Select{{Dimension: "down", Values: []string{"1", "2", "3", "4"}}, {Dimension: "distance_band",
		Values: tags.BandNames(set.DistanceBands)},
		{Dimension: "field_zone", Values: tags.BandNames(set.FieldZones)},
		{Dimension: "called", Values: []string{"run", "pass"}},
		{Dimension: "hash", Values: []string{"left", "middle", "right"}}, {Dimension: "half", Values: []string{"first",
			"second"}}} {
		s.Value = x.query.Get(s.Dimension)
		x.Selects = append(x.Selects, s)
	}
	return x
}

func keysOf(q url.Values) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range q {
			if !yield(k) {
				return
			}
		}
	}
}

func (x *Explorer) address(by []string, q url.Values) string {
	out := url.Values{"by": {strings.Join(by, ",")}}
	for k, v := range q {
		out[k] = v
	}
	return x.Base + "/tendencies?" + out.Encode()
}

// Groupings are the dimensions to choose from.
func (x *Explorer) Groupings() []string { return groupings }

// Nth is the dimension the answer is grouped by in that place, empty for none.
func (x *Explorer) Nth(i int) string {
	if i < len(x.By) {
		return x.By[i]
	}
	return ""
}

// Hidden are the filters that no select of the form shows.
func (x *Explorer) Hidden() (out [][2]string) {
	for d := range x.query {
		if !slices.ContainsFunc(x.Selects, func(s Select) bool { return s.Dimension == d }) {
			out = append(out, [2]string{d, x.query.Get(d)})
		}
	}
	return out
}

// with is the page's filters and a group's own.
func (x *Explorer) with(g *Group) url.Values {
	q := url.Values{}
	for k, v := range x.query {
		q[k] = v
	}
	for i, d := range x.By {
		switch {
		case g.Keys[i] == nil:
			q.Set(d, "(unknown)")
		default:
			q.Set(d, *g.Keys[i])
		}
	}
	return q
}

// Snaps is where the snaps of a group are listed.
func (x *Explorer) Snaps(g Group) string {
	return x.Base + "/snaps?" + x.with(&g).Encode()
}

// Inside asks within a group: its concepts, or its situations where it is a concept.
func (x *Explorer) Inside(g Group) string {
	q := x.with(&g)
	by := []string{"concept"}
	if slices.Contains(x.By, "concept") {
		by = []string{"down", "distance_band"}
	}
	return x.address(by, q)
}

// Picture is where a group's concept is drawn, empty where it is none.
func (x *Explorer) Picture(g Group) string {
	q := x.with(&g)
	if c := q.Get("concept"); c == "" || g.RunShare == 1 || c == "(unknown)" || slices.Index(x.By, "concept") < 0 {
		return ""
	}
	q.Set("show", "concept")
	q.Set("width_mm", "60")
	q.Set("caption", "false")
	return "/v1" + x.Base + "/drawing?" + q.Encode()
}

// Asked is the same question to the API; format csv, xlsx or json.
func (x *Explorer) Asked(format string) string {
	q := url.Values{"by": {strings.Join(x.By, ",")}, "opponent": {x.Opponent.Code}, "format": {format}}
	for k, v := range x.query {
		q[k] = v
	}
	return "/v1" + x.Program + "/tendencies?" + q.Encode()
}

// Behind lists the snaps behind a row.
type Behind struct {
	Base, Program string
	Asked         []string
	Rows          []BehindRow
}

// A BehindRow is one of them.
type BehindRow struct {
	filmroom.Row
	Game string
}

// Asked says the filters of an address in words.
func Asked(q url.Values) (out []string) {
	for _, d := range slices.Sorted(keysOf(q)) {
		if v := q.Get(d); slices.Contains(tags.Dimensions, d) && v != "" {
			out = append(out, Dimension(d)+": "+Value(d, &v))
		}
	}
	return out
}
