package call

import (
	"context"
	"fmt"
	"slices"
)

// Check finds what a saved call must not have beyond what Faults finds in its words: too
// many men or too few after a check, rules that contradict each other, rules that can
// never count because earlier ones always hold first, half an exchange. It is exhaustive
// over what the keys of a defender can do. It fails only when ctx ends.
func (p *Compiled) Check(ctx context.Context) ([]Fault, error) {
	out := eleven(len(p.Slots))
	bad, err := checkSlots(ctx, p.Call, p.Slots)
	if err != nil {
		return nil, err
	}
	out = append(append(out, bad...), halves(p.Slots)...)
	if bad, err = p.shadowed(ctx); err != nil {
		return nil, err
	}
	out = append(out, bad...)
	for i := range p.Checks {
		ch := &p.Checks[i]
		if bad, err = checkSlots(ctx, p.Call, ch.Slots); err != nil {
			return nil, err
		}
		out = append(append(out, bad...), p.strangers(ch)...)
		if n := len(ch.All); n != len(p.Slots) && n != 11 {
			out = append(out, whole(fmt.Sprintf("/checks/%d/defenders", i), "check %s puts %d men on the field: use "+
				"the names the call has", ch.Name, n))
		}
		out = append(out, halves(ch.All)...)
	}
	return out, nil
}

// Men is what is wrong with the number of men of a call that cannot be played as it is written.
func (c *Call) Men() []Fault {
	names := map[string]bool{}
	for i := range c.Defenders {
		d := &c.Defenders[i]
		for _, side := range sidesOf(d.Side) {
			names[d.named(side)] = true
		}
		if sidesOf(d.Side) == nil || d.Name == "" {
			return nil // that is told, and how many he stands for is not known
		}
	}
	if len(names) == 0 {
		return nil
	}
	return eleven(len(names))
}

// eleven is what is wrong with the number of men.
func eleven(n int) []Fault {
	switch {
	case n > 11:
		return []Fault{whole("/defenders", "%d men: take out all but eleven", n)}
	case n < 11:
		few := whole("/defenders", "only %d men: you may have eleven", n)
		few.Severity = Warning
		return []Fault{few}
	}
	return nil
}

func checkSlots(ctx context.Context, c *Call, slots []Slot) (out []Fault, err error) {
	for i := range slots {
		bad, err := slots[i].check(ctx, c)
		if err != nil {
			return nil, err
		}
		for _, f := range bad {
			if n := slices.IndexFunc(out, func(o Fault) bool { return o.Path == f.Path && o.Message == f.Message }); n >= 0 {
				out[n].Defender = slots[i].Defender.Name // of both his copies alike
			} else {
				out = append(out, f)
			}
		}
	}
	return out, nil
}

// shadowed are checks that no set comes to, since an earlier one always fits first.
func (p *Compiled) shadowed(ctx context.Context) (out []Fault, err error) {
	all := Slot{}
	for i := range p.Checks {
		all.Rules = append(all.Rules, CompiledRule{When: p.Checks[i].When})
	}
	reached, _, err := all.reach(ctx, p.Call)
	for i := range reached {
		if !reached[i] && !slices.ContainsFunc(p.Call.Checks[:i],
			func(o Check) bool { return sameWhen(o.When, p.Call.Checks[i].When) }) { // which is told in its words
			out = append(out, whole(fmt.Sprintf("/checks/%d/when", i), "check %s never comes up: an earlier check always "+
				"fits first; put it in front", p.Checks[i].Name))
		}
	}
	return out, err
}

// strangers are men of a check whose name nobody of the call has: a mistyped name puts
// two men in one role and leaves one of the call where he was.
func (p *Compiled) strangers(ch *CompiledCheck) (out []Fault) {
	names := make([]string, len(p.Slots))
	for i := range p.Slots {
		names[i] = p.Slots[i].Name
	}
	for i := range ch.Slots {
		s := &ch.Slots[i]
		if slices.Contains(names, s.Name) {
			continue
		}
		f := Fault{s.path + "/name", s.Name, "", fmt.Sprintf("check %s: nobody in the call is named %q%s", ch.Name, s.Name,
			meant(s.Name, names)), Refused}
		if o := ch.beside(s, names); o != "" && o != s.Roles[0] {
			f.Message += fmt.Sprintf(" (the %s has his role, %s)", o, s.Roles[0])
		}
		out = append(out, f)
	}
	return out
}

