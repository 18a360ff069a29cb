package stress

import (
	"math"
	"math/bits"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A BestChoice compares what is taught with what the same men could do at one
// release time: the same alignment, the same movement until a threat has
// declared, then a free choice of who takes what.
type BestChoice struct {
	Release field.Seconds
	Taught  field.Yards // how far the nearest man is from the catch of the most open live throw, as taught
	Best    field.Yards // the same under the best choice; never more than Taught
}

// BestChoices returns the comparison at every release with a live throw. The
// difference is what a better rule could win. extra men, if any, stand where
// they are told from the snap, as ones more than the call has.
func (r *Result) BestChoices(b motion.Boost, extra ...field.Point) []BestChoice {
	g := r.Rep
	var out []BestChoice
	for k, t := range g.Releases {
		live, taught := liveThrows(g, k)
		if len(live) == 0 {
			continue
		}
		var frees [][]motion.Free
		for _, j := range g.Cover {
			var row []motion.Free
			for _, i := range live {
				row = append(row, g.Free(j, i, k, b))
			}
			frees = append(frees, row)
		}
		for _, p := range extra {
			var row []motion.Free
			for _, i := range live {
				row = append(row, g.FreeFrom(p, i, k, b))
			}
			frees = append(frees, row)
		}
		out = append(out, BestChoice{t, taught, min(taught, max(0, bottleneck(frees)))})
	}
	return out
}

// liveThrows lists the receivers who can be thrown to at release k, and how far open the
// most open of them is as taught.
func liveThrows(g *motion.Rep, k int) (live []int, taught field.Yards) {
	taught = math.Inf(-1)
	for _, i := range g.Live[k] {
		if i == g.Run {
			break
		}
		live = append(live, i)
		taught = max(taught, g.Separation(i, k))
	}
	return live, taught
}

// bottleneck returns the smallest worst miss of giving every threat a man, a man
// at most two: two he takes at the price of standing between them. +Inf when
// there are too few men. Exhaustive with pruning: at most six threats.
func bottleneck(frees [][]motion.Free) field.Yards {
	if len(frees) == 0 {
		return math.Inf(1)
	}
	best, first := math.Inf(1), make([]int, len(frees))
	count := make([]int, len(frees))
	var place func(i int, worst field.Yards)
	place = func(i int, worst field.Yards) {
		if worst >= best {
			return
		}
		if i == len(frees[0]) {
			best = worst
			return
		}
		for j := range frees {
			price := frees[j][i].Miss
			switch count[j] {
			case 0:
				first[j] = i
			case 1:
				price = max(price, frees[j][first[j]].Between(&frees[j][i]))
			default:
				continue
			}
			count[j]++
			place(i+1, max(worst, price))
			count[j]--
		}
	}
	place(0, math.Inf(-1))
	return best
}

// An Outnumbered set is threats that together have fewer owners than they are
// (Hall 1935): however the owners share them, one is left over.
type Outnumbered struct {
	Threats, Men []int
	From, To     field.Seconds
}

// outnumbered finds the smallest such set at every release, and joins equal ones.
func outnumbered(g *motion.Rep) []Outnumbered {
	var out []Outnumbered
	var live [8]int
	var set, men uint32
	var judged [8]uint32
	threats := 0       // judged
	var last [2]uint32 // the set and its men, as bits
	for k, t := range g.Releases {
		var owners [8]uint32
		n := 0
		for _, i := range g.Live[k] {
			if i == g.Run {
				break
			}
			live[n] = i
			for _, j := range g.Cover {
				if g.Owes(j, i, k) > 0 {
					owners[n] |= 1 << j
				}
			}
			n++
		}
		if n != threats || owners != judged { // mostly they are those of the moment before
			judged, threats = owners, n
			set, men = violating(owners[:n])
		}
		if set == 0 {
			last = [2]uint32{}
			continue
		}
		var named uint32
		for x := range n {
			named |= set >> x & 1 << live[x]
		}
		now := [2]uint32{named, men}
		if now != last {
			out = append(out, Outnumbered{Threats: members(named), Men: members(men), From: t})
			last = now
		}
		out[len(out)-1].To = t
	}
	return out
}

// members lists the bits of a set.
func members(set uint32) (out []int) {
	for ; set != 0; set &= set - 1 {
		out = append(out, bits.TrailingZeros32(set))
	}
	return out
}

// violating returns the smallest set of threats that has fewer owners than
// members and those owners, as bits; the first in order among equals; 0 when
// there is none.
func violating(owners []uint32) (set, men uint32) {
	best := len(owners) + 1
	for s := uint32(1); s < 1<<len(owners); s++ {
		size := bits.OnesCount32(s)
		if size >= best {
			continue
		}
		var m uint32
		for x := range owners {
			if s>>x&1 == 1 {
				m |= owners[x]
			}
		}
		if bits.OnesCount32(m) < size {
			best, set, men = size, s, m
		}
	}
	return set, men
}
