package stress

import (
	"math"
	"slices"
	"strings"

	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// Numbers of a run: from one professional season (run_model of open plays 2022), by the
// men in the box; what an open or late gap adds to them is assumed.
const (
	stuffedAt, stuffedMan = -1.58, 0.106 // log odds of no gain, and of each man beyond seven in the box
	shortAt, shortMan     = -0.31, 0.137 // of one to three yards when it is not stuffed
	openGap               = 0.16         // a yard that the man of the aimed gap is late takes off either
	nobodys               = 2.5          // yards that a gap counts as late which is nobody's
	bubble                = 0.8          // and one that nobody stands in at the snap: its man comes from depth
	usualLate             = 0.55         // of the book against the built-in runs, so that the means are the season's
)

// A man stands in a gap who is so near to its middle, as deep as linemen are. Assumed.
const (
	inGap     field.Yards = 1
	onTheLine field.Yards = 2
)

// RunEnd is what a run meets where it is aimed.
type RunEnd struct {
	Box   int // men in the box
	Gap   string
	Late  field.Yards // of its man; nobodys when it has none
	Extra int         // who is the extra man: index into the setup's men, -1 nobody
	gap   Gap
	empty bool // nobody stands in the gap at the snap
}

// RunAt fits the call to the run of the picture and says what it meets at the aimed gap.
// The gap it may bend to counts where it is later by more than a yard.
func (r *Result) RunAt() RunEnd {
	run, fit := picture.LookupRun(r.Rep.Picture.Concept), r.RunFit()
	side := run.Side * r.Rep.Picture.Play
	at := RunEnd{Box: r.box(), Extra: -1}
	at.gap, at.Late = fit.lateness(run.Gap, side)
	if run.Bends != "" {
		if gap, late := fit.lateness(run.Bends, side); late > at.Late+1 {
			at.gap, at.Late = gap, late-1
		}
	}
	at.Gap = at.gap.Name
	at.empty = !slices.ContainsFunc(r.Rep.Setup.Men, func(m duty.Man) bool {
		return motion.Rushes(&m) && m.At.Y < onTheLine && math.Abs(m.At.X-at.gap.At.X) <= inGap
	})
	best := math.Inf(1)
	for _, j := range fit.Spare {
		m := &r.Rep.Setup.Men[j]
		if d := math.Abs(m.At.X - float64(side)*2); d < best {
			at.Extra, best = j, d
		}
	}
	return at
}

// lateness is how late the man of a gap is, the outermost one where the side has no such.
func (f *Fit) lateness(letter string, side int) (gap Gap, late field.Yards) {
	for n := range f.Gaps {
		if f.Gaps[n].Side != side {
			continue
		}
		gap, late = f.Gaps[n], max(0, f.Late[n])
		if f.Man[n] < 0 {
			late = nobodys
		}
		if strings.HasSuffix(gap.Name, letter) {
			break
		}
	}
	return gap, min(late, nobodys)
}

// box counts the men in the box.
func (r *Result) box() (n int) {
	for j := range r.Rep.Setup.Men {
		if r.inBox(&r.Rep.Setup.Men[j]) {
			n++
		}
	}
	return n
}

// runOutcome is how the run ends.
func (r *Result) runOutcome() *Outcome {
	o, at := &Outcome{}, r.RunAt()
	more, late := float64(at.Box-7), at.Late
	if at.empty {
		late += bubble
	}
	late = openGap * (late - usualLate)
	stuffed := logistic(stuffedAt + stuffedMan*more - late)
	short := (1 - stuffed) * logistic(shortAt+shortMan*more-late)
	four := 1 - stuffed - short
	o.spread(stuffed, stuffedGain)
	o.spread(short, shortGain)
	for n, p := range r.past(&at.gap) {
		o.add(n, four*p)
	}
	return o
}

// A gains is how gains spread between two: geometric, with a mean.
type gains struct {
	from  int
	share []float64 // of the gains from there on; they come to one
}

// How runs spread that end behind the line and short of four yards. The means are
// one professional season's (run_model of open plays 2022).
var (
	stuffedGain = spreadOver(-4, 0, -1.17)
	shortGain   = spreadOver(1, 3, 2.07)
)

// spread puts a chance on gains.
func (o *Outcome) spread(chance float64, g gains) {
	for n, w := range g.share {
		o.add(g.from+n, chance*w)
	}
}

// spreadOver finds the tilt that gives gains between two their mean.
func spreadOver(from, to int, mean float64) gains {
	low, high := -3.0, 3.0
	w := make([]float64, to-from+1)
	for range 40 {
		tilt, sum, first := (low+high)/2, 0.0, 0.0
		for n := range w {
			w[n] = math.Exp(tilt * float64(n+from-to))
			if tilt < 0 {
				w[n] = math.Exp(tilt * float64(n))
			}
			sum, first = sum+w[n], first+w[n]*float64(n+from)
		}
		if first/sum < mean {
			low = tilt
		} else {
			high = tilt
		}
		for n := range w {
			w[n] /= sum
		}
	}
	return gains{from, w}
}