// beside names who of the call has the first role of a man, on his side; "" when nobody.
func (ch *CompiledCheck) beside(s *Slot, names []string) string {
	for k := range ch.All {
		o := &ch.All[k]
		if o.Side == s.Side && slices.Contains(names, o.Name) && len(s.Roles) > 0 && slices.Contains(o.Roles, s.Roles[0]) {
			return o.Name
		}
	}
	return ""
}

// halves are exchanges of which only one half is taught: who takes #2 when #1 crosses him
// leaves #1 to somebody who keys on the same crossing.
func halves(slots []Slot) (out []Fault) {
	for i := range slots {
		s := &slots[i]
		for k := range s.Rules {
			c := crossingOf(&s.Rules[k].When)
			if c == nil || slices.ContainsFunc(slots,
				func(o Slot) bool { return o.Name != s.Name && o.Side == s.Side && o.crosses(c) }) {
				continue
			}
			out = append(out, Fault{fmt.Sprintf("%s/rules/%d", s.path, k), s.Name, s.Rules[k].Rule.When,
				fmt.Sprintf("half an exchange: give somebody else on his side a rule for %q too", c), Refused})
		}
	}
	return out
}

// crossingOf finds the crossing a condition asks for; one that it rules out is none.
func crossingOf(c *Cond) *Cond {
	if c.Op == Crosses {
		return c
	}
	if c.Op == Not {
		return nil
	}
	for i := range c.Kids {
		if x := crossingOf(&c.Kids[i]); x != nil {
			return x
		}
	}
	return nil
}

func (s *Slot) crosses(c *Cond) bool {
	for i := range s.Rules {
		if x := crossingOf(&s.Rules[i].When); x != nil && (x.Who == c.Who && x.With == c.With ||
			x.Who == c.With && x.With == c.Who) {
			return true
		}
	}
	return false
}

func (s *Slot) check(ctx context.Context, c *Call) ([]Fault, error) {
	var out []Fault
	fault := func(k int, format string, args ...any) {
		out = append(out, Fault{fmt.Sprintf("%s/rules/%d", s.path, k), s.Name, s.Rules[k].Rule.When,
			fmt.Sprintf(format, args...), Refused})
	}
	seen := map[string]string{}
	for k, r := range s.Rules {
		if then, ok := seen[r.Rule.When]; ok && then != r.Rule.Then {
			fault(k, "contradicts an earlier rule with the same condition: %q", then)
		} else if ok {
			fault(k, "this condition is in here twice")
		}
		seen[r.Rule.When] = r.Rule.Then
		if twoMen(r.Then) {
			fault(k, "man to man on two receivers at once: leave him one")
		}
	}
	reached, ever, err := s.reach(ctx, c)
	if err != nil {
		return nil, err
	}
	for k, r := range s.Rules {
		switch {
		case reached == nil || reached[k] || told(out, s.Name, r.Rule.When):
		case !ever[k]:
			fault(k, "is never true: nobody can be seen to do all of it; take a part out, or type \"or\"")
		default:
			fault(k, "never gets used: an earlier rule always fits first")
		}
	}
	return out, nil
}

func twoMen(then []Duty) bool {
	for _, d := range then {
		for _, e := range then {
			if d.Verb == Man && e.Verb == Man && d.Who != e.Who {
				return true
			}
		}
	}
	return false
}

func told(cs []Fault, who, rule string) bool {
	for _, c := range cs {
		if c.Defender == who && c.Rule == rule {
			return true
		}
	}
	return false
}

func fact(facts []Cond, c *Cond) int {
	for i := range facts {
		if facts[i].Op == c.Op && facts[i].Fact == c.Fact && facts[i].Away == c.Away && facts[i].Who == c.Who &&
			facts[i].With == c.With && facts[i].Before == c.Before {
			return i
		}
	}
	return -1
}

func judge(c *Cond, seen map[Who]sight, facts []Cond, bits int) bool {
	switch c.Op {
	case Else:
		return true
	case And:
		for i := range c.Kids {
			if !judge(&c.Kids[i], seen, facts, bits) {
				return false
			}
		}
		return true
	case Or:
		for i := range c.Kids {
			if judge(&c.Kids[i], seen, facts, bits) {
				return true
			}
		}
		return false
	case Not:
		return !judge(&c.Kids[0], seen, facts, bits)
	case Set, Crosses:
		return bits>>fact(facts, c)&1 == 1
	}
	return seen[c.Who].is(c)
}
