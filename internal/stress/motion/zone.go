package motion

import (
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
)

// inside is how much of a threat at q is the zone's: 0 outside, 1 well inside.
func inside(r *call.Rect, q field.Point, soft field.Yards) float64 {
	if q.X < r.X0-soft || q.X > r.X1+soft || q.Y < r.Y0-soft || q.Y > r.Y1+soft {
		return 0 // as most are
	}
	return clamp(min(q.X-r.X0, r.X1-q.X, q.Y-r.Y0, r.Y1-q.Y)/soft + 0.5)
}

func clamp(x float64) float64 {
	if x <= 0 {
		return 0
	}
	if x >= 1 {
		return 1
	}
	return x
}

// zone goes where the zone asks him to be. That hangs on the receivers alone, so
// it is looked up where another man with the zone has been before.
func (mv *mover) zone(t field.Seconds, p field.Point, o *orders) field.Point {
	goal, known := o.course.at(mv.frame, t)
	if !known {
		goal = mv.goal(t, o)
		o.course.keep(mv.frame, t, goal)
	}
	most := mv.body.speed.Max
	if o.zone.Zone.Sink == 0 {
		bail := mv.pl.Params.Bail // backward, but who is far under where he must be turns and runs
		most *= bail + (1-bail)*clamp((goal.Y-p.Y-mv.pl.Params.Zone.Runs)/2)
	}
	return chase(p, goal, field.Point{}, mv.pl.Params.Zone.Close).AtMost(most)
}

// goal is the landmark, drawn to the threats in the zone: to one of them most of
// the way, between several, no deeper than the sink depth.
func (mv *mover) goal(t field.Seconds, o *orders) field.Point {
	rect := o.zone.Zone
	if rect.Sink == 0 {
		return mv.deep(t, rect)
	}
	mark, sink := rect.Mark, rect.Sink
	mark.Y = min(mark.Y, mv.pl.Clock.Drop)
	deeper := mv.pl.deeper(mark.Y)
	mark.Y, sink = mark.Y+deeper, sink+deeper
	threat, total := mv.threat(t, o, mark.Y, sink)
	if total == 0 {
		return mark
	}
	one, several := mv.pl.Params.Zone.One, clamp(total-1)
	goal := mark.Toward(threat, min(1, total)*(one+(1-one)*several))
	if goal.Y > sink {
		goal.Y += several * (sink - goal.Y)
	}
	return goal
}

// threat is the mean of the threats in an underneath zone, each by how much of it is there, and
// how many they are; a receiver who has not broken is walled between landmark and sink depth.
func (mv *mover) threat(t field.Seconds, o *orders, mark, sink field.Yards) (field.Point, float64) {
	var sum field.Point
	total, up, seen := 0.0, mv.pl.up(), mv.foresees(t)
	for _, i := range mv.pl.runs {
		p := &seen[i][mv.jammed>>i&1]
		broke, q := p.broke, p.met
		w := inside(o.zone.Zone, q, mv.pl.Params.Zone.Soft)
		if w < 1 && o.targets>>i&1 == 1 {
			w = 1
		}
		if w == 0 {
			continue
		}
		if broke < 1 { // wall him, do not run with him
			q.Y += (1 - broke) * (max(min(q.Y, sink), mark) - q.Y)
		}
		q.Y = max(q.Y, up)
		sum, total = sum.Add(q.Times(w)), total+w
	}
	if total == 0 {
		return sum, 0
	}
	return sum.Times(1 / total), total
}

// deep is on top of the deepest threat in a deep zone, between several.
func (mv *mover) deep(t field.Seconds, rect *call.Rect) field.Point {
	z := &mv.pl.Params.Zone
	grown := call.Rect{X0: rect.X0 - z.Wide, X1: rect.X1 + z.Wide, Y0: rect.Y0 - z.Short, Y1: rect.Y1}
	var across, total float64
	y, seen := rect.Mark.Y, mv.foresees(t)
	for _, i := range mv.pl.runs {
		q := seen[i][mv.jammed>>i&1].ahead
		w := inside(&grown, q, z.Soft)
		if w == 0 {
			continue
		}
		across, total = across+w*q.X, total+w
		y = max(y, rect.Mark.Y+w*(q.Y+z.Over-rect.Mark.Y))
	}
	goal := field.Point{X: rect.Mark.X, Y: y}
	if total > 0 {
		goal.X += min(1, total) * (z.DeepOne - z.DeepSeveral*clamp(total-1)) * (across/total - rect.Mark.X)
	}
	return goal
}

// help robs or squeezes a receiver from where he is: inside and on top of him,
// not as tight as man to man.
func (mv *mover) help(t field.Seconds, p field.Point, d *duty.Duty) field.Point {
	seen := mv.sees(d.Target, t)
	rp, rv := seen.pos, seen.vel
	h := &mv.pl.Params.Help
	in := h.In
	if rp.X > 0 {
		in = -in
	}
	goal := field.Point{X: rp.X + in, Y: max(rp.Y+h.Over, mv.m.At.Y)}
	if d.Verb == call.Squeeze {
		goal = field.Point{X: rp.X - in/2, Y: max(rp.Y-h.Under, p.Y)}
	}
	return chase(p, goal, rv.Times(h.Match), h.Close).AtMost(mv.body.speed.Max)
}
