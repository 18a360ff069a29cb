package tags

import (
	"fmt"
	"slices"
	"strings"
	"time"
	_ "time/tzdata" // a program's time zone must be known wherever the server runs
)

// Settings are a program's own cut points.
type Settings struct {
	SuccessPercent  [3]int         `json:"success_percent"` // of the distance, on 1st, 2nd, 3rd and 4th down
	ExplosiveRunYd  int            `json:"explosive_run_yd"`
	ExplosivePassYd int            `json:"explosive_pass_yd"`
	DistanceBands   []Band         `json:"distance_bands"`
	FieldZones      []Band         `json:"field_zones"`              // by yards to the goal line
	NewWords        string         `json:"new_words,omitempty"`      // of an unknown word in a play: refuse (usual), queue
	PositionNames   []PositionName `json:"position_names,omitempty"` // the staff's own words for defenders
	OurMen          []OurMan       `json:"our_men,omitempty"`        // who is not even with the man he covers
	TimeZone        string         `json:"time_zone,omitempty"`      // of the IANA database; "" is UTC
	// What ends a drive where this program plays, and so what downs are worth: the longest
	// field goal that is tried, from the spot it is kicked at, and the net yards of a punt; 0
	// is as professionals do.
	FieldGoalYd int  `json:"field_goal_yd,omitempty"`
	PuntNetYd   int  `json:"punt_net_yd,omitempty"`
	GoForIt     bool `json:"go_for_it,omitempty"` // on fourth down they go wherever that is worth more
}

// A PositionName is a staff's own word for a defender, wherever one is named.
type PositionName struct {
	Position string `json:"position"` // as calls name him: "strong overhang"; "overhang" for both sides
	Name     string `json:"name"`     // as the staff says it
}

// An OurMan is a defender of ours who is half a step off the man he covers; who is in no
// list is even with his.
type OurMan struct {
	Name     string `json:"name"`               // as calls name him or as the staff does, both sides without one
	Pace     string `json:"pace"`               // slower, quicker
	Opponent string `json:"opponent,omitempty"` // code; "": all season. An opponent's own goes before.
}

// Paces are our men who are not even against an opponent, by their names in small letters.
func (s *Settings) Paces(opponent string) map[string]string {
	out := map[string]string{}
	for _, of := range []string{"", opponent} {
		for _, x := range s.OurMen {
			if x.Opponent == of {
				out[strings.ToLower(x.Name)] = x.Pace
			}
		}
	}
	return out
}

// A Band is a named range of whole yards, both ends included.
type Band struct {
	Name string `json:"name"`
	From int    `json:"from_yd"`
	To   int    `json:"to_yd"`
}

// BandNames are the names of bands, in their order.
func BandNames(bs []Band) (out []string) {
	for _, b := range bs {
		out = append(out, b.Name)
	}
	return out
}

// DefaultSettings are the usual cuts: success at 40, 60 and 100% of the
// distance, and the bands of the reference tables.
func DefaultSettings() Settings {
	return Settings{
		SuccessPercent: [3]int{40, 60, 100}, ExplosiveRunYd: 12, ExplosivePassYd: 16,
		DistanceBands: []Band{{"1-3", 1, 3}, {"4-6", 4, 6}, {"7-10", 7, 10}, {"11+", 11, 99}},
		FieldZones: []Band{{"OWN1-20", 80, 99}, {"OWN21-50", 50, 79}, {"OPP49-21", 21, 49}, {"RED", 6, 20},
			{"GOAL", 1, 5}},
	}
}

// Names are the staff's words by the position they are for, in small letters.
func (s *Settings) Names() map[string]string {
	out := map[string]string{}
	for _, x := range s.PositionNames {
		out[strings.ToLower(x.Position)] = x.Name
	}
	return out
}

// Zone is where the staff's clock hangs: UTC as long as nobody says otherwise.
func (s *Settings) Zone() *time.Location {
	if at, err := time.LoadLocation(s.TimeZone); err == nil {
		return at
	}
	return time.UTC
}

const mostPositions = 60

// positions checks a staff's words for defenders: one for a position, and none so long
// that no drawing has room for it.
func (c *check) positions(field string, ps []PositionName) {
	if len(ps) > mostPositions {
		c.add(field, "%d of them: at most %d", len(ps), mostPositions)
	}
	seen := map[string]bool{}
	for i, p := range ps {
		at := fmt.Sprintf("%s[%d]", field, i)
		c.line(at+".position", p.Position, 80)
		c.line(at+".name", p.Name, 24)
		if key := strings.ToLower(p.Position); seen[key] {
			c.add(at+".position", "%q is there twice", p.Position)
		} else {
			seen[key] = true
		}
		if strings.TrimSpace(p.Name) != p.Name || strings.TrimSpace(p.Position) != p.Position {
			c.add(at+".name", "begins or ends with a blank")
		}
	}
}

// men checks a list of our men: each once for the season and once for an opponent.
func (c *check) men(field string, ms []OurMan) {
	if len(ms) > mostPositions {
		c.add(field, "%d of them: at most %d", len(ms), mostPositions)
	}
	seen := map[[2]string]bool{}
	for i, m := range ms {
		at := fmt.Sprintf("%s[%d]", field, i)
		c.line(at+".name", m.Name, 80)
		if !slices.Contains(fixed["pace"], m.Pace) {
			c.add(at+".pace", "%q is not one of %s", m.Pace, strings.Join(fixed["pace"], ", "))
		}
		if key := [2]string{strings.ToLower(m.Name), m.Opponent}; seen[key] {
			c.add(at+".name", "%q is there twice", m.Name)
		} else {
			seen[key] = true
		}
	}
}

// zone checks a time zone by its name in the IANA database. "Local" is the server's, which
// nobody at a desk knows.
func (c *check) zone(field, name string) {
	if _, err := time.LoadLocation(name); err != nil || name == "Local" {
		c.add(field, "%q is no time zone: choose one, like America/Chicago", name)
	}
}
