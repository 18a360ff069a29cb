package stress

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A Gap is a space that a run can go through, between two blockers at the line or
// outside of the last one. Common practice, no source: every blocker at the line makes one.
type Gap struct {
	Name string // "strong B"
	Side int    // sign of x
	At   field.Point
	Hit  field.Seconds // when a runner can be there
}

// A Fit says who has which gap of a run: the assignment that leaves no gap that can
// be filled open, and is least late. Linemen hold the gap they stand in; the others go
// where their run role lets them (trade notes 3.13), from the snap, the later the less
// their first key is the run.
type Fit struct {
	Gaps []Gap
	Man  []int // by gap: index into the setup's men, -1: nobody's
	// by gap: how far its man is from it when the runner can be there, beyond an arm's length;
	// negative: to spare
	Late  []field.Yards
	Spare []int // men with a run role and no gap
	// Force is, by side (strong, weak), who turns the run back inside at the edge, five
	// yards outside of the last blocker: -1 nobody. He may have the last gap as well.
	Force     [2]int
	ForceLate [2]field.Yards
}

// How long after the mesh a runner can be in a gap: inside, outside the tackle, outside
// the tight end, at the edge; later on the side away from the play. Assumed.
const (
	hitInside field.Seconds = 0.6
	hitWider  field.Seconds = 0.3 // each gap further out
	hitEdge   field.Seconds = 1.5
	hitAway   field.Seconds = 0.3
	usualMesh field.Seconds = 0.8 // of a play that shows none
)

// RunFit fits the call to an inside or outside run from the picture's set; gone are men
// who play the pass instead. It says what the rules and the distances say: it blocks
// nobody.
func (r *Result) RunFit(gone ...int) *Fit {
	g := r.Rep
	f := &Fit{Gaps: gaps(g.Setup, mesh(g.Clock.Mesh))}
	fitters := make([][]choice, len(f.Gaps))
	var roles []int
	for j := range g.Setup.Men {
		if slices.Contains(gone, j) || !fitsRun(&g.Setup.Men[j]) {
			continue
		}
		roles = append(roles, j)
		for n := range f.Gaps {
			if mayFit(&g.Setup.Men[j], &f.Gaps[n], g.Picture.Play, f.outermost(n)) {
				fitters[n] = append(fitters[n], choice{j, late(g.Params, &g.Setup.Men[j], &f.Gaps[n])})
			}
		}
	}
	f.Man, f.Late = assign(fitters)
	for _, j := range roles {
		if !slices.Contains(f.Man, j) {
			f.Spare = append(f.Spare, j)
		}
	}
	for n, side := range []int{g.Setup.Strong, -g.Setup.Strong} {
		f.Force[n], f.ForceLate[n] = r.force(f, side, gone)
	}
	return f
}

// force is the force man of a side, else the alley man, else the man with the last gap.
func (r *Result) force(f *Fit, side int, gone []int) (man int, short field.Yards) {
	g := r.Rep
	edge := Gap{Side: side, At: field.Point{X: float64(side) * (g.Setup.EndMan(side) + 5), Y: 1}, Hit: mesh(g.Clock.Mesh) +
		hitEdge}
	for _, role := range []string{"force", "alley"} {
		man, short = -1, math.Inf(1)
		for j := range g.Setup.Men {
			if m := &g.Setup.Men[j]; m.Slot.Fit == role && m.Side == side && !slices.Contains(gone, j) && (role == "force" ||
				!slices.Contains(f.Man, j)) {
				if l := late(g.Params, m, &edge); l < short {
					man, short = j, l
				}
			}
		}
		if man >= 0 {
			return man, short
		}
	}
	for n := range f.Gaps {
		if f.Gaps[n].Side == side && f.outermost(n) && f.Man[n] >= 0 {
			return f.Man[n], f.Late[n]
		}
	}
	return -1, 0
}

// mesh is when the runner has the ball, of a play that shows none the usual moment.
func mesh(t field.Seconds) field.Seconds {
	if t == 0 {
		return usualMesh
	}
	return t
}

// gaps lists the gaps of a set from the middle out, the strong side first.
func gaps(s *duty.Setup, start field.Seconds) (out []Gap) {
	const lineman = 1.6 // center to guard to tackle, as drawn
	for _, side := range []int{s.Strong, -s.Strong} {
		name, away := "strong ", 0.0
		if side != s.Strong {
			name = "weak "
		}
		if side != s.Picture.Play {
			away = hitAway
		}
		end := s.EndMan(side)
		put := func(what string, x field.Yards, after field.Seconds) {
			out = append(out, Gap{name + what, side, field.Point{X: float64(side) * x, Y: 1}, start + after + away})
		}
		put("A", lineman/2, hitInside)
		put("B", lineman*1.5, hitInside)
		put("C", 2*lineman+0.8, hitInside+hitWider)
		if end > 2*lineman {
			put("D", end+0.8, hitInside+2*hitWider)
		}
	}
	return out
}

