package tally

import (
	"bytes"
	"slices"
)

// An ID is a game's or an opponent's identity.
type ID = [16]byte

// A segment is the plays of one game. Where stands for every dimension of a play, and for
// the outcome after them, where its codes are.
type segment struct {
	game, opponent ID
	shared         []uint32 // codes by OfGame
	n              int
	where          []spot
	narrow         []uint8
	wide           []uint16
}

// A spot is where a column of a segment is: the same code for all plays, or from an
// offset on in narrow or in wide codes.
type spot struct {
	kind kind
	at   uint32 // the code, or the offset
}

type kind uint8

const (
	same kind = iota
	inNarrow
	inWide
)

func (s *segment) size() int {
	return 120 + 4*len(s.shared) + 8*len(s.where) + len(s.narrow) + 2*len(s.wide)
}

// An Image is a program's counted plays at one moment. It is safe for concurrent use.
type Image struct {
	dicts    *dicts
	segments []*segment // by game
	words    [][]string // of the dimensions of games, then of plays, as they were
	ranks    [][]uint32 // of the words, in the database's order
	outcomes []outcome
	kinds    []outcome // that there are but for the gain
	kindOf   []uint16  // of an outcome by code
	least    int       // gain of all, and the number of those from there to the most
	gains    int
	depths   []int64 // a throw's depth by code, packed; see pack
	times    []spell // by code, of one throw; of none where there is none
	plays    int
	bytes    int
}

// dicts are shared by all images that follow one another.
type dicts struct {
	of       []*dict // of games, then of plays
	outcomes map[outcome]uint32
	list     []outcome // by code
}

// Plays is how many it holds, Bytes about how much memory they take.
func (im *Image) Plays() int { return im.plays }

// Bytes is about how much memory it takes.
func (im *Image) Bytes() int { return im.bytes }

// Games are all that have a play.
func (im *Image) Games() int { return len(im.segments) }

// OpponentOf is whose game it is; false: it has no counted play.
func (im *Image) OpponentOf(game ID) (ID, bool) {
	at, ok := im.find(game)
	if !ok {
		return ID{}, false
	}
	return im.segments[at].opponent, true
}

func (im *Image) find(game ID) (int, bool) {
	return slices.BinarySearchFunc(im.segments, game,
		func(s *segment, id ID) int { return bytes.Compare(s.game[:], id[:]) })
}

// dim is the place of a dimension among all words.
func dim(name string) int {
	at, ofGame := place(name)
	if !ofGame {
		at += len(OfGame)
	}
	return at
}
