package ask

import (
	"context"
	"maps"
	"math/bits"
	"slices"
	"strings"

	"overhang/internal/tags"
)

// fewestPrograms must be behind a cell of an association's answer. Statistical agencies ask for
// three or five respondents (OECD Glossary of Statistical Terms, "threshold rule", SEEN): with
// two, each reads the other's plays off by taking away its own; with five it takes four together.
const fewestPrograms = 5

// What a program has behind a cell: plays, and of those with a known call, gain,
// success, explosive or not.
type behind [5]int32

func behindOf(c *tags.Cell) behind {
	return behind{int32(c.Plays), int32(c.Runs + c.Passes), int32(c.GainKnown), int32(c.SuccessKnown),
		int32(c.ExplosiveKnown)}
}

// A pool is what each program has in a cell, in their order.
type pool []behind

func (p pool) add(program int, c behind) {
	for i, n := range c {
		p[program][i] += n
	}
}

// and is two cells as one.
func (p pool) and(q pool) pool {
	if p == nil {
		return slices.Clone(q)
	}
	for program, c := range q {
		p.add(program, c)
	}
	return p
}

func (p pool) plays() (n int) {
	for _, c := range p {
		n += int(c[0])
	}
	return n
}

// tells reports whether a cell says something of one program: too few programs are behind one of its
// numbers, or one of them has more than half of it (the dominance rule).
func (p pool) tells() bool {
	for i := range (behind{}) {
		programs, most, sum := 0, int32(0), int32(0)
		for _, c := range p {
			if c[i] > 0 {
				programs++
			}
			most, sum = max(most, c[i]), sum+c[i]
		}
		if sum > 0 && (programs < fewestPrograms || 2*most > sum) {
			return true
		}
	}
	return false
}

// A choice of dimensions, one bit each.
type choice = int

func all(dims int) choice { return 1<<dims - 1 }

// keyOf is the values of the chosen dimensions as one word.
func keyOf(keys []*string, chosen choice) string {
	var b strings.Builder
	for i, k := range keys {
		switch {
		case chosen>>i&1 == 0:
			b.WriteByte(2)
		case k == nil: // no value, nor two of them in a row, looks like it
			b.WriteByte(1)
		default:
			b.WriteString(*k)
		}
		b.WriteByte(0)
	}
	return b.String()
}

// A hiding is the table by some of the dimensions: which cells there are, and which are left out.
type hiding struct {
	chosen choice
	rows   []choice // by fewer dimensions, the most first: a cell of each is a row of this table
	order  []string // keys
	keys   map[string][]*string
	pools  map[string]pool
	hidden map[string]bool
}

// hide says which cells of the table by all dimensions are left out, by keyOf. Who asks for
// tables by fewer of the dimensions can take sums apart: the plays of a row less its other
// cells are the cell that was left out. So every table by some of the dimensions is worked out,
// the smaller ones first; what one leaves out is left out of the larger ones, and in each row of
// each table what is left out must not tell of one program even when it is all added up: else the
// smallest cell beside it goes too (complementary suppression).
func hide(ctx context.Context, dims int, shared [][]tags.Cell) (map[string]bool, error) {
	tables := map[choice]*hiding{}
	order := make([]choice, 0, 1<<dims)
	for c := range choice(1 << dims) {
		order = append(order, c)
	}
	slices.SortStableFunc(order, func(a, b choice) int { return bits.OnesCount(uint(a)) - bits.OnesCount(uint(b)) })
	for _, chosen := range order {
		h := tabulate(chosen, shared)
		tables[chosen] = h
		h.inherit(dims, tables)
		if len(h.pools) > mostLeagueCells {
			return nil, tags.Fieldf(tags.Invalid, "by", "more than %d cells with the filters: ask by fewer dimensions",
				mostLeagueCells)
		}
		for ctx.Err() == nil && (h.complement() || h.audit(tables)) {
		}
	}
	return tables[all(dims)].hidden, ctx.Err()
}

func tabulate(chosen choice, shared [][]tags.Cell) *hiding {
	h := &hiding{chosen: chosen, keys: map[string][]*string{}, pools: map[string]pool{}, hidden: map[string]bool{}}
	for row := range chosen {
		if row&^chosen == 0 {
			h.rows = append(h.rows, row)
		}
	}
	slices.SortStableFunc(h.rows, func(a, b choice) int { return bits.OnesCount(uint(b)) - bits.OnesCount(uint(a)) })
	for program, cells := range shared {
		for i := range cells {
			key := keyOf(cells[i].Keys, chosen)
			if h.pools[key] == nil {
				h.pools[key], h.keys[key] = make(pool, len(shared)), cells[i].Keys
			}
			h.pools[key].add(program, behindOf(&cells[i]))
		}
	}
	h.order = slices.Sorted(maps.Keys(h.pools))
	return h
}

// inherit leaves out what tells by itself, and what lies in a cell that a smaller table leaves out.
func (h *hiding) inherit(dims int, tables map[choice]*hiding) {
	for key, p := range h.pools {
		out := p.tells()
		for d := range dims {
			if h.chosen>>d&1 == 1 {
				smaller := h.chosen &^ (1 << d)
				out = out || tables[smaller].hidden[keyOf(h.keys[key], smaller)]
			}
		}
		if out {
			h.hidden[key] = true
		}
	}
}

// complement leaves out more until what is left out of each row, added up, tells of nobody; it
// reports whether it left anything out.
func (h *hiding) complement() (more bool) {
	for _, row := range h.rows {
		cells := map[string][]string{}
		for _, key := range h.order {
			at := keyOf(h.keys[key], row)
			cells[at] = append(cells[at], key)
		}
		for _, of := range cells {
			more = h.cover(of) || more
		}
	}
	return more
}

// cover leaves out the smallest cells of a row until all that is left out of it tells of nobody.
func (h *hiding) cover(cells []string) (more bool) {
	var gone pool
	var left []string
	for _, key := range cells {
		if h.hidden[key] {
			gone = gone.and(h.pools[key])
		} else {
			left = append(left, key)
		}
	}
	slices.SortStableFunc(left, func(a, b string) int { return h.pools[a].plays() - h.pools[b].plays() })
	for ; gone.tells() && len(left) > 0; left = left[1:] {
		gone = gone.and(h.pools[left[0]])
		h.hidden[left[0]], more = true, true
	}
	return more
}

// audit leaves out a cell beside each that tells of one program and follows from what this table
// and the smaller ones show: unknowns are the cells that are left out, and every shown cell of a
// smaller table says what those within it come to.
func (h *hiding) audit(tables map[choice]*hiding) (more bool) {
	in := map[string][]string{} // of a cell that is left out: what is shown around it
	for key := range h.hidden {
		for _, row := range h.rows {
			if around := keyOf(h.keys[key], row); !tables[row].hidden[around] {
				in[key] = append(in[key], around)
			}
		}
	}
	for _, key := range following(in) {
		if h.pools[key].tells() {
			more = h.beside(key) || more
		}
	}
	return more
}

// beside leaves out the smallest shown cell of the smallest row around a cell that has one.
func (h *hiding) beside(cell string) bool {
	for _, row := range h.rows {
		best, within := "", keyOf(h.keys[cell], row)
		for _, key := range h.order {
			if !h.hidden[key] && keyOf(h.keys[key], row) == within &&
				(best == "" || h.pools[key].plays() < h.pools[best].plays()) {
				best = key
			}
		}
		if best != "" {
			h.hidden[best] = true
			return true
		}
	}
	return false
}
