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
	var sum Value
	total := s.plays()
	for i := range s.Elsewhere {
		total += s.Elsewhere[i].plays()
	}
	for i := range s.Elsewhere {
		o := &s.Elsewhere[i]
		for _, b := range o.bands(&set) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			sum.plus(b.plays/total, e.weighed(compiled, &b, &set))
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	all := s.bands(&set)
	for i := range all[1:] {
		sum.plus(all[1+i].plays/total, e.weighed(compiled, &all[1+i], &set))
	}
	r := e.inFull(compiled, all[0].play, &set)
	sum.plus(all[0].plays/total, e.answered(r, all[0].downs, &set))
	sum.lift(s.Lift)
	r.Value, r.Stress = sum, sum.Success
	return r, nil
}

// Tell is Weigh for who wants to know only what is found: it plays the downs that are told of, as
// the picture is drawn, and values nothing.
func (e *Evaluator) Tell(ctx context.Context, compiled *call.Compiled, s *Seen, set Setting) (*Result, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return e.inFull(compiled, s.bands(&set)[0].play, &set), nil
}

// A banded is a picture on downs that are played alike.
type banded struct {
	play  *motion.Play
	downs []Down
	plays float64
}

// bands sorts the downs by how they are played, those with most plays first; without a down it is
// the setting's.
func (s *Seen) bands(set *Setting) (out []banded) {
	if len(s.Downs) == 0 {
		return []banded{{set.ToGain.on(s.Play), nil, s.plays()}}
	}
	for _, d := range s.Downs {
		pl := d.on(s.Play)
		at := slices.IndexFunc(out, func(b banded) bool { return b.play == pl })
		if at < 0 {
			at, out = len(out), append(out, banded{play: pl})
		}
		out[at].downs, out[at].plays = append(out[at].downs, d), out[at].plays+d.Plays
	}
	slices.SortStableFunc(out, func(a, b banded) int { return cmp.Compare(b.plays, a.plays) })
	return out
}

// on is a picture as it is played on such a down.
func (s *ToGain) on(pl *motion.Play) *motion.Play { return pl.On(s.Down, s.Need) }

// weighed is what a call gives up on downs that are played alike; nothing is told of it.
func (e *Evaluator) weighed(compiled *call.Compiled, b *banded, set *Setting) Value {
	sc := room(&e.rooms, b.play.Band, remembered)
	r := &Result{Rep: play(compiled, b.play, set.Balance, compiled.Call.Vertical, sc)}
	return e.answered(r, b.downs, set)
}

// pointsPerSuccess is what a success is worth in points more than a failure, within a
// situation: one professional season's fit (the weights of success, gains of twenty and more
// and interceptions are 1.93, 1.57 and -3.9).
const pointsPerSuccess = 1.93

// lift moves the chance of success by so much, within what a chance can be, and the points
// with it.
func (v *Value) lift(by float64) {
	by = max(0, min(1, v.Success+by)) - v.Success
	v.Success += by
	v.Points += pointsPerSuccess * by
}

// Weigh plays a call against a picture with the downs it was seen on.
func Weigh(ctx context.Context, compiled *call.Compiled, s *Seen, set Setting) (*Result, error) {
	return new(Evaluator).Weigh(ctx, compiled, s, set)
}

// answered is the mean value over downs, and over whether the receivers run the answers
// their routes have to what the call shows them.
func (e *Evaluator) answered(r *Result, downs []Down, set *Setting) Value {
	drawn := r.over(downs, set)
	look := r.Rep.Picture.Asked(r.Rep.Setup.Look())
	pl := r.Rep.Answered(look)
	if pl == nil {
		return drawn
	}
	sc := room(&e.answers, answer{look, pl.Band}, remembered/4)
	c := r.Rep.Setup.Compiled
	other := &Result{Rep: play(c, pl, set.Balance, c.Call.Vertical, sc)}
	var sum Value
	sum.plus(1-picture.Converts, drawn)
	sum.plus(picture.Converts, other.over(downs, set))
	return sum
}

// over is the mean value over downs; without any it is that of the setting's situation.
func (r *Result) over(downs []Down, set *Setting) (v Value) {
	if r.Rep.Picture.Family == picture.Run && set.ExplosiveRun > 0 {
		run := *set
		run.Explosive, set = run.ExplosiveRun, &run
	}
	o := r.Outcome()
	if len(downs) == 0 {
		return o.On(set.ToGain, set)
	}
	total := 0.0
	for _, d := range downs {
		total += d.Plays
	}
	for _, d := range downs {
		v.plus(d.Plays/total, o.On(d.ToGain, set))
	}
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
