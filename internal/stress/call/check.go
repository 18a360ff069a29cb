package call

import (
	"context"
	"fmt"
	"slices"
)

// A Complaint is something wrong with a call that can be read, in words for the
// coordinator: which defender, which rule.
type Complaint struct {
	Defender string `json:"defender"`
	Rule     string `json:"rule,omitempty"`
	Message  string `json:"message"`
}

// Check finds what a saved call must not have: too many men, rules that
// contradict each other, rules that can never count because earlier ones always
// hold first. It is exhaustive over what the keys of a defender can do.
// It fails only when ctx ends.
func (p *Plan) Check(ctx context.Context) ([]Complaint, error) {
	var out []Complaint
	if n := len(p.Slots); n > 11 {
		out = append(out, Complaint{Defender: "call", Message: fmt.Sprintf("%d men: eleven are allowed", n)})
	}
	slots := slices.Clone(p.Slots)
	for i := range p.Checks {
		slots = append(slots, p.Checks[i].Slots...)
	}
	for i := range slots {
		bad, err := slots[i].check(ctx, p.Call)
		if err != nil {
			return nil, err
		}
		out = append(out, bad...)
	}
	return out, nil
}

func (s *Slot) check(ctx context.Context, c *Call) ([]Complaint, error) {
	var out []Complaint
	seen := map[string]string{}
	for _, r := range s.Rules {
		if then, ok := seen[r.Rule.When]; ok {
			msg := "the same condition stands twice"
			if then != r.Rule.Then {
				msg = fmt.Sprintf("contradicts an earlier rule with the same condition: %q", then)
			}
			out = append(out, Complaint{s.Name, r.Rule.When, msg})
		}
		seen[r.Rule.When] = r.Rule.Then
		for _, d := range r.Then {
			for _, e := range r.Then {
				if d.Verb == Man && e.Verb == Man && d.Who != e.Who {
					out = append(out, Complaint{s.Name, r.Rule.When, "man to man on two receivers at once"})
				}
			}
		}
	}
	reached, err := s.reach(ctx, c)
	if err != nil {
		return nil, err
	}
	for k, r := range s.Rules {
		if _, twice := seen[r.Rule.When]; reached != nil && !reached[k] && twice && !told(out, s.Name, r.Rule.When) {
			out = append(out, Complaint{s.Name, r.Rule.When, "can never count: an earlier rule always holds when this one does"})
		}
	}
	return out, nil
}

func told(cs []Complaint, who, rule string) bool {
	for _, c := range cs {
		if c.Defender == who && c.Rule == rule {
			return true
		}
	}
	return false
}

func fact(facts []Cond, c *Cond) int {
	for i := range facts {
		if facts[i].Op == c.Op && facts[i].Fact == c.Fact && facts[i].Away == c.Away && facts[i].Who == c.Who && facts[i].With == c.With && facts[i].Before == c.Before {
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
