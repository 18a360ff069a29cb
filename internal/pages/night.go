package pages

import (
	"encoding/json"

	"overhang/internal/ask"
	"overhang/internal/tags"
)

// A Night is the tablet's page on the night of the game.
type Night struct {
	Base, Program string // where the opponent's and the program's pages are
	Plan          tags.PlanHead
	*ask.Night
}

// JSON is what the page's script taps through.
func (n *Night) JSON() (string, error) {
	raw, err := json.Marshal(n.Night)
	return string(raw), err
}
