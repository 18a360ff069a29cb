package stress

import (
	"context"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/stress/points"
)

// A Result is a call played against a picture, as taught.
type Result struct {
	Rep      *motion.Rep
	Findings []Finding // largest first
	Throws   []Throw   // each receiver at his best moment for the passer
	Stress   float64   // chance of success for the offense, 0 to 1
	Value    Value     // of a result that was weighed: what it gives up over its downs
	Warnings []string
	ends     []end // worked out so far
	rater    rater // the same of the receivers
	chase    *chase
	// Outnumbered lists the smallest sets of threats that have fewer owners than
	// they are, by the rules alone.
	Outnumbered []Outnumbered
	// Gray holds the findings under the other reading of the band between the
	// call's under and vertical thresholds, when a route breaks in it.
	Gray []Finding
}

// A Setting is what an evaluation is asked under.
type Setting struct {
	// Balance is where the strong side lies when both sides have as many
	// receivers: +1 (usual) the play side, -1 the other.
	Balance   int
	ToGain    ToGain
	Points    *points.Table // what downs are worth; nil: as in the season, whose kicking is professional
	Explosive field.Yards   // a gain that counts as explosive; 0: 16
	// ExplosiveRun is the same of a run; 0: as of a pass
	ExplosiveRun field.Yards
}

// Usual is first and ten, the strong side to the play side.
var Usual = Setting{Balance: 1, ToGain: ToGain{Need: 4}}

// Prepare makes what depends on the picture alone; use it for many calls.
func Prepare(p *picture.Picture, params *motion.Params) *motion.Play {
	return motion.Prepare(p, params)
}

// An Evaluator plays one call after another and remembers the men of the last
// picture: play all calls against one picture before the next. It is not safe
// for concurrent use; a Result is good until the next Evaluate.
type Evaluator struct {
	rooms   map[int]*motion.Scratch // by how the down is played: see motion.Play.On
	answers map[answer]*motion.Scratch
	asked   seat // of what was asked for,
	beside  seat // and of how else it is read, or answered
}

// A seat is room for one play at a time, used again for the next: all that is made of a play is as much
// work to make room for as to move two men.
type seat struct {
	setup  duty.Setup
	rep    *motion.Rep
	finder finder
	result Result
}

// play sets a call against a picture and plays it.
func (s *seat) play(compiled *call.Compiled, pl *motion.Play, balance int, reading field.Yards,
	sc *motion.Scratch) *Result {
	duty.Again(&s.setup, compiled, pl.Picture, balance, reading)
	s.rep = motion.Again(s.rep, pl, &s.setup, sc)
	old := &s.result
	s.result = Result{Rep: s.rep, ends: old.ends[:0], rater: old.rater.again(), chase: old.chase}
	return &s.result
}

// find finds what is open in the play.
func (s *seat) find() []Finding { return s.finder.find(s.rep, &defaultTuning) }

// An answer is a picture whose receivers answer a look, by how the down is played.
type answer struct {
	look picture.Look
	band int
}

// room is where men against a play are remembered, emptied when there are too many.
func room[K comparable](rooms *map[K]*motion.Scratch, of K, most int) *motion.Scratch {
	if *rooms == nil {
		*rooms = map[K]*motion.Scratch{}
	}
	sc := (*rooms)[of]
	if sc == nil {
		sc = &motion.Scratch{}
		(*rooms)[of] = sc
	}
	if sc.Men() > most {
		sc.Forget()
	}
	return sc
}

// remembered bounds what an Evaluator keeps: some 15 MB.
const remembered = 4000

// Evaluate plays a call against a prepared picture. It fails only when ctx has
// ended, before anything is played.
func Evaluate(ctx context.Context, compiled *call.Compiled, pl *motion.Play, set Setting) (*Result, error) {
	return new(Evaluator).Evaluate(ctx, compiled, pl, set)
}

// Evaluate plays a call against a prepared picture, as the function does: a caller that
// plays one after another stops within one of them when nobody waits any more. The defense
// knows the down and what it needs, as set has them.
func (e *Evaluator) Evaluate(ctx context.Context, compiled *call.Compiled, pl *motion.Play,
	set Setting) (*Result, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return e.inFull(compiled, set.ToGain.on(pl), &set), nil
}

// inFull is a call against a picture, with all that is told of it.
func (e *Evaluator) inFull(compiled *call.Compiled, pl *motion.Play, set *Setting) *Result {
	c := compiled.Call
	sc := room(&e.rooms, pl.Band, remembered)
	r := e.asked.play(compiled, pl, set.Balance, c.Vertical, sc)
	r.Findings = e.asked.find()
	r.Throws = r.throws(set.ToGain)
	r.Stress = stressOf(r.Throws)
	r.Outnumbered = outnumbered(r.Rep)
	if who := grayBreak(pl.Picture, c.Under, c.Vertical); who >= 0 {
		found := r.Findings
		if e.beside.play(compiled, pl, set.Balance, c.Under, sc); !e.beside.rep.Same(r.Rep) {
			found = e.beside.find()
		}
		r.Gray = slices.Clone(found)
		r.Warnings = append(r.Warnings, "the break of "+r.Threat(who)+
			" lies between the call's under and vertical thresholds: both readings were played")
	}
	return r
}

// grayBreak returns the first receiver whose route breaks inside the band, or -1.
func grayBreak(p *picture.Picture, under, vertical field.Yards) int {
	for i := range p.Receivers {
		r := &p.Receivers[i]
		if r.Blocks() || !r.Named || len(r.Path.Breaks) == 0 {
			continue
		}
		if d := r.Path.Breaks[0].Depth; d > under && d < vertical {
			return i
		}
	}
	return -1
}
