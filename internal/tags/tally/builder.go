package tally

import (
	"bytes"
	"cmp"
	"slices"
	"strconv"
)

// A Builder makes an image, or the next one after another. Only one at a time may
// follow an image; it is not safe for concurrent use.
type Builder struct {
	dicts  *dicts
	before *Image
	drafts map[ID]*draft
	gone   map[ID]bool
	shared map[ID]game
	done   []*segment
	bytes  int
}

// smallSegments is how many segments of less than half of a segment's plays an image has at most:
// more are put together, so that edits one by one leave no more than that behind.
const smallSegments = 8

// A draft is a game's plays while they come in: codes by column, then by play.
type draft struct {
	codes [][]uint16
	n     int
}

type game struct {
	opponent ID
	codes    []uint32
}

// New begins an image without plays, which has cubes from so many plays on; 0: always, whatever they
// take, for tests.
func New(cubedFrom int) *Builder {
	d := &dicts{outcomes: map[outcome]uint32{}}
	for range len(OfGame) + len(OfPlay) {
		d.of = append(d.of, newDict())
	}
	return (&Image{dicts: d, words: make([][]string, len(d.of)), ranks: make([][]uint32, len(d.of)),
		cubes: newCubes(cubedFrom)}).Next()
}

// Next begins the image after this one.
func (im *Image) Next() *Builder {
	return &Builder{dicts: im.dicts, before: im, drafts: map[ID]*draft{}, gone: map[ID]bool{},
		shared: map[ID]game{}, bytes: im.bytes}
}

// Replace takes a game's plays out; those it has now are added.
func (b *Builder) Replace(game ID) { b.gone[game] = true }

// Game says whose a game is and what all of its plays share, by OfGame; nil is unknown.
func (b *Builder) Game(id, opponent ID, shared [][]byte) {
	g := game{opponent, make([]uint32, len(shared))}
	for i, w := range shared {
		g.codes[i] = b.dicts.of[i].code(w)
	}
	b.shared[id] = g
}

// Play adds a play to a game that was named and replaced; words are by OfPlay, nil is unknown.
func (b *Builder) Play(id ID, words [][]byte) error {
	d := b.drafts[id]
	if d == nil {
		d = &draft{codes: make([][]uint16, len(OfPlay)+1)}
		b.drafts[id] = d
	}
	if d.n == mostInGame {
		return ErrRefused
	}
	for i, w := range words {
		c := b.dicts.of[len(OfGame)+i].code(w)
		if c > 1<<16-1 {
			return ErrRefused
		}
		d.codes[i] = append(d.codes[i], uint16(c))
	}
	o, err := outcomeOf(words)
	if err != nil {
		return err
	}
	c, ok := b.dicts.outcomes[o]
	if !ok {
		c = uint32(len(b.dicts.list))
		b.dicts.outcomes[o] = c
		b.dicts.list = append(b.dicts.list, o)
	}
	if c > 1<<16-1 {
		return ErrRefused
	}
	d.codes[len(OfPlay)] = append(d.codes[len(OfPlay)], uint16(c))
	d.n++
	return nil
}

// Flush packs the games that have come in: none of their plays may follow.
func (b *Builder) Flush() {
	ids := make([]ID, 0, len(b.drafts))
	for id := range b.drafts {
		ids = append(ids, id)
	}
	slices.SortFunc(ids, func(x, y ID) int { return bytes.Compare(x[:], y[:]) })
	p := &packer{}
	for _, id := range ids {
		g := b.shared[id]
		p.game(played{id: id, opponent: g.opponent, shared: g.codes}, b.drafts[id])
	}
	for _, s := range p.segments() {
		b.done = append(b.done, s)
		b.bytes += s.size()
	}
	clear(b.drafts)
}

// Bytes is about how much memory the games take that were flushed, and those of before.
func (b *Builder) Bytes() int { return b.bytes }

// Settle makes the image of what there is now. Words that have come in must be ranked
// before anything is asked of it: see Unranked.
func (b *Builder) Settle() (*Image, error) {
	b.dicts.versions++
	out := &Image{dicts: b.dicts, outcomes: b.dicts.list, cubes: b.before.cubes, version: b.dicts.versions}
	b.Flush()
	touched, now := b.touched(), change{version: out.version, plus: b.done}
	for _, s := range b.before.segments {
		if s = b.left(s, touched, &now); s != nil {
			out.segments = append(out.segments, s)
		}
	}
	out.segments = tidied(append(out.segments, b.done...))
	out.measure()
	out.follow(b.before, now)
	for i, d := range b.dicts.of {
		out.words = append(out.words, d.words)
		out.ranks = append(out.ranks, b.before.ranks[i])
	}
	return out, out.values()
}

