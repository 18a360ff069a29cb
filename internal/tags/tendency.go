package tags

import (
	"slices"
	"strings"

	"github.com/google/uuid"
)

// A TendencyQuery asks what an offense does.
type TendencyQuery struct {
	By      []string            // dimensions of a cell, in this order
	Within  []string            // shares are of these groups; empty: of everything
	Filters map[string][]string // dimension to allowed values; "" means unknown
}

// Validate checks the dimensions.
func (q *TendencyQuery) Validate() error {
	var c check
	if len(q.By) == 0 {
		c.add("by", "is missing: name at least one of %s", strings.Join(Dimensions, ", "))
	}
	if len(q.By) > 8 {
		c.add("by", "%d dimensions: at most 8", len(q.By))
	}
	for i, d := range q.By {
		if !slices.Contains(Dimensions, d) {
			c.add("by", "unknown dimension %q (known: %s)", d, strings.Join(Dimensions, ", "))
		} else if slices.Contains(q.By[:i], d) {
			c.add("by", "%q is there twice", d)
		}
	}
	for _, d := range q.Within {
		if !slices.Contains(q.By, d) {
			c.add("within", "%q is not one of the dimensions asked for", d)
		}
	}
	return invalid("the query", c.fs)
}

// A Cell is one group of plays: counts only, scored by package tendency.
type Cell struct {
	Keys           []*string // in the order of By; nil: unknown
	Plays          int
	Runs           int
	Passes         int
	GainSum        int
	GainKnown      int
	MedianGain     *float64 // yards; nil when no gain is known
	Successes      int
	SuccessKnown   int
	FirstDowns     int
	Touchdowns     int
	Explosives     int
	ExplosiveKnown int // plays whose call and gain are known
	Throws         int // complete, incomplete or intercepted
	Completions    int
	Interceptions  int
	Sacks          int
	Scrambles      int
	DepthSum       int // of throws, yards past the line
	DepthKnown     int
	TimeSum        float64 // seconds from the snap to the throw
	TimeKnown      int
}

// Add counts another group's plays too: their runs and passes, gains, successes and explosive plays,
// which is what sums of groups are scored by.
func (c *Cell) Add(o *Cell) {
	c.Plays += o.Plays
	c.Runs += o.Runs
	c.Passes += o.Passes
	c.GainSum += o.GainSum
	c.GainKnown += o.GainKnown
	c.Successes += o.Successes
	c.SuccessKnown += o.SuccessKnown
	c.Explosives += o.Explosives
	c.ExplosiveKnown += o.ExplosiveKnown
}

// A Count is how many plays have certain values; nil is an unknown one.
type Count struct {
	Keys  []*string
	Plays int
}

// A DepthGroup holds the break depths of one route run by eligibles of one kind.
type DepthGroup struct {
	Keys     []*string // of the dimensions asked for
	Number   int       `db:"number"` // from the sideline in
	Eligible string    `db:"eligible"`
	Route    string    `db:"route"`
	N        int       `db:"n"`      // how often it was run
	Depths   []float64 `db:"depths"` // yards, of those whose depth is known
	Targeted int       `db:"targeted"`
}

// A Tendency is the answer to a TendencyQuery.
type Tendency struct {
	Cells []Cell
	Total int            // counted plays under the filters
	Skip  map[string]int // plays left out, by "measure: reason"; each play once in a measure
}

// A ConceptRow counts what one eligible did in the plays of one set and concept.
type ConceptRow struct {
	SetName string   `db:"set_name"`
	Concept string   `db:"concept"`
	Family  string   `db:"family"`
	Plays   int      `db:"plays"` // of the set, concept and family
	Side    string   `db:"side"`  // play: the side the concept is run to; back: the other
	Number  int      `db:"number"`
	Back    bool     `db:"back"`
	Route   string   `db:"route"`
	N       int      `db:"n"`      // how often this eligible ran this route
	Known   int      `db:"known"`  // of those, with a break depth
	Median  *float64 `db:"median"` // yards
	Lower   *float64 `db:"lower"`  // quartiles
	Upper   *float64 `db:"upper"`
	Faced   []Faced  `db:"faced"`   // of the set, concept and family: the downs of its plays
	Assumed int      `db:"assumed"` // plays of them whose routes are the library's, not seen
	// Drawn is the set the picture is drawn from where nobody knows SetName; "" where it is known.
	Drawn string `db:"-"`
}

// A SetUse is how often an opponent ran a concept from a set, by personnel; "" is unknown.
type SetUse struct {
	SetName   string `db:"set_name"`
	Concept   string `db:"concept"`
	Personnel string `db:"personnel"`
	N         int    `db:"n"`
}

// A Faced is a down that plays were run on, and on how many; 0 is unknown.
type Faced struct {
	Down        int `json:"down"`
	DistanceYd  int `json:"distance_yd"`
	YardsToGoal int `json:"yards_to_goal"`
	Plays       int `json:"plays"`
}

// An OpponentFilter narrows an opponent's plays to a situation.
type OpponentFilter struct {
	Opponent uuid.UUID
	Filters  map[string][]string
}
