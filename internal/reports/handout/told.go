package handout

import (
	"slices"

	"overhang/internal/reports/ink"
	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
)

// A look is a set they show, as the man sees it who plays on a side of it.
type look struct {
	*duty.Setup
	sign int    // of his side
	side string // strong, weak
}

// printed are his teachings as they stand on his page: the call's and those of checks that a
// set of theirs brings, each with the rules and keys such a set can ask for.
func (p *Position) printed() (out []Teaching) {
	for _, t := range p.Taught {
		if t.Check != "" && len(t.sets()) == 0 {
			continue
		}
		t.rules = t.told()
		t.Rules, t.Keys = nil, teach.Keys(usedKeys(t.reads, t.rules))
		for i := range t.rules {
			t.Rules = append(t.Rules, Line{teach.When(&t.rules[i].When, p.of.Vertical), teach.Then(t.rules[i].Then)})
		}
		out = append(out, t)
	}
	return out
}

// told are the rules that the sets they show can bring, without what all these sets have in
// common: a man with nobody but trips to his side is not asked whether it is trips.
func (t *Teaching) told() (out []call.CompiledRule) {
	for _, r := range t.rules {
		var v verdict
		switch r.When, v = decided(&r.When, t.looks); v {
		case never:
			continue
		case always:
			r.When = call.Cond{Op: call.Else}
		}
		if n := len(out) - 1; n >= 0 && teach.Then(out[n].Then) == teach.Then(r.Then) {
			switch was := out[n].When; {
			case implies(&was, &r.When):
				out = out[:n]
			case was.Op == call.Sees && r.When.Op == call.Sees && was.Who == r.When.Who && was.Before == r.When.Before:
				r.When.States |= was.States
				out = out[:n]
			}
		}
		if out = append(out, r); r.When.Op == call.Else {
			break
		}
	}
	return out
}

// implies reports whether one condition cannot hold without the other, as far as that is plain
// from the receivers they name.
func implies(a, b *call.Cond) bool {
	anyOf := func(c *call.Cond, holds func(kid *call.Cond) bool) bool {
		return slices.ContainsFunc(c.Kids, func(kid call.Cond) bool { return holds(&kid) })
	}
	switch {
	case a.Op == call.Or:
		return !anyOf(a, func(kid *call.Cond) bool { return !implies(kid, b) })
	case b.Op == call.Or:
		return anyOf(b, func(kid *call.Cond) bool { return implies(a, kid) })
	case a.Op == call.And:
		return anyOf(a, func(kid *call.Cond) bool { return implies(kid, b) })
	}
	return a.Op == call.Sees && b.Op == call.Sees && a.Who == b.Who && a.Before == b.Before && a.States&^b.States == 0
}

// A verdict is what is known of a condition before the snap.
type verdict int

const (
	open verdict = iota
	always
	never
)

// decided is what a condition still asks where the set is one of some.
func decided(c *call.Cond, in []look) (call.Cond, verdict) {
	if len(in) == 0 {
		return *c, open
	}
	switch c.Op {
	case call.Set:
		return *c, factIn(c, in)
	case call.Not:
		kid, v := decided(&c.Kids[0], in)
		return call.Cond{Op: call.Not, Kids: []call.Cond{kid}}, [...]verdict{open: open, always: never, never: always}[v]
	case call.And:
		return joined(c, in, never, always)
	case call.Or:
		return joined(c, in, always, never)
	}
	return *c, open
}

// joined settles what "and" or "or" joins: one that decides decides all, one that is idle says
// nothing.
func joined(c *call.Cond, in []look, decides, idle verdict) (call.Cond, verdict) {
	out := call.Cond{Op: c.Op}
	for i := range c.Kids {
		switch kid, v := decided(&c.Kids[i], in); v {
		case decides:
			return *c, decides
		case open:
			out.Kids = append(out.Kids, kid)
		}
	}
	switch len(out.Kids) {
	case 0:
		return *c, idle
	case 1:
		return out.Kids[0], open
	}
	return out, open
}

// factIn judges a fact in all looks, whether or not they show a run.
func factIn(c *call.Cond, in []look) verdict {
	holds := 0
	for _, l := range in {
		side := l.sign
		if c.Away {
			side = -side
		}
		for _, shown := range []call.Look{l, running{l}} {
			if c.Fact.Holds(shown, side) {
				holds++
			}
		}
	}
	switch holds {
	case 0:
		return never
	case 2 * len(in):
		return always
	}
	return open
}

// running is a set with a run action behind it.
type running struct{ call.Look }

// ShowsRun says so.
func (running) ShowsRun() bool { return true }

// beyond are the orders of the one rule that a teaching has and another, which is the same
// otherwise, has not: where it may as well be asked first.
func (t *Teaching) beyond(o *Teaching) []string {
	if len(t.Rules) != len(o.Rules)+1 || t.Keys != o.Keys || len(o.Rules) < 3 {
		return nil
	}
	k := 0
	for k < len(o.Rules) && t.Rules[k] == o.Rules[k] {
		k++
	}
	if !slices.Equal(t.Rules[k+1:], o.Rules[k:]) || slices.ContainsFunc(t.rules[:k], func(r call.CompiledRule) bool {
		return !excludes(&r.When, &t.rules[k].When)
	}) {
		return nil
	}
	out := order(t.Rules[k], len(t.Rules))
	for i := range out {
		out[i] = ink.Capital(teach.Short(out[i]))
	}
	return out
}

// excludes reports whether two conditions never hold at once, as far as that is plain from one
// receiver both name.
func excludes(a, b *call.Cond) bool {
	for _, x := range []struct{ whole, other *call.Cond }{{a, b}, {b, a}} {
		if x.whole.Op == call.And {
			return slices.ContainsFunc(x.whole.Kids, func(kid call.Cond) bool { return excludes(&kid, x.other) })
		}
	}
	return a.Op == call.Sees && b.Op == call.Sees && a.Who == b.Who && a.Before == b.Before &&
		a.States&b.States == 0 && (a.States|b.States)&call.Attached == 0
}
