package tags

import (
	"slices"
	"strings"

	"github.com/google/uuid"
)

// Dimensions a tendency can be grouped by and filtered on.
var Dimensions = []string{"opponent", "game", "week", "quarter", "down", "distance", "distance_band", "field_zone", "hash", "personnel",
	"set_name", "strength", "backfield", "motion", "called", "family", "concept", "play_side", "result", "coverage", "shell"}

// A TendencyQuery asks what an offence does.
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
	for d := range q.Filters {
		if !slices.Contains(Dimensions, d) {
			c.add(d, "unknown dimension")
		}
	}
	return invalid("the query", c.fs)
}

// A Cell is one group of plays: counts only, scored by package tendency.
type Cell struct {
	Keys         []*string // in the order of By; nil: unknown
	Plays        int
	Runs         int
	Passes       int
	GainSum      int
	GainKnown    int
	Successes    int
	SuccessKnown int
	FirstDowns   int
	Touchdowns   int
	Explosives   int
}

// A Tendency is the answer to a TendencyQuery.
type Tendency struct {
	Cells []Cell
	Total int            // counted plays under the filters
	Skip  map[string]int // plays left out of a measure, by reason
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
}

// An OpponentFilter narrows an opponent's plays to a situation.
type OpponentFilter struct {
	Opponent uuid.UUID
	Filters  map[string][]string
}
