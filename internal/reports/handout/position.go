// Package handout makes what a staff carries onto the field out of a week of
// calls and pictures (plan.Week): position sheets, the call sheet, scout cards, the
// practice script, quiz cards. Each is data first, with every number a page shows,
// then a paper.Document.
package handout

import (
	"context"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/stress/call"
	"overhang/internal/tags"
)

// A PositionSheet is what each man of each call is taught, against this opponent.
type PositionSheet struct {
	paper.Furniture
	Positions []Position `json:"positions"`
	week      *plan.Week
}

// A Position is one man of one call; a man named for both sides is one position.
type Position struct {
	Call      string      `json:"call"`
	CallTitle string      `json:"call_title"`
	Defender  string      `json:"defender"`
	Sides     []string    `json:"sides"` // strong, weak
	Taught    []Teaching  `json:"taught"`
	Zones     []string    `json:"zones"`   // the ground of the zones his rules name
	Reading   []string    `json:"reading"` // how the words of his rules are meant
	Shown     []Shown     `json:"pictures"`
	Fits      []RunFit    `json:"run_fits"` // against the runs of theirs, most frequent first
	Conflict  *InConflict `json:"conflict,omitempty"`
	rusher    bool
	group     string             // whose page he is on
	bySide    map[string][]Shown // his pictures where he plays on one side
	of        *call.Call
	names     []string // of his slots
	known     []string // every name he answers to
}

// A Teaching is a man's assignment as the call has it, or as a check changes it.
type Teaching struct {
	Check  string   `json:"check,omitempty"`
	When   string   `json:"check_when,omitempty"`
	Sides  []string `json:"sides"`
	Align  []Lineup `json:"align"`
	Keys   string   `json:"keys"`
	Fit    string   `json:"fit,omitempty"`
	Rules  []Line   `json:"rules"`
	taught *call.Defender
	rules  []call.CompiledRule
	reads  []call.Who
	looks  []look // the sets of theirs in which it is his
}

// A Lineup is one alignment with the sets in which it counts.
type Lineup struct {
	When  string  `json:"when,omitempty"` // "" where nothing is asked
	Where string  `json:"where"`
	Sets  []Stand `json:"sets"`
	bare  string  // where, without what counts when its landmark is missing
}

// A Stand is where an alignment puts a man against one set.
type Stand struct {
	SetName string  `json:"set_name"`
	Plays   int     `json:"plays"` // of the opponent from this set, in the pictures
	Side    string  `json:"side"`
	OutYd   float64 `json:"out_yd"` // from the ball toward his own sideline
	DeepYd  float64 `json:"deep_yd"`
	missing bool    // the man he lines up on is not there
}

// A Line is one rule in words.
type Line struct {
	When string `json:"when"`
	Do   string `json:"do"`
}

// A Shown is a picture the opponent will show this man.
type Shown struct {
	SetName  string   `json:"set_name"`
	Concept  string   `json:"concept"`
	Plays    int      `json:"plays"`
	Assumed  int      `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	Picture  string   `json:"picture"`
	Check    string   `json:"check,omitempty"`
	Man      string   `json:"man"` // which of the two, for a man of both sides
	Do       []string `json:"do"`  // from the snap on
	Sentence string   `json:"sentence,omitempty"`
	ShortYd  float64  `json:"short_yd"` // of his worst two-way threat here, 0: none
	concept  int
	finding  int // -1: none
}

// An InConflict is the two-way threat that asks most of a man, by how often it is
// run times how badly it hurts, and what answers it.
type InConflict struct {
	SetName     string       `json:"set_name"`
	Concept     string       `json:"concept"`
	Plays       int          `json:"plays"`
	Assumed     int          `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	Finding     plan.Finding `json:"finding"`
	Rule        Line         `json:"rule"` // the rule he is under, in words
	Helper      string       `json:"helper,omitempty"`
	HelperShort float64      `json:"helper_short_yd"` // from the catch
	Better      *plan.Better `json:"better,omitempty"`
	Stress      float64      `json:"stress"`
	LeastCall   string       `json:"least_call"`
	LeastStress float64      `json:"least_stress"`
	Points      float64      `json:"gives_up_points"`
	LeastPoints float64      `json:"least_gives_up_points"`
}

const pictures = 3

// Positions makes the sheets of one call, or of all when it is empty, for one
// defender, or for all. It fails with a tags.Error of kind NotFound when there is
// no such call or no such man in it, and when ctx ends.
func Positions(ctx context.Context, f paper.Furniture, w *plan.Week, callName,
	defender string) (*PositionSheet, error) {
	s := &PositionSheet{f, []Position{}, w}
	known := callName == ""
	for i := range w.Calls {
		c := &w.Calls[i]
		if callName != "" && c.Name != callName {
			continue
		}
		known = true
		stands, looks := standsOf(w, c.Compiled)
		for _, p := range men(c) {
			if defender != "" && !slices.Contains(p.known, defender) {
				continue
			}
			p.stand(stands, looks)
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			p.show(w, i)
			s.Positions = append(s.Positions, p)
		}
	}
	switch {
	case !known:
		return nil, tags.Errorf(tags.NotFound, "no active call %q", callName)
	case len(s.Positions) == 0 && defender != "":
		return nil, tags.Errorf(tags.NotFound, "no defender %q in these calls", defender)
	}
	return s, nil
}