// outermost says that a gap is the last of its side.
func (f *Fit) outermost(n int) bool {
	return n+1 == len(f.Gaps) || f.Gaps[n+1].Side != f.Gaps[n].Side
}

func fitsRun(m *duty.Man) bool { return m.Slot.Fit != "" || motion.Rushes(m) }

// mayFit says that a man's run role lets him have a gap: trade notes 3.13, and what the
// words mean by common practice.
func mayFit(m *duty.Man, gap *Gap, play int, outermost bool) bool {
	letter, own := gap.Name[len(gap.Name)-1], gap.Side == m.Side
	if motion.Rushes(m) {
		lane := 1.7
		if m.Slot.Body != "lineman" {
			lane = 2.5 // he comes from further away
		}
		return math.Abs(m.At.X-gap.At.X) <= lane
	}
	switch m.Slot.Fit {
	case "gap":
		return own
	case "plug":
		return letter == 'A' || letter == 'B'
	case "cutback":
		return gap.Side == -play
	case "alley":
		return outermost
	case "force":
		return own && outermost
	}
	return false
}

// late is how far a man is from a gap when the runner can be there. Who fits inside
// starts when he sees run; who reads a receiver first a little later.
func late(p *motion.Params, m *duty.Man, gap *Gap) field.Yards {
	way := m.At.Dist(gap.At) - p.Contest
	if m.Slot.Body == "lineman" {
		return min(0, way) // mayFit says that he stands in it
	}
	start := p.Start
	if !motion.Rushes(m) && (!call.Inside(m.Slot.Fit) || m.Slot.Fit == "alley") {
		start += p.RunRead
	}
	return way - p.Speed(m.Slot.Runs).Reach(gap.Hit-start)
}

// A choice is a man for a gap and how late he is there.
type choice struct {
	man  int
	late field.Yards
}

// cost is never negative, so that pruning is sound.
func (c *choice) cost() float64 { return max(0, c.late) + 0.01*(c.late+120) }

// cheapest leaves out of a gap's men whom no best assignment needs: the other gaps take
// fewer men than there are gaps, so that one of so many cheapest is always free.
func cheapest(men []choice, gaps int) []choice {
	if len(men) <= gaps {
		return men
	}
	byCost := slices.Clone(men)
	slices.SortStableFunc(byCost, func(a, b choice) int { return cmp.Compare(a.cost(), b.cost()) })
	return byCost[:gaps]
}

// assign gives every gap a man, no man two gaps: as many gaps as possible, then the
// least sum of yards late, then of yards at all. Exhaustive with pruning: a gap has few
// men who may fit it.
func assign(fitters [][]choice) (man []int, late []field.Yards) {
	n := len(fitters)
	for i := range fitters {
		fitters[i] = cheapest(fitters[i], n)
	}
	now, best := make([]choice, n), make([]choice, n)
	least, used := math.Inf(1), map[int]bool{}
	const nobody = 1000.0
	var place func(i int, cost float64)
	place = func(i int, cost float64) {
		if cost >= least {
			return
		}
		if i == n {
			least = cost
			copy(best, now)
			return
		}
		for _, c := range fitters[i] {
			if used[c.man] {
				continue
			}
			used[c.man], now[i] = true, c
			place(i+1, cost+c.cost())
			used[c.man] = false
		}
		now[i] = choice{-1, 0}
		place(i+1, cost+nobody)
	}
	place(0, 0)
	for _, c := range best {
		man, late = append(man, c.man), append(late, c.late)
	}
	return man, late
}

// Open lists the gaps nobody has, or whose man is late.
func (f *Fit) Open() (out []int) {
	for n := range f.Gaps {
		if f.Man[n] < 0 || f.Late[n] > 0 {
			out = append(out, n)
		}
	}
	return out
}

// Instead says what becomes of the run when the man of a run-pass finding plays the
// pass; empty for another finding.
func (r *Result) Instead(x *Finding) string {
	if x.Kind != RunPass {
		return ""
	}
	with, without := r.RunFit(), r.RunFit(x.Man)
	var said []string
	for _, n := range without.Open() {
		gap := "the " + without.Gaps[n].Name + " gap"
		switch j := without.Man[n]; {
		case j < 0 && with.Man[n] >= 0:
			said = append(said, "nobody has "+gap)
		case j >= 0 && (with.Man[n] != j || with.Late[n] != without.Late[n]):
			said = append(said, fmt.Sprintf("the %s has %s, %s late", r.Defender(j), gap, yards(without.Late[n])))
		}
	}
	for n, side := range []string{"strong", "weak"} {
		if with.Force[n] == x.Man && without.Force[n] < 0 {
			said = append(said, "nobody forces on the "+side+" side")
		}
	}
	if len(said) == 0 {
		return "Play the pass, and every gap still has its man."
	}
	return "Play the pass, and " + strings.Join(said, "; ") + "."
}
