package tally

import (
	"bytes"
	"slices"
)

// An ID is a game's or an opponent's identity.
type ID = [16]byte

// A segment is the plays of games one after another, in columns. Where stands for every dimension of
// a play, and for the outcome after them, where its codes are. Games that have gone from it
// left their rows behind.
type segment struct {
	games  []played // by ID
	rows   int      // of the columns
	where  []spot
	narrow []uint8
	wide   []uint16
}

// A played is a game in a segment: rows from, to below.
type played struct {
	id, opponent ID
	shared       []uint32 // codes by OfGame
	from, to     int
}

// A span is plays of a segment one after another: of games that all meet a question's filters.
type span struct {
	*segment
	games    []played
	from, to int // rows
}

// narrowOf and wideOf are the codes of a column.
func (s *span) narrowOf(w spot) []uint8 { return s.narrow[int(w.at)+s.from : int(w.at)+s.to] }
func (s *span) wideOf(w spot) []uint16  { return s.wide[int(w.at)+s.from : int(w.at)+s.to] }

// inSegment is how many plays a segment has at most, unless one game has more: as many as keep what is
// counted of them in the nearest cache, and enough that what a segment costs is little.
const inSegment = 1 << 13

// mostInGame is how many plays a game can have.
const mostInGame = 1 << 16

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
	return 120 + 8*len(s.where) + len(s.narrow) + 2*len(s.wide) + len(s.games)*(72+4*len(OfGame))
}

// plays is how many are still of a game.
func (s *segment) plays() (n int) {
	for i := range s.games {
		n += s.games[i].to - s.games[i].from
	}
	return n
}

func (s *segment) find(game ID) (int, bool) {
	return slices.BinarySearchFunc(s.games, game, func(g played, id ID) int { return bytes.Compare(g.id[:], id[:]) })
}

// An Image is a program's counted plays at one moment. It is safe for concurrent use.
type Image struct {
	dicts    *dicts
	segments []*segment
	words    [][]string // of the dimensions of games, then of plays, as they were
	ranks    [][]uint32 // of the words, in the database's order
	outcomes []outcome
	gains    []int   // by code; a play's gain
	byGain   []int   // codes of known gains, the least gain first
	depths   []int   // by code; a throw's depth
	times    []int64 // by code; millionths of a second
	row      layout
	plays    int
	bytes    int
	version  int
	since    int      // cubes of this version and later can be brought up to this image
	changes  []change // since then
	cubes    *cubes
}

// A layout is where the numbers of a cell are: by outcome, by gain, by depth, by time.
type layout [5]int

// What a row has, in order.
const (
	ofOutcomes = iota
	ofGains
	ofDepths
	ofTimes
	ofAll
)

// ticked are the columns whose codes a row counts, in order.
var ticked = [ofAll]int{len(OfPlay), atGain, atDepth, atTime}

// lay says where numbers are in a row of so many outcomes, gains, depths and times.
func lay(sizes ...int) (r layout) {
	for i, n := range sizes {
		r[i+1] = r[i] + n
	}
	return r
}

// dicts are shared by all images that follow one another.
type dicts struct {
	of       []*dict // of games, then of plays
	outcomes map[outcome]uint32
	list     []outcome // by code
	versions int       // of images
}

// Plays is how many it holds, Bytes about how much memory they take.
func (im *Image) Plays() int { return im.plays }

// Bytes is about how much memory it takes, with what its cubes may.
func (im *Image) Bytes() int { return im.bytes + im.roomForCubes() }

// Games are all that have a play.
func (im *Image) Games() (n int) {
	for _, s := range im.segments {
		n += len(s.games)
	}
	return n
}

// OpponentOf is whose game it is; false: it has no counted play.
func (im *Image) OpponentOf(game ID) (ID, bool) {
	for _, s := range im.segments {
		if at, ok := s.find(game); ok {
			return s.games[at].opponent, true
		}
	}
	return ID{}, false
}

// dim is the place of a dimension among all words.
func dim(name string) int {
	at, ofGame := place(name)
	if !ofGame {
		at += len(OfGame)
	}
	return at
}
