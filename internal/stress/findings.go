package stress

import (
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
	Man   int // index into the setup's men
	Kind  Kind
	Open  int // the threat that is open: a receiver's index
	Other int // the threat that holds him; Open again for the other branch of the route; NoThreat
	// Size is how far the nearest man is from the catch when the ball thrown at At comes down:
	// Rep.Separation. Of a choice it is how far from the worse catch the best spot leaves him.
	Size    field.Yards
	Over    field.Yards   // how much more open than one good man would leave it, at most: findings are ranked by it
	From    field.Seconds // releases at which it is open
	To      field.Seconds
	At      field.Seconds // release at which it is most open
	Between field.Yards   // from the best spot he could have taken
	Single  bool          // he owes only this
	Choice  bool          // covered as taught if he guesses right, but no spot covers both
	Weak    bool          // open at a single moment, the last of the play
	Twin    bool          // the same is told of his fellow on the other side, and left out
	Wrong   bool          // of an exchange: he is on the wrong side of the route as well
	area    field.Yards   // sum of Over over the releases
}

// finder gathers findings over the releases of one game; its room is used again for the next.
type finder struct {
	g      *motion.Rep
	tune   *Tuning
	all    []Finding
	grades []uint8 // of the release looked at, by man and threat: see owes
}

// Tuning holds the thresholds that turn windows into findings.
type Tuning struct {
	Least       field.Yards // nothing less over what one good man allows is reported
	Two         field.Yards // the same of a man who has two: half of it
	PairBetween field.Yards // a pair he could cover with this much to spare from a better spot is no two-way threat
	Nearness    float64
	TwoPlaces   field.Yards    // how much a pair no spot covers is preferred to one he could have covered
	Needed      [2]field.Yards // a threat others cover better than this does not hold him: of a help, of his own
	Hopeless    field.Yards    // help that misses by more is no help
	Traffic     field.Yards    // two receivers who change places so near each other are in the way of their men
	Held        field.Yards    // a threat without whom he would be so much nearer holds him
	Hold        field.Yards    // and their bodies must cost a man so much of the way to a throw
	Margin      field.Yards    // what a lone owner may give beyond what one good man does: men have their days
	Late        field.Yards    // the same of one who is not on the wrong side of the break: he is late, no more
}

var defaultTuning = Tuning{Least: 0.3, Two: 0.15, PairBetween: -0.5, Nearness: 0.5, TwoPlaces: 3, Margin: 1.5,
	Late:   2.5,
	Needed: [2]field.Yards{0, -0.5}, Hopeless: 6, Traffic: 3, Hold: 0.5, Held: 2}

func (f *finder) find(g *motion.Rep, tune *Tuning) []Finding {
	n := len(g.Setup.Men) * (g.Run + 1)
	f.g, f.tune, f.all, f.grades = g, tune, f.all[:0], slices.Grow(f.grades[:0], n)[:n]
	clear(f.grades)
	for k := range g.Releases {
		graded := false
		for _, i := range g.Live[k] {
			if i == g.Run {
				break
			}
			if !g.Of(i)[k].Early && g.Next(i, k) > tune.Least { // else two men have it
				if !graded {
					graded = true
					f.grade(k)
				}
				f.pairs(i, k)
				f.single(i, k)
			}
			f.outleveraged(i, k)
		}
	}
	return f.reduce()
}

// over is by how much a throw is missed more than one good man with nothing else to do
// would miss it, from the better shade: the one allowance of all findings.
func (f *finder) over(i, k int) field.Yards { return f.g.Open(i, k) - max(0, f.g.Of(i)[k].Par) }

// single tells an open throw of its owner alone, or of the man who is nearest where nobody
// owes it.
func (f *finder) single(i, k int) {
	g, over := f.g, f.over(i, k)
	if over <= f.tune.Margin+f.tune.Least {
		return
	}
	x := Finding{Man: f.owner(i, k), Kind: Leverage, Open: i, Other: NoThreat, Over: over, Single: true}
	switch {
	case x.Man < 0:
		x.Man, x.Kind = max(0, g.Nearest(i, k)), Uncovered
	case g.Of(i)[k].At.Y < dead && !f.had(x.Man, i, k):
		return
	case over <= f.tune.Late+f.tune.Least && !f.across(x.Man, i):
		return
	}
	if x.Kind == Leverage && g.Mans(x.Man, i, k) && f.beaten(x.Man, i) {
		x = f.through(x, k)
	}
	f.add(x, k)
}

// dead is how far downfield a zone gives the ball: its men drop over what is caught nearer and
// rally to it, which is told only where two hold one of them. The notes say 5 yd of a catch (trade notes 3.0,
// with their sources); half a yard more is the hitch of six that comes back to five.
const dead field.Yards = 5.5

