package fix

import (
	"context"
	"fmt"
	"math"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A Place is where a man could line up, and what the call gives up from there.
type Place struct {
	Offset, Depth field.Yards   // as the alignment row has them
	Stress        float64       // over the pictures in which the row counts, by their weights
	Worst         field.Yards   // mean of the largest Over of each
	ToFit         field.Seconds // from there to his place in the run fit at his speed, 0 without a run role
}

// An AlignmentSweep moves a man over one row of a man's alignment.
type AlignmentSweep struct {
	Defender string
	Row      call.Align
	Pictures int       // in which the row counts
	Grid     [][]Place // by offset, then by depth
}

// SweepAlignment moves man j of picture k over offsets and depths (yards to add to the
// row that counts there; a depth under 1 yd is left out of the grid as NaN) and plays
// every picture in which that row counts. It fails only
// when ctx ends.
func SweepAlignment(ctx context.Context, c *Case, k, j int, offsets, depths []field.Yards) (*AlignmentSweep, error) {
	r, err := stress.Evaluate(ctx, c.Compiled, c.Pictures[k].Play, c.Setting)
	if err != nil {
		return nil, err
	}
	m := &r.Rep.Setup.Men[j]
	row := m.Slot.Defender.Align[m.Align]
	out := &AlignmentSweep{Defender: m.Slot.Name, Row: row}
	var plans []*call.Compiled
	for _, dx := range offsets {
		line := make([]Place, len(depths))
		for n, dy := range depths {
			line[n] = Place{Offset: row.Offset + dx, Depth: row.Depth + dy}
			ch := moved(m.Slot, m.Align, dx, dy)
			compiled, err := ch.plan(ctx, c.Compiled)
			if err != nil || row.Depth+dy < 1 {
				compiled, line[n].Stress, line[n].Worst = nil, math.NaN(), math.NaN()
			}
			plans = append(plans, compiled)
		}
		out.Grid = append(out.Grid, line)
	}
	total := 0.0
	for i := range c.Pictures {
		var ev stress.Evaluator
		r, err := ev.Evaluate(ctx, c.Compiled, c.Pictures[i].Play, c.Setting)
		if err != nil {
			return nil, err
		}
		if !counts(r, m) {
			continue
		}
		out.Pictures++
		w := c.Pictures[i].Weight
		total += w
		for n, compiled := range plans {
			if compiled == nil {
				continue
			}
			r, err := ev.Weigh(ctx, compiled, &c.Pictures[i].Seen, c.Setting)
			if err != nil {
				return nil, err
			}
			at, x := &out.Grid[n/len(depths)][n%len(depths)], mark(r)
			at.Stress += w * x.Stress
			at.Worst += w * x.Worst
			at.ToFit = toFit(r, m.Slot.Name)
		}
	}
	for _, line := range out.Grid {
		for n := range line {
			line[n].Stress /= total
			line[n].Worst /= total
		}
	}
	return out, nil
}

// counts says that a man stands by the same row of his alignment in a result.
func counts(r *stress.Result, m *duty.Man) bool {
	for i := range r.Rep.Setup.Men {
		if o := &r.Rep.Setup.Men[i]; o.Slot.Defender == m.Slot.Defender && o.Align == m.Align {
			return true
		}
	}
	return false
}

// toFit is how long the man of a name runs to his place in the run fit, from rest.
func toFit(r *stress.Result, name string) field.Seconds {
	for i := range r.Rep.Setup.Men {
		m := &r.Rep.Setup.Men[i]
		spot, ok := call.Place[m.Slot.Fit]
		if m.Slot.Name != name || !ok {
			continue
		}
		way := m.At.Dist(field.Point{X: float64(m.Side) * spot.X, Y: spot.Y})
		return r.Rep.Params.Speed(m.Slot.Runs).Time(way)
	}
	return 0
}

// A Break is what becomes of a picture when one route breaks at another depth.
type Break struct {
	Depth field.Yards
	Owner string // who owes him by the rules then, empty: nobody
	Rule  string // of the owner
	Mark         // the larger reading where two were played
	Gray  bool   // he breaks between the call's under and vertical thresholds: both readings were played
}

// SweepBreak moves the break of one receiver over depths (yards) and says who owes him
// then and what the play gives up on the downs it was seen on: where the rule flips, and what that is worth. It
// fails on a picture that cannot be read, on a receiver it does not name, and on a
// route without a break, and when ctx ends.
func SweepBreak(ctx context.Context, compiled *call.Compiled, spec picture.Spec, receiver string, depths []field.Yards,
	params *motion.Params, set stress.Setting,
	downs ...stress.Down) ([]Break, error) {
	var out []Break
	for _, depth := range depths {
		pic, i, err := broken(spec, receiver, depth)
		if err != nil {
			return nil, err
		}
		r, err := stress.Weigh(ctx, compiled, &stress.Seen{Play: stress.Prepare(pic, params), Downs: downs}, set)
		if err != nil {
			return nil, err
		}
		b := Break{Depth: depth, Mark: mark(r)}
		if bs := pic.Receivers[i].Path.Breaks; len(bs) > 0 {
			b.Gray = bs[0].Depth > compiled.Call.Under && bs[0].Depth < compiled.Call.Vertical
		}
		for n := range r.Gray {
			if f := &r.Gray[n]; r.Named(f.Open) && f.Over > b.Worst {
				b.Worst, b.Finding = f.Over, r.Sentence(f)
			}
		}
		if j := duty.Owner(r.Rep.Setup, i); j >= 0 {
			m := &r.Rep.Setup.Men[j]
			shift := m.ShiftAt(math.Inf(1))
			b.Owner, b.Rule = m.Slot.Name, m.Slot.Rules[shift.Rule].Rule.Then
		}
		out = append(out, b)
	}
	return out, nil
}

// broken is the picture with one receiver's break at a depth.
func broken(spec picture.Spec, receiver string, depth field.Yards) (*picture.Picture, int, error) {
	pic, err := picture.New(spec)
	if err != nil {
		return nil, 0, err
	}
	for i := range pic.Receivers {
		r := &pic.Receivers[i]
		if r.Name != receiver || !r.Named {
			continue
		}
		if r.Blocks() || r.Route.Vertical {
			return nil, 0, fmt.Errorf("%s %s has no break to move", r.Name, r.Route.Name)
		}
		r.Depth = depth
		spec.Routes = pic.String()
		pic, err = picture.New(spec)
		return pic, i, err
	}
	return nil, 0, fmt.Errorf("the picture names no receiver %q", receiver)
}
