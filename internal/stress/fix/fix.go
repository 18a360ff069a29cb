// Package fix looks for what would cure a conflict: it changes one thing of a
// call that a staff could teach by Friday, plays the changed call against the
// picture in question and against everything else the opponent runs, and says
// what the change wins there and costs elsewhere.
//
// What is tried: where the man lines up and his technique, on which side of his man
// he plays, the depth that counts as vertical, one rule more for what receivers show
// (he takes one of them; somebody else does; the two trade; somebody helps; somebody
// shadows one from the snap), and who fits the run for him. Every fix is a whole call
// that can be saved as it is, and its numbers are those of playing that call, a break in
// the band between the call's thresholds under its first reading only.
//
// Units are yards; stress is the chance of success for the offense, 0 to 1.
package fix

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// A Weighted is a picture with how often it is run.
type Weighted struct {
	stress.Seen
	Weight float64 // plays; only the ratios matter
}

// A Case is a call against what an opponent runs.
type Case struct {
	Compiled *call.Compiled
	Pictures []Weighted
	Setting  stress.Setting
	// NotTried is how many changes a search left out, because the call is so large that they
	// are too much to try.
	NotTried int
	// Listed says of a fix that was weighed whether it is worth a look at the call as a
	// whole, which costs more than playing it; nil: every one.
	Listed func(*Fix) bool
	// Faults are what the call as it stands is warned of, kept from one search to the next.
	Faults *Faults
}

// Faults remembers what the save check says of calls. The zero value is ready; it is not
// safe for concurrent use.
type Faults struct {
	of map[*call.Compiled][]call.Fault
}

// check is what the save check says of the case's call.
func (c *Case) check(ctx context.Context) ([]call.Fault, error) {
	if c.Faults == nil {
		return stress.Check(ctx, c.Compiled)
	}
	known, ok := c.Faults.of[c.Compiled]
	if ok {
		return known, nil
	}
	now, err := stress.Check(ctx, c.Compiled)
	if err != nil {
		return nil, err
	}
	if c.Faults.of == nil {
		c.Faults.of = map[*call.Compiled][]call.Fault{}
	}
	c.Faults.of[c.Compiled] = now
	return now, nil
}

// A Mark is what a call gives up to one picture.
type Mark struct {
	Stress  float64
	Points  float64     // what it gives up a snap, over the downs of the picture
	Worst   field.Yards // Over of the largest finding on a receiver the picture names; 0: none
	Finding string      // that finding in words, empty without one
}

// A Fix is one change of a call and what it does.
type Fix struct {
	Change
	Call   *call.Call // the changed call
	plan   *call.Compiled
	Before Mark // against the picture in question
	After  Mark
	// Of the conflict itself: how far open the throw is.
	OpenBefore, OpenAfter field.Yards
	// Over all pictures, by their weights.
	StressBefore, StressAfter float64
	PointsBefore, PointsAfter float64
	Most                      float64 // the points by which one picture gets worse most, by its share of the plays
	WorstBefore, WorstAfter   field.Yards
	Hurt                      int // the picture whose worst finding grows most, -1 when none grows by Matters
	HurtBefore, HurtAfter     Mark
}

// Matters is the least difference in yards that is called one: the size up to which
// a play counts as sound in the check rows.
const Matters field.Yards = 0.5

// Gain is by how many yards the worst finding of the picture in question shrinks.
func (a *Fix) Gain() field.Yards { return a.Before.Worst - a.After.Worst }

// Net is by how many yards the worst findings shrink over all pictures together.
func (a *Fix) Net() field.Yards { return a.WorstBefore - a.WorstAfter }

// Wins is by how many points a snap the call gives up less over all pictures together.
func (a *Fix) Wins() float64 { return a.PointsBefore - a.PointsAfter }

// Cures says that nothing that matters is left of the picture's findings.
func (a *Fix) Cures() bool { return a.After.Worst <= Matters }