// had says that man j has receiver i of release k man to man and had him when he broke: one who is handed a short
// receiver later comes up to him as a zone does.
func (f *finder) had(j, i, k int) bool {
	fork, _ := f.g.Picture.Receivers[i].Fork()
	return f.g.Mans(j, i, k) && (math.IsInf(fork, 1) ||
		slices.ContainsFunc(f.g.Setup.Men[j].Owed(fork), func(d duty.Duty) bool { return d.Target == i }))
}

// owner is the man who owes a throw most; where nobody does any more, who owed it until the receiver
// declared; -1: nobody.
func (f *finder) owner(i, k int) int {
	if j := f.most(i, k, f.owes); j >= 0 {
		return j
	}
	return f.most(i, k, func(j, i int) int { return f.g.Owes(j, i, k) &^ 1 })
}

// most is the man who owes a throw most, he who has the receiver man to man before he who is under
// him, the nearest of those; -1: nobody.
func (f *finder) most(i, k int, owes func(j, i int) int) int {
	g := f.g
	best, grade, near := -1, 0, math.Inf(1)
	for _, j := range g.Cover {
		gr, w := owes(j, i), g.Window[j][i][k]
		if gr == 2 && g.Mans(j, i, k) {
			gr++
		}
		if gr > grade || gr == grade && gr > 0 && w < near {
			best, grade, near = j, gr, w
		}
	}
	return best
}

// pairs finds the man for whom the open throw i is one of two.
func (f *finder) pairs(i, k int) {
	g := f.g
	best, bestKey := Finding{Over: f.tune.Two}, math.Inf(-1)
	covered, forks := g.Open(i, k) <= f.tune.Two, g.Mirror[i] != nil && g.Mirror[i][k].Live
	for _, j := range g.Cover {
		if f.owes(j, i) == 0 || f.gives(j, i, k) || covered && g.Without(j, i, k) <= f.tune.Two {
			continue // of those who owe it somebody else covers it: no choice of his leaves it open
		}
		for _, l := range g.Live[k] {
			if l == i || f.owes(j, l) == 0 || f.gives(j, l, k) {
				continue
			}
			if x, key, ok := f.pair(j, i, l, k); ok && key > bestKey {
				bestKey, best = key, x
			}
		}
		if forks {
			if x, ok := f.mirror(j, i, k); ok && x.Between > bestKey {
				bestKey, best = x.Between, x
			}
		}
		if best.Over <= f.tune.Two {
			if x, ok := f.exchange(j, i, k); ok {
				best = x
			}
		}
	}
	if best.Over <= f.tune.Two {
		best = f.held(i, k)
	}
	if best.Over > f.tune.Two {
		f.add(best, k)
	}
}

// held is the open throw i of a man whom another of his keeps from it, though a better spot
// might cover both: without that one he would be two yards nearer. He may give as much as
// a lone owner.
func (f *finder) held(i, k int) (best Finding) {
	g, over, most := f.g, f.over(i, k), f.tune.Held
	if over <= f.tune.Margin+f.tune.Least {
		return best
	}
	for _, j := range g.Cover {
		gi := f.owes(j, i)
		if gi == 0 || f.gives(j, i, k) {
			continue
		}
		for _, l := range g.Live[k] {
			gl := f.owes(j, l)
			if l == i || l == g.Run || gl == 0 || g.Of(l)[k].Early || f.gives(j, l, k) {
				continue
			}
			if held := g.Held(j, i, l, k); held >= most {
				most = held
				best = Finding{Man: j, Kind: f.kind(j, i, l, k, gi, gl), Open: i, Other: l, Over: over,
					Between: g.Between(j, i, l, k)}
			}
		}
	}
	return best
}

// pair is the two-way threat of throws i and l on man j, with how much it is preferred.
// What is open as taught is told as it is; a pair that is covered as taught, but from no
// one spot and by no help, is a choice.
func (f *finder) pair(j, i, l, k int) (x Finding, key float64, ok bool) {
	g := f.g
	gi, gl := f.owes(j, i), f.owes(j, l)
	if g.Of(l)[k].Early || f.relieved(j, l, k, gl) {
		return x, 0, false
	}
	between := g.Between(j, i, l, k)
	if between < f.tune.PairBetween {
		return x, 0, false
	}
	x = Finding{Man: j, Kind: f.kind(j, i, l, k, gi, gl), Open: i, Other: l, Over: f.over(i, k), Between: between}
	spot := min(between, g.Without(j, i, k), g.Without(j, l, k))
	fake := l == g.Run && g.Picture.Family != picture.RPO && g.Picture.Family != picture.Draw
	if !fake && l != g.Run && spot > g.Open(i, k) && g.Open(l, k) > g.Open(i, k) {
		x.Open, x.Other, x.Over = l, i, f.over(l, k) // told from the side of the more open one
	}
	if !fake && x.Over <= f.tune.Two { // no more than one good man would leave, but he has two
		x.Choice, x.Over = max(g.Open(i, k), g.Open(x.Open, k)) <= f.tune.Two, spot
	}
	key = between - f.tune.Nearness*(g.Window[j][i][k]-g.Open(i, k))
	if fake {
		key -= max(0, between) // two passes at once hold him more than a fake that is over
	} else if between > 0 { // no spot covers both: this is the man it is put on
		key += f.tune.TwoPlaces
	}
	return x, key, x.Over > f.tune.Two
}

