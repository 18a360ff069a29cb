package call

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/stress/field"
)

// State is what a reader with a threshold can see a receiver do, as a set of bits.
type State uint16

const (
	Undeclared State = 1 << iota // has shown nothing yet
	Vertical                     // crossed the threshold
	OutBreak                     // broke out before it
	InBreak                      // broke in before it
	StopBreak                    // stopped before it
	TurnedUp                     // turned up after an early break
	DeepOut                      // broke past the threshold (Vertical stays set)
	DeepIn                       // the same, in
	DeepStop                     // the same, stopped
	Blocks                       // runs no route
	Absent                       // nobody has that number
	Attached                     // lines up beside the tackle
	Slanted                      // the same, and upfield: no shallow (InBreak stays set)
)

var stateWords = map[string]State{
	"undeclared": Undeclared, "vertical": Vertical, "out": OutBreak, "in": InBreak, "stop": StopBreak,
	"up": TurnedUp, "short": OutBreak | InBreak | StopBreak, "deep out": DeepOut, "deep in": DeepIn,
	"deep stop": DeepStop, "block": Blocks, "absent": Absent, "attached": Attached, "slant": Slanted,
	"released": Vertical | OutBreak | InBreak | StopBreak | TurnedUp,
}

// Who names a receiver from a defender's own side.
type Who struct {
	Number int8 // 1..5; 0 is the back
	Far    bool // counted on the other side
}

// String says whom, as rules write him.
func (w Who) String() string {
	s := "back"
	if w.Number > 0 {
		s = "#" + strconv.Itoa(int(w.Number))
	}
	if w.Far {
		return "far " + s
	}
	return s
}

// Op is the kind of a condition's node.
type Op uint8

const (
	Else    Op = iota // always
	And               // all of Kids
	Or                // one of Kids
	Not               // not its one kid
	Sees              // a receiver is in one of some states
	Set               // a fact about the set, fixed at the snap
	Crosses           // a receiver and another of the side have changed places, from the sideline in, before a depth
)

// A Cond is a parsed condition. Small ones are judged sooner: a board goes through all calls again and again.
type Cond struct {
	Op     Op
	Who    Who
	With   Who // whom he crosses
	Fact   Fact
	Away   bool // the fact is about the other side
	States State
	Before field.Yards // threshold of this rule, 0: the call's
	Kids   []Cond
}

// ParseCond reads a condition: atoms joined by "and", "or", "not".
func ParseCond(s string) (Cond, error) {
	s = strings.ToLower(strings.TrimSpace(s))
	if s == "else" || s == "" {
		return Cond{Op: Else}, nil
	}
	if parts := strings.Split(s, " or "); len(parts) > 1 {
		return join(Or, parts)
	}
	if parts := strings.Split(s, " and "); len(parts) > 1 {
		return join(And, parts)
	}
	if rest, ok := strings.CutPrefix(s, "not "); ok {
		return join(Not, []string{rest})
	}
	return parseAtom(s)
}

// asks adds what a condition asks of receivers that is not asked yet: whom, and how deep.
func (c *Cond) asks(out []Cond) []Cond {
	for i := range c.Kids {
		out = c.Kids[i].asks(out)
	}
	known := slices.ContainsFunc(out, func(o Cond) bool {
		return o.Op == c.Op && o.Who == c.Who && o.With == c.With && o.Before == c.Before
	})
	if c.Op != Sees && c.Op != Crosses || known {
		return out
	}
	return append(out, *c)
}

func join(op Op, parts []string) (Cond, error) {
	c := Cond{Op: op}
	for _, p := range parts {
		k, err := ParseCond(p)
		if err != nil {
			return c, err
		}
		c.Kids = append(c.Kids, k)
	}
	return c, nil
}

func parseAtom(s string) (Cond, error) {
	word, away := strings.CutSuffix(s, " away")
	if f := FactOf(word); f != 0 {
		return Cond{Op: Set, Fact: f, Away: away && f.Sided()}, nil
	}
	who, rest, err := parseWho(s)
	if err != nil {
		return Cond{}, fmt.Errorf("condition %q: %w", s, err)
	}
	c := Cond{Op: Sees, Who: who}
	if what, depth, ok := strings.Cut(rest, " before "); ok {
		if c.Before, err = strconv.ParseFloat(depth, 64); err != nil || !(c.Before > 0 && c.Before <= 100) {
			return c, fmt.Errorf("condition %q: %q is not a depth: type yards, like \"#2 out before 5\"", s, depth)
		}
		rest = what
	}
	if other, ok := strings.CutPrefix(rest, "crosses "); ok {
		c.Op = Crosses
		if c.With, rest, err = parseWho(other); err != nil || rest != "" || c.With == who || c.With.Far != who.Far {
			return c, fmt.Errorf("condition %q: %q is not another receiver on the same side: type one, like "+
				"\"#1 crosses #2\"", s, other)
		}
		return c, nil
	}
	if c.States, err = stateOf(rest); err != nil {
		return c, fmt.Errorf("condition %q: %w", s, err)
	}
	return c, nil
}

func stateOf(s string) (State, error) {
	if st, ok := stateWords[s]; ok {
		return st, nil
	}
	var all State
	for _, w := range strings.Split(s, "/") {
		st, ok := stateWords[w]
		if !ok {
			if first, _, more := strings.Cut(w, " "); more && near(first, "crosses") {
				return 0, fmt.Errorf("unknown action %q: did you mean \"crosses\"?", first)
			}
			return 0, fmt.Errorf("unknown action %q%s", w, meant(w, slices.Sorted(maps.Keys(stateWords))))
		}
		all |= st
	}
	return all, nil
}

// parseWho takes "#2", "far #2", "back" or "far back" off the front.
func parseWho(s string) (Who, string, error) {
	var w Who
	if rest, ok := strings.CutPrefix(s, "far "); ok {
		w.Far, s = true, rest
	}
	word, rest, _ := strings.Cut(s, " ")
	switch {
	case word == "back":
	case len(word) == 2 && word[0] == '#' && word[1] >= '1' && word[1] <= '5':
		w.Number = int8(word[1] - '0')
	default:
		return w, "", fmt.Errorf("%q is neither a receiver (#1 to #5 or back) nor a fact about the set", word)
	}
	return w, rest, nil
}