// Search tries the changes that bear on a finding of the case's call against picture
// k and returns those that shrink the picture's worst finding by Matters, or cure it,
// the best over all pictures first, of each kind at most perKind. found is an index
// into the findings of that result. Without a fix the list is empty.
// It fails only when ctx ends.
func Search(ctx context.Context, c *Case, k, found, perKind int) ([]Fix, error) {
	r, err := stress.Weigh(ctx, c.Compiled, &c.Pictures[k].Seen, c.Setting)
	if err != nil {
		return nil, err
	}
	f := r.Findings[found]
	var ev stress.Evaluator // one picture, many calls: men whom a change leaves alone run once
	var out []Fix
	for _, ch := range c.few(candidates(c.Compiled, r, &f)) {
		compiled, err := ch.plan(ctx, c.Compiled)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			continue // what was changed cannot be read
		}
		now, err := ev.Tell(ctx, compiled, &c.Pictures[k].Seen, c.Setting) // valued below, if it is kept
		if err != nil {
			return nil, err
		}
		a := Fix{Change: ch, plan: compiled, Call: compiled.Call, Before: mark(r), After: mark(now), OpenBefore: open(r, &f,
			f.Open), OpenAfter: open(now, &f, f.Open)}
		if ch.Kind == RunRole && len(now.RunFit().Open()) > len(r.RunFit().Open()) {
			continue // what the pass wins the run would lose
		}
		if g := a.Gain(); (g >= Matters || a.Cures() && g >= Matters/2) && nearer(r, now, &f) {
			out = append(out, a)
		}
	}
	out = c.largest(out)
	if err := c.weigh(ctx, out, k); err != nil {
		return nil, err
	}
	if c.Listed != nil {
		out = slices.DeleteFunc(out, func(a Fix) bool { return !c.Listed(&a) })
	}
	if len(out) == 0 {
		return nil, ctx.Err()
	}
	before, err := c.check(ctx)
	if err != nil {
		return nil, err
	}
	out = best(out, perKind, func(a *Fix) bool { return a.given(ctx) && !complains(ctx, a.plan, before) })
	return out, ctx.Err()
}

// nearer says that the throws of the finding are nearer to somebody, and not only
// called another man's: the open one by what matters a little, the other not further
// than that. A route that can break either way is judged by the finding alone.
func nearer(before, after *stress.Result, f *stress.Finding) bool {
	if f.Other == f.Open || f.Wrong {
		return true
	}
	size := open(before, f, f.Open)
	if f.Choice {
		size = f.Size
	}
	ok := open(after, f, f.Open) <= size-Matters/2
	if l := f.Other; l >= 0 && l != before.Rep.Run {
		ok = ok && open(after, f, l) <= max(open(before, f, l), size-Matters/2)
	}
	return ok
}

func mark(r *stress.Result) Mark {
	m := Mark{Stress: r.Stress, Points: r.Value.Points}
	for i := range r.Findings {
		if f := &r.Findings[i]; r.Named(f.Open) && f.Over > m.Worst {
			m.Worst, m.Finding = f.Over, r.Sentence(f)
		}
	}
	return m
}

// open is how far the nearest man is from the catch of the throws to receiver i, the most
// within the releases of a finding; -Inf when he cannot be thrown to then.
func open(r *stress.Result, f *stress.Finding, i int) field.Yards {
	worst := math.Inf(-1)
	for k, t := range r.Rep.Releases {
		if t >= f.From-1e-9 && t <= f.To+1e-9 && r.Rep.Of(i)[k].Live {
			worst = max(worst, r.Rep.Separation(i, k))
		}
	}
	return worst
}

// weigh plays the fixes' calls against everything, picture k in question among it, and says what
// they do there and cost.
func (c *Case) weigh(ctx context.Context, as []Fix, k int) error {
	total := 0.0
	for i := range as {
		as[i].Hurt = -1
	}
	for i := range c.Pictures {
		w := c.Pictures[i].Weight
		total += w
		var ev stress.Evaluator
		r, err := ev.Weigh(ctx, c.Compiled, &c.Pictures[i].Seen, c.Setting)
		if err != nil {
			return err
		}
		base := mark(r)
		for n := range as {
			if r, err = ev.Weigh(ctx, as[n].plan, &c.Pictures[i].Seen, c.Setting); err != nil {
				return err
			}
			now := mark(r)
			if i == k {
				as[n].After = now
			}
			as[n].count(i, w, base, now)
		}
	}
	for i := range as {
		a := &as[i]
		for _, x := range []*float64{&a.StressBefore, &a.StressAfter, &a.PointsBefore, &a.PointsAfter, &a.Most,
			&a.WorstBefore, &a.WorstAfter} {
			*x /= total
		}
	}
	return nil
}

