package tally

import (
	"bytes"
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

// New begins an image without plays.
func New() *Builder {
	d := &dicts{outcomes: map[outcome]uint32{}}
	for range len(OfGame) + len(OfPlay) {
		d.of = append(d.of, newDict())
	}
	return (&Image{dicts: d, words: make([][]string, len(d.of)), ranks: make([][]uint32, len(d.of))}).Next()
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
	out := &Image{dicts: b.dicts, outcomes: b.dicts.list}
	b.Flush()
	touched := b.touched()
	for _, s := range b.before.segments {
		if s = b.left(s, touched); s != nil {
			out.segments = append(out.segments, s)
		}
	}
	out.segments = tidied(append(out.segments, b.done...))
	out.measure()
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
func (b *Builder) left(s *segment, touched []ID) *segment {
	first, last := s.games[0].id, s.games[len(s.games)-1].id
	at, _ := slices.BinarySearchFunc(touched, first, func(x, y ID) int { return bytes.Compare(x[:], y[:]) })
	if at == len(touched) || bytes.Compare(touched[at][:], last[:]) > 0 {
		return s
	}
	out := *s
	out.games = make([]played, 0, len(s.games))
	for _, g := range s.games {
		if b.gone[g.id] {
			continue
		}
		if now, ok := b.shared[g.id]; ok {
			g.opponent, g.shared = now.opponent, now.codes
		}
		out.games = append(out.games, g)
	}
	if len(out.games) == 0 {
		return nil
	}
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
func (im *Image) values() error {
	depths, times := im.words[len(OfGame)+atDepth], im.words[len(OfGame)+atTime]
	im.depths, im.times = make([]int64, len(depths)), make([]spell, len(times))
	for i := 1; i < len(depths); i++ {
		n, err := strconv.Atoi(depths[i])
		if err != nil {
			return ErrRefused
		}
		im.depths[i] = pack(n)
	}
	for i := 1; i < len(times); i++ {
		n, err := micros(times[i])
		if err != nil {
			return err
		}
		im.times[i] = spell{n, 1}
	}
	im.sort()
	return nil
}

// sort tells outcomes apart by all but their gain.
func (im *Image) sort() {
	most, at := 0, map[outcome]uint16{}
	for _, o := range im.outcomes {
		im.least, most = min(im.least, int(o.gain)), max(most, int(o.gain))
		o.gain = 0
		k, ok := at[o]
		if !ok {
			k = uint16(len(im.kinds))
			at[o] = k
			im.kinds = append(im.kinds, o)
		}
		im.kindOf = append(im.kindOf, k)
	}
	im.gains = most - im.least + 1
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

// Rank says in which order the database has the words of a dimension that Unranked named,
// before the image is asked anything.
func (im *Image) Rank(at int, ranks []uint32) {
	im.ranks[at] = append([]uint32{1<<32 - 1}, ranks...) // the unknown is last
}

// pack holds how many and their sum in one number, so that both are added at once.
func pack(n int) int64 { return 1<<32 + int64(n) }

func unpack(packed int64) (n, sum int) {
	s := int64(int32(packed))
	return int((packed - s) >> 32), int(s)
}