// touched are the games replaced and named, by ID.
func (b *Builder) touched() (ids []ID) {
	if len(b.before.segments) == 0 {
		return nil
	}
	for id := range b.gone {
		ids = append(ids, id)
	}
	for id := range b.shared {
		ids = append(ids, id)
	}
	slices.SortFunc(ids, func(x, y ID) int { return bytes.Compare(x[:], y[:]) })
	return ids
}

// left is a segment of before without the games replaced, and with what they share now; itself
// where nothing of it was touched, nil where nothing of it is left.
func (b *Builder) left(s *segment, touched []ID, now *change) *segment {
	first, last := s.games[0].id, s.games[len(s.games)-1].id
	at, _ := slices.BinarySearchFunc(touched, first, func(x, y ID) int { return bytes.Compare(x[:], y[:]) })
	if at == len(touched) || bytes.Compare(touched[at][:], last[:]) > 0 {
		return s
	}
	var stay, gone, come []played
	for _, g := range s.games {
		named, ok := b.shared[g.id]
		switch {
		case b.gone[g.id]:
			gone = append(gone, g)
		case ok && (named.opponent != g.opponent || !slices.Equal(named.codes, g.shared)):
			gone = append(gone, g)
			g.opponent, g.shared = named.opponent, named.codes
			come, stay = append(come, g), append(stay, g)
		default:
			stay = append(stay, g)
		}
	}
	if gone == nil {
		return s
	}
	now.minus = append(now.minus, s.with(gone))
	if come != nil {
		now.plus = append(slices.Clip(now.plus), s.with(come))
	}
	if stay == nil {
		return nil
	}
	return s.with(stay)
}

// with is a segment of the same columns with some of its games.
func (s *segment) with(games []played) *segment {
	out := *s
	out.games = games
	return &out
}

// tidied puts small segments together where there are many.
func tidied(all []*segment) []*segment {
	small := func(s *segment) bool { return s.plays() < inSegment/2 }
	var some []*segment
	for _, s := range all {
		if small(s) {
			some = append(some, s)
		}
	}
	if len(some) <= smallSegments {
		return all
	}
	return append(slices.DeleteFunc(all, small), together(some)...)
}

// measure adds up the plays of the segments and the bytes they take.
func (im *Image) measure() {
	for _, s := range im.segments {
		im.plays += s.plays()
		im.bytes += s.size()
	}
}

// values reads the numbers among the words.
func (im *Image) values() (err error) {
	if im.gains, err = numbers(im.words[len(OfGame)+atGain]); err != nil {
		return err
	}
	if im.depths, err = numbers(im.words[len(OfGame)+atDepth]); err != nil {
		return err
	}
	for c := 1; c < len(im.gains); c++ {
		im.byGain = append(im.byGain, c)
	}
	slices.SortFunc(im.byGain, func(a, b int) int { return cmp.Compare(im.gains[a], im.gains[b]) })
	times := im.words[len(OfGame)+atTime]
	im.times = make([]int64, len(times))
	for i := 1; i < len(times); i++ {
		if im.times[i], err = micros(times[i]); err != nil {
			return err
		}
	}
	im.row = lay(len(im.outcomes), len(im.gains), len(im.depths), len(im.times))
	return nil
}

func numbers(words []string) ([]int, error) {
	out := make([]int, len(words))
	for i := 1; i < len(words); i++ {
		n, err := strconv.Atoi(words[i])
		if err != nil {
			return nil, ErrRefused
		}
		out[i] = n
	}
	return out, nil
}

// Unranked lists the words of every dimension that has got new ones, by the place that
// Rank wants.
func (im *Image) Unranked() map[int][]string {
	out := map[int][]string{}
	for i, ws := range im.words {
		if len(im.ranks[i]) != len(ws) && len(ws) > 1 {
			out[i] = ws[1:]
		}
	}
	return out
}

// Rank takes the words of a dimension that Unranked named in the order that the database
// has them, before the image is asked anything.
func (im *Image) Rank(at int, sorted []string) {
	place := make(map[string]uint32, len(sorted))
	for i, w := range sorted {
		place[w] = uint32(i + 1)
	}
	ranks := []uint32{1<<32 - 1} // the unknown is last
	for _, w := range im.words[at][1:] {
		ranks = append(ranks, place[w])
	}
	im.ranks[at] = ranks
}
