package tally

import (
	"fmt"
	"maps"
	"slices"
	"sync"
)

// A cube is all plays of an image counted by some dimensions: a row for each combination of their
// words that a play has. Every question whose dimensions and filters are among them is adding rows up.
type cube struct {
	dims    []int  // places among all words
	version int    // of the image
	row     layout // of the image
	codes   []uint32
	counts  []uint32
}

// A change is what one image has otherwise than the image before: plays that are not there any more, and new
// ones.
type change struct {
	version     int
	minus, plus []*segment
}

func (c *change) plays() (n int) {
	for _, s := range slices.Concat(c.minus, c.plus) {
		n += s.plays()
	}
	return n
}

// follow notes what changed: as much as is less to count than a small part of the plays. A cube older
// than that is counted anew when it is asked for.
func (im *Image) follow(before *Image, now change) {
	im.since = before.since
	if before.plays == 0 {
		im.since = im.version
		return
	}
	im.changes = append(slices.Clip(before.changes), now)
	n, most := 0, im.plays/changed
	if im.cubes.from == 0 {
		most = im.plays
	}
	for i := len(im.changes) - 1; i >= 0; i-- {
		if n += im.changes[i].plays(); n > most {
			im.since, im.changes = im.changes[i].version, im.changes[i+1:]
			break
		}
	}
}

const (
	changed  = 64 // so small a part of the plays may have changed since a cube was counted
	ofColumn = 8  // so small a part of an image's memory its cubes may take in addition
	mostSeen = 1000
)

func (im *Image) roomForCubes() int {
	if im.plays < im.cubes.from {
		return 0
	}
	return im.bytes / ofColumn
}

// cubes are made of what is asked: of the dimensions and filters of a question that comes a second time,
// whatever the filters let through. All images that follow one another share them.
type cubes struct {
	from  int // plays of an image; 0: always, whatever they take
	mu    sync.Mutex
	seen  map[string]*asked // by dimensions
	clock int               // questions
}

// An asked is what is known of some dimensions that were asked for.
type asked struct {
	cube *cube
	busy bool // it is being counted, or is not worth it
	last int  // by the clock
}

func newCubes(from int) *cubes { return &cubes{from: from, seen: map[string]*asked{}} }

// of is the cube for a question, nil where the columns are to be counted.
func (cs *cubes) of(q *question) *cube {
	if q.im.plays < cs.from {
		return nil
	}
	dims := q.dims()
	key := fmt.Sprint(dims)
	c, count := cs.look(q.im, key)
	if !count {
		return c
	}
	if c = q.im.cube(dims); c != nil {
		cs.keep(q.im, key, c)
	}
	return c
}

// look finds a cube that can be brought up to an image; count: there is none and who asks should
// count it.
func (cs *cubes) look(im *Image, key string) (c *cube, count bool) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	cs.clock++
	a := cs.seen[key]
	if a == nil {
		if len(cs.seen) >= mostSeen {
			maps.DeleteFunc(cs.seen, func(_ string, a *asked) bool { return a.cube == nil })
		}
		cs.seen[key] = &asked{last: cs.clock}
		return nil, false
	}
	a.last = cs.clock
	if a.cube != nil && im.since <= a.cube.version && a.cube.version <= im.version {
		return a.cube, false
	}
	if a.busy || a.cube != nil && a.cube.version > im.version {
		return nil, false
	}
	a.busy = true // and so it stays where a cube is not worth it
	return nil, true
}

// keep keeps a cube, and lets those go that were not asked for the longest where they take too much.
func (cs *cubes) keep(im *Image, key string, c *cube) {
	cs.mu.Lock()
	defer cs.mu.Unlock()
	cs.seen[key] = &asked{cube: c, last: cs.clock}
	for cs.from > 0 && cs.bytes() > im.roomForCubes() {
		var oldest *asked
		for _, a := range cs.seen {
			if a.cube != nil && (oldest == nil || a.last < oldest.last) {
				oldest = a
			}
		}
		oldest.cube = nil
	}
}

func (cs *cubes) bytes() (n int) {
	for _, a := range cs.seen {
		if a.cube != nil {
			n += a.cube.size()
		}
	}
	return n
}

// Cubes is how many cubes there are.
func (im *Image) Cubes() (n int) {
	im.cubes.mu.Lock()
	defer im.cubes.mu.Unlock()
	for _, a := range im.cubes.seen {
		if a.cube != nil {
			n++
		}
	}
	return n
}

// dims are the places of a question's dimensions and filters.
func (q *question) dims() []int {
	out := slices.Clone(q.by)
	for _, s := range q.sieves {
		out = append(out, s.dim)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// cube counts the columns by dimensions; nil: adding its rows up would cost no less than the columns.
func (im *Image) cube(dims []int) *cube {
	q := &question{im: im, by: dims}
	q.weigh()
	if !q.fits() {
		return nil
	}
	c := &cube{dims: dims, version: im.version, row: im.row}
	for _, p := range q.matrix().piles() {
		for _, code := range q.codes(p.key) {
			c.codes = append(c.codes, uint32(code))
		}
		c.counts = append(c.counts, p.counts...)
	}
	if im.cubes.from > 0 && (len(c.counts) > im.plays || c.size() > im.roomForCubes()) {
		return nil
	}
	c.codes, c.counts = slices.Clone(c.codes), slices.Clone(c.counts)
	return c
}

func (c *cube) size() int { return 4*len(c.codes) + 4*len(c.counts) }

// answer counts a question: the rows that it lets through, and what has changed since.
func (c *cube) answer(q *question) *matrix {
	m := newMatrix(q)
	c.roll(m)
	var gone *matrix
	for _, x := range q.im.changes {
		if x.version <= c.version {
			continue
		}
		for _, s := range x.plus {
			q.spans(s, m.add)
		}
		for _, s := range x.minus {
			if gone == nil {
				gone = newMatrix(q)
			}
			q.spans(s, gone.add)
		}
	}
	if gone != nil {
		for i, n := range gone.counts {
			m.counts[i] -= n
		}
	}
	return m
}

// roll adds rows up.
func (c *cube) roll(m *matrix) {
	q, n := m.q, len(c.dims)
	where := func(dim int) int { return slices.Index(c.dims, dim) }
	var by, let []int
	for _, d := range q.by {
		by = append(by, where(d))
	}
	for _, s := range q.sieves {
		let = append(let, where(s.dim))
	}
	for i := range len(c.codes) / n {
		codes, in, key := c.codes[i*n:(i+1)*n], true, 0
		for k, s := range q.sieves {
			in = in && s.let[codes[let[k]]] == 1
		}
		if !in {
			continue
		}
		for k, at := range by {
			key += int(codes[at]) * int(q.radix[k])
		}
		m.row(key, c.counts[i*c.row[ofAll]:(i+1)*c.row[ofAll]], &c.row)
	}
}

// row adds a row of another image, of which this one may have more numbers, to a cell.
func (m *matrix) row(key int, counts []uint32, of *layout) {
	to := &m.q.im.row
	cell := m.counts[key*to[ofAll] : (key+1)*to[ofAll]]
	for k := range ticked {
		from := counts[of[k]:of[k+1]]
		into := cell[to[k]:][:len(from)]
		for i, n := range from {
			into[i] += n
		}
	}
}
