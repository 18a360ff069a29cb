package pages

import (
	"fmt"
	"net/url"

	"overhang/internal/tags"
)

// A Week is the first page against an opponent: six steps, how far each is, and one
// button each.
type Week struct {
	Opponent tags.Opponent
	Base     string
	Program  string // where the program's pages are
	Games    int
	Filmed   int // games with a film
	Plays    int // counted, of theirs
	Concepts int // of those, with a concept tagged
	Routes   int // passes with a concept picture behind them
	Calls    int // of ours, turned on
	Plans    int
	Locked   int
	Worst    *WorstConflict // nil: none is known
}

// A WorstConflict is what hurts most on the board.
type WorstConflict struct{ Call, Concept, Set, Said, Link, Drawing string }

// A WeekStep is one of the six with how far it is.
type WeekStep struct {
	Name, Said, Button, Link string
	Done, Of                 int // 0 of 0: nothing to measure
	Next                     bool
}

// Steps are the six; the first that is not done is the next.
func (w *Week) Steps() []WeekStep {
	out := []WeekStep{
		{Name: "Film", Said: fmt.Sprintf("%d of %s with film.", w.Filmed, Many(w.Games, "game")),
			Button: "Open the film room", Link: w.Base + "/film", Done: w.Filmed, Of: w.Games},
		{Name: "Tags", Said: fmt.Sprintf("%s, %d with a concept.", Many(w.Plays, "play"), w.Concepts), Button: "Tag plays",
			Link: w.Base + "/tags", Done: w.Concepts, Of: w.Plays},
		{Name: "Tendencies", Said: "What they do in any situation, and how sure that is.", Button: "Find tendencies",
			Link: w.Base + "/tendencies"},
		{Name: "Board", Said: fmt.Sprintf("%s turned on.", Many(w.Calls, "call")), Button: "See the board",
			Link: w.Base + "/board"},
		{Name: "Plan", Said: w.planned(), Button: "Make the plan", Link: w.Base + "/plans", Done: w.Locked, Of: w.Plans},
		{Name: "Print", Said: "Call sheet, position sheets, scout cards, practice script.", Button: "Print", Link: w.Base +
			"/print"},
	}
	w.next(out)
	return out
}

// next marks the step that comes next and says what it lacks.
func (w *Week) next(out []WeekStep) {
	switch {
	case w.Games == 0:
		out[0].Said, out[0].Button, out[0].Next = "No game of theirs yet.", "Add a game", true
		out[0].Link = w.Program + "/games/new?against=" + url.QueryEscape(w.Opponent.Code)
	case w.Plays == 0 || 2*w.Concepts < w.Plays:
		out[1].Next = true
	case w.Calls == 0:
		out[3].Said, out[3].Button, out[3].Link, out[3].Next = "None of our calls is turned on.", "Open the call book",
			w.Program+"/calls", true
	case w.Locked == 0:
		out[4].Next = true
	default:
		out[5].Next = true
	}
}

func (w *Week) planned() string {
	switch {
	case w.Plans == 0:
		return "No plan yet."
	case w.Locked == 0:
		return Many(w.Plans, "plan") + ", none locked."
	}
	return fmt.Sprintf("%s, %d locked.", Many(w.Plans, "plan"), w.Locked)
}

// A Home is the program's first page while no opponent is looked at.
type Home struct {
	Program   tags.Program
	Base      string
	Opponents []tags.Opponent
	Calls     int
	MayAdd    bool // opponents and games
}