// count adds picture i to a fix's sums.
func (a *Fix) count(i int, weight float64, before, after Mark) {
	a.StressBefore += weight * before.Stress
	a.StressAfter += weight * after.Stress
	a.PointsBefore += weight * before.Points
	a.PointsAfter += weight * after.Points
	a.Most = max(a.Most, weight*(after.Points-before.Points))
	a.WorstBefore += weight * before.Worst
	a.WorstAfter += weight * after.Worst
	grown := Matters
	if a.Hurt >= 0 {
		grown = max(grown, a.HurtAfter.Worst-a.HurtBefore.Worst)
	}
	if after.Worst-before.Worst > grown {
		a.Hurt, a.HurtBefore, a.HurtAfter = i, before, after
	}
}

// given writes into the changed call which throws nobody owes any more, with the change as
// the reason: the price is told, and the call can be saved. False when there is no time to look.
func (a *Fix) given(ctx context.Context) bool {
	holes, err := stress.Holes(ctx, a.plan)
	if err != nil {
		return false
	}
	for _, h := range holes {
		g := call.Gift{Receiver: "back", Route: h.Route, Why: "given up for this: " + a.Words}
		if !strings.HasPrefix(h.Receiver, "back") {
			g.Receiver = "#" + h.Receiver[1:]
		}
		if h.Why == "" && !slices.Contains(a.Call.Gives, g) {
			a.Call.Gives = append(slices.Clip(a.Call.Gives), g)
		}
	}
	compiled, err := call.CompileWithin(ctx, a.Call)
	a.plan = compiled
	return err == nil
}

// complains says that a call would be refused for something that it had not before, or
// that there is no time to look. Where a line stands is no difference: a new one moves
// those below it.
func complains(ctx context.Context, p *call.Compiled, before []call.Fault) bool {
	now, err := stress.Check(ctx, p)
	return err != nil || slices.ContainsFunc(now, func(x call.Fault) bool {
		return x.Severity == call.Refused && !slices.ContainsFunc(before, func(y call.Fault) bool {
			return x.Defender == y.Defender && x.Rule == y.Rule && x.Message == y.Message
		})
	})
}

// Rounding is the least difference in points that a printed one shows.
const Rounding = 0.005

// best sorts fixes by the points they win over all pictures, then by yards, and keeps the
// first few of each kind that hold together; the smaller change wins a tie.
func best(as []Fix, perKind int, sound func(*Fix) bool) []Fix {
	slices.SortStableFunc(as, func(a, b Fix) int {
		return cmp.Or(cmp.Compare(math.Round(b.Wins()*1e9), math.Round(a.Wins()*1e9)),
			cmp.Compare(round(b.Net()), round(a.Net())), cmp.Compare(round(b.Gain()), round(a.Gain())),
			cmp.Compare(a.size, b.size), cmp.Compare(a.Words, b.Words))
	})
	count := map[Kind]int{}
	var out []Fix
	for i := range as {
		if a := &as[i]; count[a.Kind] < perKind && !repeats(out, a) && sound(a) {
			count[a.Kind]++
			out = append(out, *a)
		}
	}
	return out
}

// round makes differences that nobody could teach a tie.
func round(y field.Yards) field.Yards { return math.Round(y*20) / 20 }

// repeats says that a fix of the same kind does the same.
func repeats(kept []Fix, a *Fix) bool {
	return slices.ContainsFunc(kept, func(b Fix) bool {
		return a.Kind == b.Kind && round(a.Net()) == round(b.Net()) && round(a.Gain()) == round(b.Gain()) &&
			a.After.Finding == b.After.Finding
	})
}
