package tally

import (
	"cmp"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"overhang/internal/tags"
)

// A Cell is a group of plays, with the plays of it whose down or distance is unknown.
type Cell struct {
	tags.Cell
	Unsituated int
}

// Worth two workers: below it one is done before the other has begun.
const manyPlays = 50_000

// Count counts the plays by dimensions under filters ("" asks for the unknown), most
// frequent cell first and by keys among equals, in the database's order. It panics on a
// dimension that is none.
func (im *Image) Count(by []string, filters map[string][]string) []Cell {
	q := im.question(by, filters)
	piles := q.run()
	q.sort(piles, true)
	out := make([]Cell, len(piles))
	few := make([]uint32, im.row[ofAll])
	for i, p := range piles {
		out[i] = q.cell(p, few)
	}
	return out
}

// Numbers counts by dimensions under filters how many there are, in the order of the keys.
func (im *Image) Numbers(by []string, filters map[string][]string) []tags.Count {
	q := im.question(by, filters)
	piles := q.run()
	q.sort(piles, false)
	out := make([]tags.Count, len(piles))
	for i, p := range piles {
		out[i] = tags.Count{Keys: q.keys(p.key), Plays: p.n}
	}
	return out
}

// A question as codes.
type question struct {
	im     *Image
	by     []int    // places among all words
	radix  []uint64 // what a code of each weighs in a key
	count  uint64   // how many keys there could be
	sieves []sieve
	shared []sieve // of them, of games
	plays  []sieve
}

// A sieve lets codes of a dimension through: 1.
type sieve struct {
	dim int // place among all words
	at  int // in games or in plays
	let []uint8
}

func (im *Image) question(by []string, filters map[string][]string) *question {
	q := &question{im: im}
	for _, d := range by {
		q.by = append(q.by, dim(d))
	}
	q.weigh()
	for d, values := range filters {
		at, ofGame := place(d)
		words := im.words[dim(d)]
		s := sieve{dim(d), at, make([]uint8, max(1, len(words)))}
		for _, v := range values {
			if v == "" {
				s.let[0] = 1
			}
			if c, ok := im.dicts.of[dim(d)].find(v); ok && int(c) < len(s.let) {
				s.let[c] = 1
			}
		}
		q.sieves = append(q.sieves, s)
		if ofGame {
			q.shared = append(q.shared, s)
		} else {
			q.plays = append(q.plays, s)
		}
	}
	return q
}

// weigh says what codes weigh in keys.
func (q *question) weigh() {
	q.count, q.radix = 1, make([]uint64, len(q.by))
	for i := len(q.by) - 1; i >= 0; i-- {
		q.radix[i] = q.count
		q.count *= uint64(max(1, len(q.im.words[q.by[i]])))
	}
}

// run counts: out of a cube where there is one, or in halves at once where there is much.
func (q *question) run() []*pile {
	if !q.fits() {
		return merged(shared(q, newTally))
	}
	if c := q.im.cubes.of(q); c != nil {
		return c.answer(q).piles()
	}
	return q.matrix().piles()
}

// matrix counts the columns.
func (q *question) matrix() *matrix {
	ms := shared(q, newMatrix)
	for _, m := range ms[1:] {
		ms[0].take(m)
	}
	return ms[0]
}

// shared lets workers count their part of the games each.
func shared[W interface{ add(*span) }](q *question, begin func(*question) W) []W {
	workers := 1
	if q.im.plays > manyPlays {
		workers = min(4, runtime.NumCPU()) // a server has more threads than that: see lanes
	}
	out := make([]W, workers)
	var next atomic.Int64
	work := func(w int) {
		out[w] = begin(q)
		for at := next.Add(1) - 1; int(at) < len(q.im.segments); at = next.Add(1) - 1 {
			q.spans(q.im.segments[at], out[w].add)
		}
	}
	var wg sync.WaitGroup
	for w := range workers - 1 {
		wg.Go(func() { work(w) })
	}
	work(workers - 1) // here: who asks for a little wakes nobody else
	wg.Wait()
	return out
}

// spans hands over the plays of a segment whose games meet the filters.
func (q *question) spans(s *segment, add func(*span)) {
	x := &span{segment: s}
	for i := 0; i < len(s.games); i++ {
		if !q.lets(&s.games[i]) {
			continue
		}
		first := i
		for i+1 < len(s.games) && s.games[i+1].from == s.games[i].to && q.lets(&s.games[i+1]) {
			i++
		}
		x.games, x.from, x.to = s.games[first:i+1], s.games[first].from, s.games[i].to
		add(x)
	}
}

// lets says that a game's own words meet the filters.
func (q *question) lets(g *played) bool {
	for _, f := range q.shared {
		if f.let[g.shared[f.at]] == 0 {
			return false
		}
	}
	return true
}

// ofGame is what a game's own words weigh in a key.
func (q *question) ofGame(g *played) (key uint64) {
	for i, d := range q.by {
		if d < len(OfGame) {
			key += uint64(g.shared[d]) * q.radix[i]
		}
	}
	return key
}

// keys are the words of a key; nil is unknown.
func (q *question) keys(key uint64) []*string {
	out := make([]*string, len(q.by))
	for i, c := range q.codes(key) {
		if c > 0 {
			out[i] = &q.im.words[q.by[i]][c]
		}
	}
	return out
}

func (q *question) codes(key uint64) []uint64 {
	out := make([]uint64, len(q.by))
	for i := range q.by {
		out[i] = key / q.radix[i]
		key %= q.radix[i]
	}
	return out
}

// sort puts piles into the order of their keys, as the database would; by how many plays
// first where that is asked.
func (q *question) sort(piles []*pile, frequent bool) {
	for _, p := range piles {
		p.order = q.codes(p.key)
		for i, c := range p.order {
			if r := q.im.ranks[q.by[i]]; r != nil {
				p.order[i] = uint64(r[c])
			}
		}
	}
	slices.SortFunc(piles, func(a, b *pile) int {
		if c := cmp.Compare(b.n, a.n); frequent && c != 0 {
			return c
		}
		return slices.Compare(a.order, b.order)
	})
}
