package tally

import (
	"errors"
	"slices"
	"strconv"
	"strings"
	"sync"

	"overhang/internal/tags"
)

// OfGame are the dimensions that all plays of a game share, in the order in which a
// game is handed over; OfPlay are all others, in the order of a play's.
var OfGame, OfPlay = split()

func split() (game, play []string) {
	shared := []string{"opponent", "season", "game", "week", "games_ago", "ours"}
	for _, d := range tags.Dimensions {
		if slices.Contains(shared, d) {
			game = append(game, d)
		} else {
			play = append(play, d)
		}
	}
	return game, play
}

// place is where a dimension's codes are: in games (from 0) or in plays.
func place(dimension string) (of int, ofGame bool) {
	if i := slices.Index(OfGame, dimension); i >= 0 {
		return i, true
	}
	return slices.Index(OfPlay, dimension), false
}

// ErrRefused says that plays cannot be kept as codes; their questions are the database's.
var ErrRefused = errors.New("tally: more different values than codes, or a time that is no decimal")

// A dict gives the words of a dimension their codes; it only grows. Code 0 is the
// unknown.
type dict struct {
	mu    sync.RWMutex // of codes: questions look words up while a builder adds some
	codes map[string]uint32
	words []string // words[0] is ""
}

func newDict() *dict { return &dict{codes: map[string]uint32{}, words: []string{""}} }

// code is a word's, new where it has none; only the builder calls it.
func (d *dict) code(word []byte) uint32 {
	if word == nil {
		return 0
	}
	if c, ok := d.codes[string(word)]; ok {
		return c
	}
	w := string(word)
	c := uint32(len(d.words))
	d.mu.Lock()
	d.codes[w] = c
	d.words = append(d.words, w)
	d.mu.Unlock()
	return c
}

// find is a word's code; false: no play has it.
func (d *dict) find(word string) (uint32, bool) {
	d.mu.RLock()
	defer d.mu.RUnlock()
	c, ok := d.codes[word]
	return c, ok
}

// micros reads a decimal of seconds in millionths. An exact sum of them is the sum of
// what PostgreSQL makes of the same numbers as numeric.
func micros(word string) (int64, error) {
	whole, part, _ := strings.Cut(word, ".")
	if len(part) > 6 {
		return 0, ErrRefused
	}
	n, err := strconv.ParseInt(whole+part+strings.Repeat("0", 6-len(part)), 10, 64)
	if err != nil || n < 0 {
		return 0, ErrRefused
	}
	return n, nil
}
