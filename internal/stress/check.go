package stress

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// Examine reads a call as it is to be saved and lists all that is wrong with it: words and
// numbers, what the rules do to each other, and what nobody owes. Without a fault that is
// refused the plan is whole.
// It fails only when ctx ends.
func Examine(ctx context.Context, raw []byte) (*call.Compiled, []call.Fault, error) {
	c, out := call.Lenient(raw)
	if c == nil {
		return nil, out, nil
	}
	for i, g := range c.Gives {
		if _, err := picture.LookupRoute(g.Route); g.Route != "" && err != nil {
			out = append(out, call.Fault{Path: fmt.Sprintf("/gives/%d/route", i), Defender: "call", Message: err.Error(),
				Severity: call.Refused})
		}
	}
	p, err := call.CompileWithin(ctx, c)
	if ctx.Err() != nil {
		return nil, nil, ctx.Err()
	}
	if err == nil {
		more, err := Check(ctx, p)
		return p, sorted(append(out, more...)), err
	}
	out = append(out, c.Men()...)
	if !refused(out) {
		out = append(out, call.Fault{Defender: "call", Message: err.Error(), Severity: call.Refused})
	}
	return nil, sorted(out), nil
}

func refused(fs []call.Fault) bool {
	return slices.ContainsFunc(fs, func(f call.Fault) bool { return f.Severity == call.Refused })
}

// Check finds what is wrong with a call that can be played, before it is saved: what
// call.Compiled.Check finds in the rules by themselves, any eligible whom nobody owes when
// one of the standard sets goes vertical or stops short, and any throw of the standard
// pictures that nobody owes and the call does not give up by its own word.
// It fails only when ctx ends.
func Check(ctx context.Context, p *call.Compiled) ([]call.Fault, error) {
	out, err := p.Check(ctx)
	if err != nil {
		return nil, err
	}
	speed := field.Speed{Max: 7.8, Tau: 0.7}
	for _, name := range picture.SetNames() {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		for what, route := range map[string]string{"goes vertical": "go", "stops at 5 yards": "hitch@5"} {
			set, _ := picture.LookupSet(name)
			pic, err := picture.New(picture.Spec{Set: name, Family: "dropback", Routes: everybody(set, route), Receiver: speed,
				Back: speed})
			if err != nil {
				continue
			}
			s := duty.New(p, pic, 1, p.Call.Vertical)
			for i := range pic.Receivers {
				if r := &pic.Receivers[i]; !r.Blocks() && duty.Owner(s, i) < 0 {
					out = append(out, unowned(fmt.Sprintf("from %s nobody has %s when everybody %s", name, spoken(r.Name), what)))
				}
			}
		}
	}
	holes, err := Holes(ctx, p)
	for _, h := range worst(holes) {
		out = append(out, unowned(h.String()))
	}
	return sorted(out), err
}

// worst keeps of the holes that the call does not give up one of each receiver, route, concept
// and set, wherever the back went: the one that is most open.
func worst(holes []Hole) (out []Hole) {
	for _, h := range holes {
		if h.Why != "" {
			continue
		}
		n := slices.IndexFunc(out, func(o Hole) bool {
			return o.Set == h.Set && o.Concept == h.Concept && o.Receiver == h.Receiver && o.Route == h.Route
		})
		switch {
		case n < 0:
			out = append(out, h)
		case out[n].Open < h.Open:
			out[n] = h
		}
	}
	return out
}

func unowned(message string) call.Fault {
	return call.Fault{Path: "/defenders", Defender: "call", Message: message, Severity: call.Refused}
}

func everybody(set *picture.Set, route string) string {
	s := ""
	for i := range set.Play {
		s += fmt.Sprintf("P%d %s, ", i+1, route)
	}
	for i := range set.Back {
		s += fmt.Sprintf("B%d %s, ", i+1, route)
	}
	return s
}

// sorted puts faults in one order, whatever order the sets were tried in, each once.
func sorted(fs []call.Fault) []call.Fault {
	slices.SortStableFunc(fs, func(a, b call.Fault) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message))
	})
	return slices.Compact(fs)
}