// relieved says that someone else has threat l so well in hand that it does not
// hold man j. A zone man works to what is open; a man with a receiver of his own
// goes with him, no matter who helps, unless another's rule gives him the same one.
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
func (f *finder) add(x Finding, k int) {
	t := f.g.Releases[k]
	x.From, x.To, x.At, x.area = t, t, t, x.Over
	x.Size = f.g.Separation(x.Open, k)
	if x.Choice {
		x.Size = x.Over + f.g.Params.Contest
	}
	for i := range f.all {
		old := &f.all[i]
		if old.Man != x.Man || old.Open != x.Open || old.Other != x.Other {
			continue
		}
		from, area, over := old.From, old.area+x.Over, max(old.Over, x.Over)
		if x.Size > old.Size {
			*old = x
		}
		old.From, old.To, old.area, old.Over = from, t, area, over
		return
	}
	f.all = append(f.all, x)
}

// exchange is the throw to a receiver of man j who has changed places with another: the body
// of that one, or of his man, is what keeps man j from it.
func (f *finder) exchange(j, i, k int) (Finding, bool) {
	over := f.over(i, k)
	if over <= f.tune.Least || !f.g.Mans(j, i, k) {
		return Finding{}, false
	}
	other := f.trades(i, k)
	return Finding{Man: j, Kind: Exchange, Open: i, Other: other, Over: over},
		other >= 0 && f.g.HeldUp(j, i, k) >= f.tune.Hold
}

// owes is Rep.Owes at the release looked at, but for help that is hopeless and throws on the border of
// a deep zone.
func (f *finder) owes(j, i int) int { return int(f.grades[j*(f.g.Run+1)+i]) }

// grade works out who owes what at release k.
func (f *finder) grade(k int) {
	g, threats := f.g, f.g.Run+1
	for _, j := range g.Cover {
		owed := g.Setup.Men[j].Owed(g.Releases[k])
		for _, i := range g.Live[k] {
			grade := g.Owes(j, i, k)
			if grade == 2 && reads(owed, i) {
				grade = g.Comes(j, i, k)
			}
			if grade == 1 && g.Window[j][i][k] > f.tune.Hopeless {
				grade = 0
			}
			if grade == 0 && i != g.Run {
				grade = f.borders(owed, j, i, k)
			}
			f.grades[j*threats+i] = uint8(grade)
		}
	}
}

// reads says that a man who owes so has receiver i only as long as he reads him: what he owes is what his rule
// gives him when the ball comes down.
func reads(owed []duty.Duty, i int) bool {
	for n := range owed {
		if d := &owed[n]; d.Verb == call.Read && d.Target == i {
			return true
		}
	}
	return false
}

// gives says that man j only helps on the receiver of throw i, and lets him have what is caught short: who
// helps is over him.
func (f *finder) gives(j, i, k int) bool {
	th := &f.g.Of(i)[k]
	return th.At.Y < dead && f.owes(j, i) == 1 &&
		!slices.ContainsFunc(f.g.Setup.Men[j].Owed(f.g.Releases[k]), func(d duty.Duty) bool {
			return d.Verb == call.InZone && d.Zone.Holds(th.At)
		})
}

// border is how far beyond the edge of a deep zone a throw is still on it. Common practice, no source.
const border field.Yards = 1

// borders is how man j owes a throw that comes down on the border of his deep zone, which meets the
// next where underneath ones overlap: like one in it, but where another has it for sure, man to man or
// a yard inside of his zone.
func (f *finder) borders(owed []duty.Duty, j, i, k int) (grade int) {
	g, t, at := f.g, f.g.Releases[k], f.g.Of(i)[k].At
	for n := range owed {
		switch d := &owed[n]; {
		case d.Verb != call.InZone || d.Zone.Sink > 0 || d.Zone.Inside(at) < -border:
		case d.Help:
			grade = max(grade, 1)
		default:
			grade = 2
		}
	}
	sure := func(m int) bool {
		return m != j && g.Owes(m, i, k) == 2 && slices.ContainsFunc(g.Setup.Men[m].Owed(t), func(d duty.Duty) bool {
			return d.Target == i || d.Verb == call.InZone && !d.Help && d.Zone.Inside(at) > border
		})
	}
	if grade > 0 && slices.ContainsFunc(g.Cover, sure) {
		return 0
	}
	return grade
}
