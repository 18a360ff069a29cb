package stress

import (
	"cmp"
	"math"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A Kind says in what way one man is asked for two things.
type Kind string

const (
	HighLow   Kind = "high-low"  // one in front of him, one behind him
	InOut     Kind = "in-out"    // one to each side of him
	Deep      Kind = "deep"      // two deep routes
	Bait      Kind = "bait"      // a route that draws him from where another comes
	RunPass   Kind = "run-pass"  // the run he fits and a throw
	Exchange  Kind = "exchange"  // two men whose receivers change places
	Leverage  Kind = "leverage"  // one route that can break to either side of him
	Uncovered Kind = "uncovered" // nobody is put on it
)

// NoThreat stands for the second threat of a finding on one owner.
const NoThreat = -1

// A Finding is one open throw and the man it is put on.
type Finding struct {
	Man     int // index into the setup's men
	Kind    Kind
	Open    int // the threat that is open: a receiver's index, or RunThreat
	Other   int // the threat that holds him; Open again for the other branch of the route; NoThreat
	Size    field.Yards
	From    field.Seconds // releases at which it is open
	To      field.Seconds
	At      field.Seconds // release of the largest size
	Between field.Yards   // from the best spot he could have taken
	Spot    field.Point   // that spot
	Single  bool          // measured against par: he owes only this
	Choice  bool          // covered as taught if he guesses right, but no spot covers both
	area    field.Yards   // sum of the sizes over the releases
}

// finder gathers findings over the releases of one game.
type finder struct {
	g    *motion.Rep
	tune *Tuning
	all  []Finding
}

// Tuning holds the thresholds that turn windows into findings.
type Tuning struct {
	Least       field.Yards // nothing smaller is reported
	PairBetween field.Yards // a pair he could cover with this much to spare from a better spot is no two-way threat
	Nearness    float64
	TwoPlaces   field.Yards    // how much a pair no spot covers is preferred to one he could have covered
	Needed      [2]field.Yards // a threat others cover better than this does not hold him: of a help, of his own
	ParFloor    field.Yards
	Margin      field.Yards // what a lone owner may give beyond par
}

var defaultTuning = Tuning{Least: 0.3, PairBetween: -3, Nearness: 0.5, TwoPlaces: 3, ParFloor: 1.2, Margin: 1.5,
	Needed: [2]field.Yards{0, -0.5}}

func find(g *motion.Rep, tune *Tuning) []Finding {
	f := &finder{g: g, tune: tune}
	for k := range g.Releases {
		f.release(k)
	}
	return f.reduce()
}

// release looks at every throw that could be released at k.
func (f *finder) release(k int) {
	g, t := f.g, f.g.Releases[k]
	for _, i := range g.Live[k] {
		if i == g.Run {
			break
		}
		if g.Of(i)[k].Early {
			continue
		}
		open := g.Open(i, k)
		f.pairs(i, k, open)
		excess := open - max(g.Of(i)[k].Par+f.tune.Margin, f.tune.ParFloor)
		if excess > f.tune.Least {
			x := Finding{Man: owner(g, i, k), Kind: Leverage, Open: i, Other: NoThreat, Size: excess, Single: true}
			if x.Man < 0 {
				x.Man, x.Kind = max(0, g.Nearest(i, k)), Uncovered
			}
			f.add(x, t)
		}
	}
}

// owner is the man who owes a throw most, the nearest of those; -1: nobody.
func owner(g *motion.Rep, i, k int) int {
	best, grade, near := -1, 0, math.Inf(1)
	for _, j := range g.Cover {
		w := g.Window[j][i][k]
		if gr := g.Owes(j, i, k); gr > grade || gr == grade && gr > 0 && w < near {
			best, grade, near = j, gr, w
		}
	}
	return best
}

// pairs finds the man for whom the open throw i is one of two.
func (f *finder) pairs(i, k int, open field.Yards) {
	g, t := f.g, f.g.Releases[k]
	best, bestKey := Finding{Size: f.tune.Least}, math.Inf(-1)
	for _, j := range g.Cover {
		if open <= f.tune.Least && g.Without(j, i, k) <= f.tune.Least {
			continue // somebody else covers it: no choice of his leaves it open
		}
		gi := g.Owes(j, i, k)
		if gi == 0 {
			continue
		}
		for _, l := range g.Live[k] {
			gl := g.Owes(j, l, k)
			if l == i || gl == 0 || g.Of(l)[k].Early || f.relieved(j, l, k, gl) {
				continue
			}
			between := g.Between(j, i, l, k)
			eff := min(between, g.Without(j, i, k), g.Without(j, l, k))
			size := max(eff, open)
			if gi == 1 && gl == 1 {
				size = eff
			}
			fake := l == g.Run && g.Picture.Family != picture.RPO && g.Picture.Family != picture.Draw
			if fake {
				size = open // the fake is over when the ball is thrown: what counts is where it left him
			}
			if size <= f.tune.Least || between < f.tune.PairBetween {
				continue
			}
			key := between - f.tune.Nearness*(g.Window[j][i][k]-open)
			if fake {
				key -= max(0, between) // two passes at once hold him more than a fake that is over
			} else if between > 0 { // no spot covers both: this is the man it is put on
				key += f.tune.TwoPlaces
			}
			if key > bestKey {
				bestKey = key
				best = Finding{Man: j, Open: i, Other: l, Size: size, Between: between, Choice: size > open}
				best.Kind = f.kind(j, i, l, k, gi, gl)
				if best.Choice && l != g.Run && open < g.Open(l, k) {
					best.Open, best.Other = l, i // told from the side of the more open one
				}
			}
		}
		if fd, ok := f.mirror(j, i, k, open); ok && fd.Between > bestKey {
			bestKey, best = fd.Between, fd
		}
	}
	if best.Size > f.tune.Least {
		f.add(best, t)
	}
}

// relieved says that someone else has threat l so well in hand that it does not
// hold man j. A zone man works to what is open; a man with a receiver of his own
// goes with him, whoever helps, unless another's rule gives him the same one.
func (f *finder) relieved(j, l, k, grade int) bool {
	g, enough := f.g, f.tune.Needed[grade-1]
	if g.Without(j, l, k) > enough {
		return false
	}
	if grade == 1 || !g.Mans(j, l, k) {
		return true
	}
	return slices.ContainsFunc(g.Cover, func(m int) bool {
		return m != j && g.Owes(m, l, k) == 2 && g.Window[m][l][k] <= enough
	})
}

// mirror is the two-way threat of one route: man to man on the wrong side of a
// break that could go either way.
func (f *finder) mirror(j, i, k int, open field.Yards) (Finding, bool) {
	g, t := f.g, f.g.Releases[k]
	r := &g.Picture.Receivers[i]
	if g.Mirror[i] == nil || !g.Mirror[i][k].Live {
		return Finding{}, false
	}
	m := &g.Setup.Men[j]
	fork, turn := r.Fork()
	if t > fork+0.25 || !committed(m, i, r, fork) || !wrongSide(m, r, turn) {
		return Finding{}, false
	}
	between := g.MirrorBetween(j, i, k)
	eff := min(between, g.Without(j, i, k))
	if eff <= f.tune.Least {
		return Finding{}, false
	}
	return Finding{Man: j, Kind: Leverage, Open: i, Other: i, Size: max(eff, open), Between: between}, true
}

// wrongSide says that a man has his leverage away from the break, or that the
// receiver may yet break either way: an option, a second move, a release out
// of the backfield.
func wrongSide(m *duty.Man, r *picture.Receiver, t picture.Turn) bool {
	if r.Route.Mirror || len(r.Path.Breaks) > 1 {
		return true
	}
	inside := math.Abs(m.At.X) < math.Abs(r.At.X)
	return inside && t == picture.Out || !inside && t == picture.In
}

// committed says that a man plays the receiver man to man when he could still
// break either way: from the snap, or, on a double move, from its first part on.
func committed(m *duty.Man, i int, r *picture.Receiver, last field.Seconds) bool {
	at := field.Seconds(0)
	if len(r.Path.Breaks) > 1 {
		at = last
	}
	for _, d := range m.Owed(at) {
		if d.Verb == call.Man && d.Target == i {
			return true
		}
	}
	return false
}

func (f *finder) kind(j, i, l, k, gi, gl int) Kind {
	g := f.g
	if l == g.Run {
		return RunPass
	}
	a, b := g.Of(i)[k].At, g.Of(l)[k].At
	switch {
	case a.Y > 14 && b.Y > 14:
		return Deep
	case gi != gl:
		return Bait
	case math.Abs(a.Y-b.Y) > 0.8*math.Abs(a.X-b.X):
		return HighLow
	}
	return InOut
}

// add keeps the largest finding of a man between two threats and the interval.
func (f *finder) add(x Finding, t field.Seconds) {
	x.From, x.To, x.At, x.area = t, t, t, x.Size
	for i := range f.all {
		old := &f.all[i]
		if old.Man != x.Man || old.Open != x.Open || old.Other != x.Other {
			continue
		}
		from, area := old.From, old.area+x.Size
		if x.Size > old.Size {
			*old = x
		}
		old.From, old.To, old.area = from, t, area
		return
	}
	f.all = append(f.all, x)
}

// reduce makes one finding of one open throw: the two-way one if there is one.
func (f *finder) reduce() []Finding {
	out := f.all
	slices.SortStableFunc(out, byThrow)
	kept := out[:0]
	for _, x := range out {
		told := slices.ContainsFunc(kept, func(k Finding) bool {
			return k.Open == x.Open || k.Man == x.Man && k.Open == x.Other && k.Other == x.Open
		})
		if !told {
			kept = append(kept, x)
		}
	}
	slices.SortStableFunc(kept, func(a, b Finding) int { return cmp.Compare(b.Size, a.Size) })
	return kept
}

// byThrow orders findings of one throw: two-way before single, then by size over time.
func byThrow(a, b Finding) int {
	if a.Single != b.Single {
		if a.Single {
			return 1
		}
		return -1
	}
	return cmp.Or(cmp.Compare(b.area, a.area), cmp.Compare(a.Man, b.Man))
}
