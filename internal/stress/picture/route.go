package picture

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"sort"
	"strings"

	"overhang/internal/stress/field"
)

//go:embed routes.json
var routesJSON []byte

//go:embed sets.json
var setsJSON []byte

// A Leg is one straight piece of a route after its stem.
type Leg struct {
	Dir float64     `json:"dir"` // degrees: 0 upfield, 90 to his own sideline, -90 to the ball, 180 back
	Len field.Yards `json:"len"` // 0: on to the edge of the field
}

// A Route is the shape of a route as the trade draws it, read from routes.json.
type Route struct {
	Name     string        `json:"name"`
	Also     []string      `json:"also"`
	Depth    field.Yards   `json:"depth"`     // usual depth of the first break
	StemOut  field.Yards   `json:"stem_out"`  // width gained during the stem
	StemIn   field.Yards   `json:"stem_in"`   // width lost during the stem
	BackX    field.Yards   `json:"back_x"`    // where a back crosses the line, from the ball on the side he releases to
	StemTo   field.Yards   `json:"stem_to"`   // the stem ends this far from the ball on his side
	First    field.Yards   `json:"first"`     // straight steps before a slanted stem
	FirstDir float64       `json:"first_dir"` // direction of that slanted stem
	Vertical bool          `json:"vertical"`  // no break
	DriftOut field.Yards   `json:"drift_out"` // width a vertical route gains in its first 14 yards
	Widest   field.Yards   `json:"widest"`    // a vertical route bends in until he is no wider than this
	Over     bool          `json:"over"`      // climbs across to the far side
	Delay    field.Seconds `json:"delay"`     // holds this long before he releases
	Block    bool          `json:"block"`
	Mirror   bool          `json:"mirror"` // the receiver may break either way (an option)
	Settle   bool          `json:"settle"` // he stops at the end of the last leg
	Legs     []Leg         `json:"legs"`
	OnPress  string        `json:"on_press"` // what he runs instead when he is pressed,
	InMan    string        `json:"in_man"`   // when a man has him from the snap,
	TwoHigh  string        `json:"two_high"` // when two men are deep; "": the same
}

var (
	routes   = loadRoutes()
	setList  = listSets() // the plainest first
	setTable = tableOf(setList)
)

func loadRoutes() map[string]*Route {
	var doc struct{ Routes []*Route }
	if err := json.Unmarshal(routesJSON, &doc); err != nil {
		panic("picture: routes.json: " + err.Error())
	}
	m := map[string]*Route{}
	for _, r := range doc.Routes {
		for _, n := range append([]string{r.Name}, r.Also...) {
			m[n] = r
		}
	}
	return m
}

// LookupRoute finds a route by its name or an alias of it.
func LookupRoute(name string) (*Route, error) {
	if r, ok := routes[strings.ToLower(strings.TrimSpace(name))]; ok {
		return r, nil
	}
	return nil, fmt.Errorf("unknown route %q (known: %s)", name, strings.Join(RouteNames(), ", "))
}

// RouteNames lists the routes the engine knows, in alphabetical order.
func RouteNames() []string {
	seen := map[string]bool{}
	var out []string
	for _, r := range routes {
		if !seen[r.Name] {
			seen[r.Name] = true
			out = append(out, r.Name)
		}
	}
	sort.Strings(out)
	return out
}

// A Set is where the five eligibles line up.
type Set struct {
	Name         string          `json:"name"`
	Also         []string        `json:"also"`
	Play         []field.Yards   `json:"play"` // distance from the ball of #1, #2, ... on the play side
	Back         []field.Yards   `json:"back"` // the same on the other side
	PlayAttached int             `json:"play_attached"`
	BackAttached int             `json:"back_attached"`
	PlayOff      int             `json:"play_off"` // the receiver who is a yard off the line in a bunch or stack
	backOff      int             // the same on the other side, for a set that is turned
	Backfield    [][]field.Yards `json:"backfield"`
}

func listSets() []*Set {
	var doc struct{ Sets []*Set }
	if err := json.Unmarshal(setsJSON, &doc); err != nil {
		panic("picture: sets.json: " + err.Error())
	}
	return doc.Sets
}

func tableOf(sets []*Set) map[string]*Set {
	m := map[string]*Set{}
	for _, s := range sets {
		for _, n := range append([]string{s.Name}, s.Also...) {
			m[strings.ToLower(n)] = s
		}
	}
	return m
}

// LookupSet finds a set by its name or an alias of it.
func LookupSet(name string) (*Set, error) {
	if s, ok := setTable[strings.ToLower(strings.TrimSpace(name))]; ok {
		return s, nil
	}
	return nil, fmt.Errorf("unknown set %q (known: %s)", name, strings.Join(SetNames(), ", "))
}

// SetNames lists the standard sets in alphabetical order.
func SetNames() []string {
	seen := map[string]bool{}
	var out []string
	for _, s := range setTable {
		if !seen[s.Name] {
			seen[s.Name] = true
			out = append(out, s.Name)
		}
	}
	sort.Strings(out)
	return out
}
