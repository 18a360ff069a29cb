package pages

import (
	"encoding/json"
	"net/url"

	"overhang/internal/tags"
)

// A Shell is the bar that every page has: whose program, against whom, which step
// of the week, and who is signed in. The zero value is the bar of a page that needs
// nobody.
type Shell struct {
	Title     string
	Program   *tags.Program  // nil: the page is of no program
	Opponent  *tags.Opponent // nil: none chosen yet
	Opponents []tags.Opponent
	Week      string // of the game that is being prepared, empty for unknown
	Step      string // the step of the week the page belongs to, empty for none
	Place     string // the page of the program it is, empty for none
	Who       string // who is signed in, empty where nobody has to
	Owner     bool   // the visitor may see the staff's page as its owner
	Alone     bool   // the page leads nowhere else: what a link opens to who has nothing but the link
	Wide      bool   // the page takes the window's full width: field, board, film
	Scripts   []string
	Styles    []string
}

// A Step is one of the six steps of the week.
type Step struct {
	Name, Link string
	Here       bool
}

// steps are the six with the end of their address below the opponent's.
var steps = [][2]string{{"Film", "film"}, {"Tags", "tags"}, {"Tendencies", "tendencies"}, {"Board", "board"},
	{"Plan", "plans"}, {"Print", "print"}}

// Steps are the six steps of the week; without an opponent they lead to the choice
// of one.
func (s *Shell) Steps() []Step {
	var out []Step
	for _, x := range steps {
		at := s.Home()
		switch {
		case s.Opponent != nil:
			at = s.Base() + "/" + x[1]
		case s.Program != nil:
			at += "/opponents"
		}
		out = append(out, Step{x[0], at, s.Step == x[1]})
	}
	return out
}

// Names are the staff's own words for defenders, as scripts hand them to the API; empty
// where there are none.
func (s *Shell) Names() string {
	if s.Program == nil || len(s.Program.Settings.PositionNames) == 0 {
		return ""
	}
	b, err := json.Marshal(s.Program.Settings.PositionNames)
	if err != nil {
		return "" // plain strings cannot fail
	}
	return string(b)
}

// Home is where the program's first page is.
func (s *Shell) Home() string {
	if s.Program == nil {
		return "/"
	}
	return "/programs/" + url.PathEscape(s.Program.Code)
}

// Base is where the opponent's pages are.
func (s *Shell) Base() string {
	if s.Opponent == nil {
		return s.Home()
	}
	return s.Against(*s.Opponent)
}

// Against is where the pages of an opponent are.
func (s *Shell) Against(o tags.Opponent) string {
	return s.Home() + "/opponents/" + url.PathEscape(o.Code)
}

// A Place is a page of the program beside the week.
type Place struct {
	Name, Link string
	Here       bool
}

var places = [][2]string{{"Opponents", "opponents"}, {"Games", "games"}, {"Call book", "calls"},
	{"Self-scout", "self-scout"},
	{"Words", "words"},
	{"Settings", "settings"}, {"Staff", "staff"}, {"Trash", "deleted"}}

// Places are the pages of the program beside the week.
func (s *Shell) Places() []Place {
	var out []Place
	for _, x := range places {
		out = append(out, Place{x[0], s.Home() + "/" + x[1], s.Place == x[1]})
	}
	return out
}
