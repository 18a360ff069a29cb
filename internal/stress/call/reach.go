package call

import (
	"context"
	"slices"
)

// what a receiver can have been seen to do, with how deep he broke.
type sight struct {
	state State
	depth float64 // of an early break
}

// How many judgments of a rule trying everything that one man's rules hang on may take.
const mostTries = 500_000

// A trial is everything that the keys of a man can do, as far as his rules can tell it
// apart.
type trial struct {
	rules  []CompiledRule
	whos   []Who
	sights [][]sight // by receiver: one of each that the rules tell apart
	facts  []Cond
}

// trial lists what there is to try for a man; false when it is too much.
func (s *Slot) trial(c *Call) (*trial, bool) {
	t := &trial{rules: s.Rules}
	atoms := map[Who][]Cond{}
	for i := range s.Rules {
		t.collect(&s.Rules[i].When, atoms)
	}
	tries := len(s.Rules) << min(len(t.facts), 20)
	for _, w := range t.whos {
		told := apart(atoms[w], c.Vertical)
		t.sights = append(t.sights, told)
		if tries *= len(told); tries > mostTries {
			return nil, false
		}
	}
	return t, true
}

// Untried names the men whose rules hang on too much for all of it to be tried: of
// those Check does not say whether a rule can ever count.
func (p *Compiled) Untried() (out []string) {
	slots := slices.Clone(p.Slots)
	for i := range p.Checks {
		slots = append(slots, p.Checks[i].Slots...)
	}
	for i := range slots {
		if _, ok := slots[i].trial(p.Call); !ok && !slices.Contains(out, slots[i].Name) {
			out = append(out, slots[i].Name)
		}
	}
	return out
}

// apart lists what a receiver can be seen to do, one sight of all that the atoms about
// him judge alike: depths between which no rule divides count once.
func apart(atoms []Cond, vertical float64) (out []sight) {
	all := []sight{{Undeclared, 0}, {Vertical, 0}, {Vertical | DeepOut, 0}, {Vertical | DeepIn, 0},
		{Vertical | DeepStop, 0}, {TurnedUp, 0}, {Blocks, 0}, {Absent, 0},
		{Attached | Undeclared, 0}, {Attached | Vertical, 0}, {Attached | Blocks, 0}}
	depths := []float64{1}
	for i := range atoms {
		if d := atoms[i].Before + 0.5; atoms[i].Before > 0 && !slices.Contains(depths, d) {
			depths = append(depths, d)
		}
	}
	for _, d := range depths {
		if d >= vertical {
			continue
		}
		for _, st := range []State{OutBreak, InBreak, InBreak | Slanted, StopBreak, Attached | OutBreak,
			Attached | InBreak, Attached | InBreak | Slanted, Attached | StopBreak} {
			all = append(all, sight{st, d})
		}
	}
	told := map[string]bool{}
	for _, x := range all {
		word := make([]byte, len(atoms))
		for i := range atoms {
			if x.is(&atoms[i]) {
				word[i] = 1
			}
		}
		if !told[string(word)] {
			told[string(word)] = true
			out = append(out, x)
		}
	}
	return out
}

// is judges an atom about the receiver who was seen so.
func (x sight) is(c *Cond) bool {
	st := x.state
	if c.Before > 0 && x.depth > c.Before { // to this rule he was vertical before he broke
		deep := map[State]State{OutBreak: DeepOut, InBreak: DeepIn, StopBreak: DeepStop}
		st = st&Attached | Vertical | deep[st&^(Attached|Slanted)]
	}
	return st&c.States != 0
}

// reach tries everything his keys can do and returns which rules ever count first, and which
// ever hold at all; nil when that is too much to try.
func (s *Slot) reach(ctx context.Context, c *Call) (reached, ever []bool, err error) {
	t, ok := s.trial(c)
	if !ok {
		return nil, nil, nil
	}
	reached, ever = make([]bool, len(t.rules)), make([]bool, len(t.rules))
	seen := map[Who]sight{}
	var try func(n int)
	try = func(n int) {
		if ctx.Err() != nil {
			return
		}
		if n < len(t.whos) {
			for _, x := range t.sights[n] {
				seen[t.whos[n]] = x
				try(n + 1)
			}
			return
		}
		for bits := 0; bits < 1<<len(t.facts); bits++ {
			first := true
			for k := range t.rules {
				if (first || !ever[k]) && judge(&t.rules[k].When, seen, t.facts, bits) {
					reached[k], ever[k] = reached[k] || first, true
					first = false
				}
			}
		}
	}
	try(0)
	return reached, ever, ctx.Err()
}

// collect finds whom and what a condition is about, with what is asked of each receiver.
func (t *trial) collect(c *Cond, atoms map[Who][]Cond) {
	for i := range c.Kids {
		t.collect(&c.Kids[i], atoms)
	}
	switch c.Op {
	case Sees:
		if !slices.Contains(t.whos, c.Who) {
			t.whos = append(t.whos, c.Who)
		}
		atoms[c.Who] = append(atoms[c.Who], *c)
	case Set, Crosses:
		if fact(t.facts, c) < 0 {
			t.facts = append(t.facts, *c)
		}
	}
}
