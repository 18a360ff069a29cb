package fix

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"overhang/internal/stress/call"
)

// A Kind says what of a call is changed.
type Kind string

const (
	Alignment Kind = "alignment" // where the man lines up
	Technique Kind = "technique" // off, press, trail
	Leverage  Kind = "leverage"  // the side of his man on which he plays
	Threshold Kind = "threshold" // the depth that counts as vertical
	Rule      Kind = "rule"      // one man's rule
	Match     Kind = "match"     // one man shadows a receiver from the snap and takes him if he goes vertical
	Trade     Kind = "trade"     // two men's rules: each takes one of the two
	Help      Kind = "help"      // another man helps
	// he plays the pass; another man fits the run for him, or every gap has its man without him
	RunRole Kind = "run role"
)

// A Change is one thing taught otherwise.
type Change struct {
	Kind  Kind
	Words string   // as a coach would say it
	Rules []Taught // the rules that are new, as the changed call has them
	size  float64
	edits []edit
}

// A Taught is a rule more for one man.
type Taught struct {
	Defender, When, Then string
}

// An edit changes one defender of the call, or (without one) the call.
type edit struct {
	man  *call.Defender // as it stands in the plan that was played
	does func(*call.Defender)
	call func(*call.Call)
}

// plan makes the changed call. It fails when a man to change is not there or the
// call cannot be read, or when ctx has ended.
func (ch *Change) plan(ctx context.Context, p *call.Compiled) (*call.Compiled, error) {
	c := copied(p.Call)
	for _, e := range ch.edits {
		if e.call != nil {
			e.call(c)
			continue
		}
		d := twin(p.Call, c, e.man)
		if d == nil {
			return nil, errors.New("no such man in the call")
		}
		e.does(d)
	}
	return call.CompileWithin(ctx, c)
}

// copied is a deep copy of a call as far as edits reach.
func copied(c *call.Call) *call.Call {
	out := *c
	out.Defenders = men(c.Defenders)
	out.Checks = slices.Clone(c.Checks)
	for i := range out.Checks {
		out.Checks[i].Defenders = men(c.Checks[i].Defenders)
	}
	return &out
}

func men(ds []call.Defender) []call.Defender {
	out := slices.Clone(ds)
	for i := range out {
		out[i].Align = slices.Clone(ds[i].Align)
		out[i].Rules = slices.Clone(ds[i].Rules)
		out[i].Keys = slices.Clone(ds[i].Keys)
	}
	return out
}

// twin finds in a copy the defender that stands where man does in the original.
func twin(original, copy *call.Call, man *call.Defender) *call.Defender {
	for i := range original.Defenders {
		if &original.Defenders[i] == man {
			return &copy.Defenders[i]
		}
	}
	for i := range original.Checks {
		for k := range original.Checks[i].Defenders {
			if &original.Checks[i].Defenders[k] == man {
				return &copy.Checks[i].Defenders[k]
			}
		}
	}
	return nil
}

// first puts a rule before all others, or in the place of the one with its condition,
// and lets the man read whom it asks about.
func first(when call.Cond, then []call.Duty) func(*call.Defender) {
	rule := call.Rule{When: when.String(), Then: call.Duties(then)}
	return func(d *call.Defender) {
		for i := range d.Rules {
			if d.Rules[i].When == rule.When {
				d.Rules[i].Then = rule.Then
				return
			}
		}
		d.Rules = append([]call.Rule{rule}, d.Rules...)
		for _, w := range when.Whos() {
			if key := w.String(); !slices.Contains(d.Keys, key) {
				d.Keys = append(d.Keys, key)
			}
		}
	}
}

// moved is a change of one alignment row by yards.
func moved(who *call.Slot, row int, dx, dy float64) Change {
	man := who.Defender
	a, when := man.Align[row], ""
	if a.When != "" {
		when = " (" + a.When + ")"
	}
	var how []string
	switch {
	case dx > 0:
		how = append(how, yards(dx)+" wider")
	case dx < 0:
		how = append(how, yards(-dx)+" tighter")
	}
	switch {
	case dy > 0:
		how = append(how, yards(dy)+" deeper")
	case dy < 0:
		how = append(how, yards(-dy)+" shallower")
	}
	return Change{Kind: Alignment, size: max(dx, -dx) + max(dy, -dy),
		Words: told(who, fmt.Sprintf("line up %s%s, %s, %s deep", strings.Join(how, " and "), when,
			spot(a.On, a.Offset+dx), yards(a.Depth+dy))),
		edits: []edit{{man: man, does: func(d *call.Defender) {
			d.Align[row].Offset += dx
			d.Align[row].Depth += dy
			d.Align[row].Missing += dx
		}}}}
}

// told says an order to a man, to both copies of him where both play it: "Both corners: press."
func told(who *call.Slot, order string) string {
	name := []rune(who.Group())
	return strings.ToUpper(string(name[:1])) + string(name[1:]) + ": " + order + "."
}

// yards says a length.
func yards(y float64) string {
	if y == 1 {
		return "1 yard"
	}
	return fmt.Sprintf("%g yards", y)
}

// spot says an offset from a landmark.
func spot(on string, offset float64) string {
	mark := on
	switch on {
	case "ball", "end man", "back", "hash":
		mark = "the " + on
	case "apex":
		mark = "halfway between #2 and the end man"
		if offset == 0 {
			return mark
		}
	}
	switch {
	case offset > 0:
		return yards(offset) + " outside " + mark
	case offset < 0:
		return yards(-offset) + " inside " + mark
	}
	return "on " + mark
}
