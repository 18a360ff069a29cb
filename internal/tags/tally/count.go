package tally

import (
	"cmp"
	"runtime"
	"slices"
	"sync"

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
	s := &sums{make([]int, len(im.kinds)), make([]int, im.gains)}
	for i, p := range piles {
		out[i] = q.cell(p, s)
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
	shared []sieve
	plays  []sieve
}

// A sieve lets codes of a dimension through: 1.
type sieve struct {
	at  int // in games or in plays
	let []uint8
}

func (im *Image) question(by []string, filters map[string][]string) *question {
	q := &question{im: im, count: 1}
	for _, d := range by {
		q.by = append(q.by, dim(d))
	}
	q.radix = make([]uint64, len(by))
	for i := len(q.by) - 1; i >= 0; i-- {
		q.radix[i] = q.count
		q.count *= uint64(max(1, len(im.words[q.by[i]])))
	}
	for d, values := range filters {
		at, ofGame := place(d)
		words := im.words[dim(d)]
		s := sieve{at, make([]uint8, max(1, len(words)))}
		for _, v := range values {
			if v == "" {
				s.let[0] = 1
			}
			if c, ok := im.dicts.of[dim(d)].find(v); ok && int(c) < len(s.let) {
				s.let[c] = 1
			}
		}
		if ofGame {
			q.shared = append(q.shared, s)
		} else {
			q.plays = append(q.plays, s)
		}
	}
	return q
}

// run counts, in two halves at once where there is much.
func (q *question) run() []*pile {
	if q.fits() {
		ms := shared(q, newMatrix)
		for _, m := range ms[1:] {
			ms[0].take(m)
		}
		return ms[0].piles()
	}
	return merged(shared(q, newTally))
}

// shared lets workers count their part of the games each.
func shared[W interface{ add(*segment) }](q *question, begin func(*question) W) []W {
	workers := 1
	if q.im.plays > manyPlays {
		workers = min(4, runtime.NumCPU()) // a server has more threads than that: see lanes
	}
	out := make([]W, workers)
	work := func(w int) {
		out[w] = begin(q)
		for _, s := range q.im.segments[len(q.im.segments)*w/workers : len(q.im.segments)*(w+1)/workers] {
			out[w].add(s)
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
