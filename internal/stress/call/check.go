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

// what a receiver can have been seen to do, with how deep he broke.
type sight struct {
	state State
	depth float64 // of an early break
}

// reach tries everything his keys can do and returns which rules ever count
// first; nil when there are too many keys to try everything.
func (s *Slot) reach(ctx context.Context, c *Call) ([]bool, error) {
	var whos []Who
	var facts []Cond
	depths := map[float64]bool{1: true}
	for i := range s.Rules {
		collect(&s.Rules[i].When, &whos, &facts, depths)
	}
	if len(whos) > 3 || len(facts) > 4 {
		return nil, nil
	}
	var sights []sight
	for _, st := range []State{Undeclared, Vertical, Vertical | DeepOut, Vertical | DeepIn, Vertical | DeepStop, TurnedUp, Blocks, Absent, Attached | Undeclared, Attached | Vertical, Attached | Blocks} {
		sights = append(sights, sight{st, 0})
	}
	for d := range depths {
		if d < c.Vertical {
			for _, st := range []State{OutBreak, InBreak, StopBreak, Attached | OutBreak, Attached | InBreak, Attached | StopBreak} {
				sights = append(sights, sight{st, d})
			}
		}
	}
	reached := make([]bool, len(s.Rules))
	seen := map[Who]sight{}
	var try func(n int)
	try = func(n int) {
		if ctx.Err() != nil {
			return
		}
		if n < len(whos) {
			for _, x := range sights {
				seen[whos[n]] = x
				try(n + 1)
			}
			return
		}
		for bits := 0; bits < 1<<len(facts); bits++ {
			for k := range s.Rules {
				if judge(&s.Rules[k].When, seen, facts, bits) {
					reached[k] = true
					break
				}
			}
		}
	}
	try(0)
	return reached, ctx.Err()
}

func collect(c *Cond, whos *[]Who, facts *[]Cond, depths map[float64]bool) {
	for i := range c.Kids {
		collect(&c.Kids[i], whos, facts, depths)
	}
	switch c.Op {
	case Sees:
		if c.Before > 0 {
			depths[c.Before+0.5] = true
		}
		for _, w := range *whos {
			if w == c.Who {
				return
			}
		}
		*whos = append(*whos, c.Who)
	case Set, Crosses:
		if fact(*facts, c) < 0 {
			*facts = append(*facts, *c)
		}
	}
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
	x := seen[c.Who]
	st := x.state
	if c.Before > 0 && x.depth > c.Before { // to this rule he was vertical before he broke
		st = st&Attached | Vertical | map[State]State{OutBreak: DeepOut, InBreak: DeepIn, StopBreak: DeepStop}[st&^Attached]
	}
	return st&c.States != 0
}
