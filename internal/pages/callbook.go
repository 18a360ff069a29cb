package pages

import (
	"slices"
	"strings"

	"overhang/internal/stress/call"
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
	Base   string
	Call   *tags.Call // nil: a new one
	May    bool
	Looks  []Look
	Whens  []string // parts of conditions, to complete what is typed
	Thens  []string // parts of duties
	Ons    []string // what a man lines up on
	Facts  []Fact
	Calls  []tags.Call // to compare with
	Beside string
}

// A Look is a set with routes that a call can be drawn against.
type Look struct{ Name, Set, Family, Routes string }

// A Fact is a word of the rules with what it says to a player.
type Fact struct{ Word, Said string }

// Looks are the built-in concepts, each from its set.
func Looks() (out []Look) {
	for _, e := range picture.Library() {
		out = append(out, Look{e.Concept, e.Set, e.Family, e.Routes})
	}
	slices.SortStableFunc(out, func(a, b Look) int { return strings.Compare(a.Set, b.Set) })
	return out
}

// NewEditor fills in what helps to write a rule: the words that the built-in book
// uses and the facts of the table.
func NewEditor() *Editor {
	e := &Editor{Looks: Looks(), Ons: []string{"#1", "#2", "#3", "#4", "apex", "end man", "back", "hash", "ball"}}
	for _, f := range call.Facts() {
		e.Facts = append(e.Facts, Fact{f.String(), f.Said("your side")})
		e.Whens = append(e.Whens, f.String())
	}
	for _, p := range call.Book() {
		for _, d := range p.Call.Defenders {
			for _, r := range d.Rules {
				e.Whens = append(e.Whens, strings.Split(r.When, " and ")...)
				e.Thens = append(e.Thens, strings.Split(r.Then, "; ")...)
			}
		}
	}
	for _, words := range []*[]string{&e.Whens, &e.Thens} {
		slices.Sort(*words)
		*words = slices.Compact(*words)
	}
	return e
}
