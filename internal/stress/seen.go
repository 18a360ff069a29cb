package stress

import (
	"cmp"
	"context"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A Down is a situation in which a picture was seen, and on how many plays.
type Down struct {
	ToGain
	Plays float64 // only the ratios matter
}

// A Seen is a picture with the downs it was run on: one picture ready to be played for
// each stretch of the field, since near the goal line the field ends.
type Seen struct {
	Play      *motion.Play // where it was seen most
	Downs     []Down       // there; none: the situation of the setting
	Elsewhere []Seen       // on other stretches; of these nothing is elsewhere
	// Lift is by how much more often this offense succeeds than the geometry says; of one
	// elsewhere it is not looked at
	Lift float64
}

// plays is how often it was seen on this stretch.
func (s *Seen) plays() (n float64) {
	for i := range s.Downs {
		n += s.Downs[i].Plays
	}
	return max(n, 1e-9)
}

// Weigh plays a call against a picture on every stretch of the field where it was seen, once
// for the downs that are played alike, and values every down by what it asks for. The result is
// that of the stretch where it was seen most and of the downs that most of it was on, as the
// picture is drawn; its Value, and its Stress, which is the value's chance of success, are the
// mean over all downs, and over whether receivers run their answer to what the call shows
// (picture.Converts). It is good until the next Evaluate. It fails only when ctx ends.
func (e *Evaluator) Weigh(ctx context.Context, compiled *call.Compiled, s *Seen, set Setting) (*Result, error) {
	var r *Result
	var sum Value
	all := s.Asked(&set)
	for n := range all {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		a := &all[n]
		r = e.Play(compiled, a, &set, n == len(all)-1)
		ends := e.Ends(r, &set)
		a.Add(&sum, func(d *ToGain) Worth { return ends.On(d, &set) })
	}
	sum.Lift(s.Lift)
	r.Value, r.Stress = sum, sum.Success
	return r, nil
}

// Tell is Weigh for who wants to know only what is found: it plays the downs that are told of, as
// the picture is drawn, and values nothing.
func (e *Evaluator) Tell(ctx context.Context, compiled *call.Compiled, s *Seen, set Setting) (*Result, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return e.inFull(compiled, s.bands(&set)[0].Play, &set), nil
}

// An Asked is a picture on downs that are played alike.
type Asked struct {
	Play  *motion.Play
	Downs []Down  // one at least
	Share float64 // of all plays of the picture
	plays float64
}

// Asked is what has to be played to weigh a call against the picture; what is told of it is told
// of the last.
func (s *Seen) Asked(set *Setting) (out []Asked) {
	total := s.plays()
	for i := range s.Elsewhere {
		total += s.Elsewhere[i].plays()
		out = append(out, s.Elsewhere[i].bands(set)...)
	}
	here := s.bands(set)
	out = append(append(out, here[1:]...), here[0])
	for n := range out {
		out[n].Share = out[n].plays / total
	}
	return out
}

// bands sorts the downs by how they are played, those with most plays first; without a down it is
// the setting's.
func (s *Seen) bands(set *Setting) (out []Asked) {
	downs := s.Downs
	if len(downs) == 0 {
		downs = []Down{{set.ToGain, 1}}
	}
	for _, d := range downs {
		pl := d.on(s.Play)
		at := slices.IndexFunc(out, func(b Asked) bool { return b.Play == pl })
		if at < 0 {
			at, out = len(out), append(out, Asked{Play: pl})
		}
		out[at].Downs, out[at].plays = append(out[at].Downs, d), out[at].plays+d.Plays
	}
	if len(s.Downs) == 0 {
		out[0].plays = s.plays()
	}
	slices.SortStableFunc(out, func(a, b Asked) int { return cmp.Compare(b.plays, a.plays) })
	return out
}

// Add puts to a mean what the picture's downs are worth on average.
func (a *Asked) Add(sum *Value, worth func(*ToGain) Worth) {
	var mean Worth
	total := 0.0
	for i := range a.Downs {
		total += a.Downs[i].Plays
	}
	for i := range a.Downs {
		w := worth(&a.Downs[i].ToGain)
		mean.Drawn.plus(a.Downs[i].Plays/total, w.Drawn)
		mean.Answered.plus(a.Downs[i].Plays/total, w.Answered)
		mean.Answers = w.Answers
	}
	sum.plus(a.Share, mean.value())
}

// on is a picture as it is played on such a down.
func (s *ToGain) on(pl *motion.Play) *motion.Play { return pl.On(s.Down, s.Need) }

// Play plays a call against a picture on downs that are played alike; told is whether it is to
// be told of, or only valued. It is good until the next one.
func (e *Evaluator) Play(compiled *call.Compiled, a *Asked, set *Setting, told bool) *Result {
	if told {
		return e.inFull(compiled, a.Play, set)
	}
	sc := room(&e.rooms, a.Play.Band, remembered)
	return e.asked.play(compiled, a.Play, set.Balance, compiled.Call.Vertical, sc)
}

// pointsPerSuccess is what a success is worth in points more than a failure, within a
// situation: one professional season's fit (the weights of success, gains of twenty and more
// and interceptions are 1.93, 1.57 and -3.9).
const pointsPerSuccess = 1.93

// Lift moves the chance of success by so much, within what a chance can be, and the points
// with it.
func (v *Value) Lift(by float64) {
	by = max(0, min(1, v.Success+by)) - v.Success
	v.Success += by
	v.Points += pointsPerSuccess * by
}

// Weigh plays a call against a picture with the downs it was seen on.
func Weigh(ctx context.Context, compiled *call.Compiled, s *Seen, set Setting) (*Result, error) {
	return new(Evaluator).Weigh(ctx, compiled, s, set)
}

// Ends is how a call ends against a picture, no matter what the down asks for.
type Ends struct {
	Drawn    *Outcome // as the picture is drawn
	Answered *Outcome // where receivers run the answers that their routes have to what it shows; nil: none has one
	run      bool
}

// Ends is how a result ends that was played last.
func (e *Evaluator) Ends(r *Result, set *Setting) Ends {
	ends := Ends{Drawn: r.Outcome(), run: r.Rep.Picture.Family == picture.Run}
	look := r.Rep.Picture.Asked(r.Rep.Setup.Look())
	if pl := r.Rep.Answered(look); pl != nil {
		sc := room(&e.answers, answer{look, pl.Band}, remembered/4)
		c := r.Rep.Setup.Compiled
		ends.Answered = e.beside.play(c, pl, set.Balance, c.Call.Vertical, sc).Outcome()
	}
	return ends
}

// A Worth is what one down is worth: as the picture is drawn, and where receivers answer.
type Worth struct {
	Drawn, Answered Value
	Answers         bool // some receiver has an answer
}

// On values a down.
func (x *Ends) On(d *ToGain, set *Setting) (w Worth) {
	if x.run && set.ExplosiveRun > 0 {
		run := *set
		run.Explosive, set = run.ExplosiveRun, &run
	}
	w.Drawn = x.Drawn.On(*d, set)
	if w.Answers = x.Answered != nil; w.Answers {
		w.Answered = x.Answered.On(*d, set)
	}
	return w
}

// value is the mean over whether receivers run their answers.
func (w *Worth) value() (v Value) {
	if !w.Answers {
		return w.Drawn
	}
	v.plus(1-picture.Converts, w.Drawn)
	v.plus(picture.Converts, w.Answered)
	return v
}

// Outcome is how the play ends. Of what the down asks for it hangs on how the defense plays
// it alone (motion.Play.On).
func (r *Result) Outcome() *Outcome {
	if r.Rep.Picture.Family == picture.Run {
		return r.runOutcome()
	}
	return r.passOutcome(r.best())
}
