// Package filmroom is what an analyst works on in a dark room: the list of a
// game's snaps with what is not tagged yet, and the page on which one snap after
// the other is tagged by keyboard, its film beside it.
//
// This is the data of the pages; package pages has their templates and the one script.
package filmroom

import "overhang/internal/tags"

// A Head is what both pages stand under.
type Head struct {
	Program  tags.Program
	Opponent tags.Opponent
	Game     tags.Game
}
