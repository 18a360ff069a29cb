package pages

import (
	"slices"
	"strings"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A CallBook is the page of our calls; its script draws each.
type CallBook struct {
	Base  string // where the program's pages are
	Calls []tags.Call
	May   bool
}

// An Editor is the page on which a call is written: the field against any set, one
// man at a time, what he is taught as when/then rows.
type Editor struct {
	Base    string
	Call    *tags.Call // nil: a new one
	May     bool
	Looks   []Look
	Whens   []Word   // parts of conditions, to complete what is typed
	Thens   []Word   // parts of duties
	Ons     []string // what a man lines up on
	Calls   []tags.Call
	Against string // the opponent, empty for none chosen
}

// A Look is a set with routes, or a run, that a call can be drawn against.
type Look struct {
	Name, Set, Family, Routes string
	Run                       string // how a run is blocked, "" of a pass
}

// runSets are the sets that runs are drawn from: with a tight end, and spread.
var runSets = []string{"2x1", "2x2"}

// Looks are the built-in concepts, each from its set, and the built-in runs.
func Looks() (out []Look) {
	for _, e := range picture.Library() {
		out = append(out, Look{e.Concept, e.Set, e.Family, e.Routes, ""})
	}
	for _, r := range picture.Runs() {
		for _, set := range runSets {
			out = append(out, Look{r.Concept, set, picture.Run.String(), "B1 block", r.Concept})
		}
	}
	slices.SortStableFunc(out, func(a, b Look) int { return strings.Compare(a.Set, b.Set) })
	return out
}

// NewEditor fills in what helps to write a rule.
func NewEditor() *Editor {
	return &Editor{Looks: Looks(), Whens: conditionWords, Thens: dutyWords,
		Ons: []string{"#1", "#2", "#3", "#4", "apex", "end man", "back", "hash", "ball"}}
}
