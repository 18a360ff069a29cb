package call

import (
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/json"
	"fmt"
	"slices"

	"overhang/internal/stress/field"
)

//go:embed zones.json
var zonesJSON []byte

var standardZones = func() map[string]Zone {
	m := map[string]Zone{}
	if err := json.Unmarshal(zonesJSON, &m); err != nil {
		panic("call: zones.json: " + err.Error())
	}
	return m
}()

// Strong and Weak are the sides of a call; a picture says where they lie.
const (
	Strong = +1
	Weak   = -1
)

// A Compiled is a call parsed and laid out side by side, ready to be set against
// pictures. It is read-only and may be shared.
type Compiled struct {
	Call   *Call
	Slots  []Slot
	Checks []CompiledCheck
	Gives  []CompiledGift
}

// A CompiledCheck is a parsed check.
type CompiledCheck struct {
	Name  string
	When  Cond
	Slots []Slot // those it changes or adds
	All   []Slot // the call's with these in their place
}

// A Slot is one defender of one side.
type Slot struct {
	*Defender
	Name  string // with its side: "strong corner"; or as the staff says it: see Naming
	Side  int    // Strong or Weak
	Align []CompiledAlign
	Rules []CompiledRule
	Reads []Who  // the keys, parsed
	Asks  []Cond // what his rules ask of receivers,
	Names []Who  // and whom he reads, or has by a rule: each once
	// Taught is the name the call itself has for him, with its side.
	Taught string
	// Runs is how he runs: his body, or as one half a step off it; see Pacing.
	Runs string
	path string
	pair *pair // how both copies are told together; nil: by the call's own name
}

// Path is the place of the slot's defender in the call, as a JSON Pointer (RFC 6901).
func (s *Slot) Path() string { return s.path }

// A CompiledAlign is a parsed alignment.
type CompiledAlign struct {
	Align
	When Cond
}

// A CompiledRule is a parsed rule.
type CompiledRule struct {
	Rule
	When Cond
	Then []Duty
}

// Compile parses a call. It fails on the first rule it cannot read, naming
// call, defender and rule.
func Compile(c *Call) (*Compiled, error) { return CompileWithin(context.Background(), c) }

// CompileWithin is Compile for somebody who may leave: it fails with the context's error as
// soon as that has ended, between one man and the next.
func CompileWithin(ctx context.Context, c *Call) (*Compiled, error) {
	if c.Vertical == 0 {
		c.Vertical = 7
	}
	if c.Under == 0 {
		c.Under = 5
	}
	p := &Compiled{Call: c}
	var err error
	if p.Gives, err = c.gifts(); err != nil {
		return nil, fmt.Errorf("%s: %w", c.Name, err)
	}
	if p.Slots, err = slots(ctx, c, "/defenders", c.Defenders); err != nil {
		return nil, err
	}
	if len(p.Slots) == 0 {
		return nil, fmt.Errorf("%s: nobody is in this call: add at least one defender", c.Name)
	}
	for i, ch := range c.Checks {
		pc := CompiledCheck{Name: ch.Name}
		if pc.When, err = ParseCond(ch.When); err != nil {
			return nil, fmt.Errorf("%s, check %s: %w", c.Name, ch.Name, err)
		}
		if pc.Slots, err = slots(ctx, c, fmt.Sprintf("/checks/%d/defenders", i), ch.Defenders); err != nil {
			return nil, err
		}
		pc.All = slices.Clone(p.Slots)
		for _, s := range pc.Slots {
			pc.All = replace(pc.All, s)
		}
		p.Checks = append(p.Checks, pc)
	}
	p.say()
	p.pace()
	return p, nil
}

// sidesOf returns the sides a word names, nil for none.
func sidesOf(word string) []int {
	switch word {
	case "both":
		return []int{Strong, Weak}
	case "strong":
		return []int{Strong}
	case "weak":
		return []int{Weak}
	}
	return nil
}

// named is what he is called on a side.
func (d *Defender) named(side int) string {
	switch {
	case d.Side != "both":
		return d.Name
	}
	return sideWord(side) + " " + d.Name
}

// slots lays defenders out by side; a later one of the same name and side
// replaces an earlier one.
func slots(ctx context.Context, c *Call, path string, ds []Defender) ([]Slot, error) {
	var out []Slot
	for i := range ds {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		d := &ds[i]
		sides := sidesOf(d.Side)
		if sides == nil {
			return nil, fmt.Errorf("%s, %s: unknown side %q: type strong, weak or both", c.Name, d.Name, d.Side)
		}
		for _, side := range sides {
			s, err := c.slot(d, side)
			s.path = fmt.Sprintf("%s/%d", path, i)
			if err != nil {
				return nil, fmt.Errorf("%s, %s: %w", c.Name, s.Name, err)
			}
			out = replace(out, s)
		}
	}
	return out, nil
}

func replace(slots []Slot, s Slot) []Slot {
	for i := range slots {
		if slots[i].Name == s.Name {
			slots[i] = s
			return slots
		}
	}
	return append(slots, s)
}

func (c *Call) slot(d *Defender, side int) (Slot, error) {
	s := Slot{Defender: d, Side: side, Name: d.named(side), Taught: d.named(side), Runs: d.Body}
	for _, a := range d.Align {
		when, err := ParseCond(a.When)
		if err != nil {
			return s, err
		}
		s.Align = append(s.Align, CompiledAlign{a, when})
	}
	if len(s.Align) == 0 {
		return s, fmt.Errorf("no alignment: say where he lines up")
	}
	for _, k := range d.Keys {
		w, rest, err := parseWho(k)
		if err != nil || rest != "" {
			return s, fmt.Errorf(notReceiver, k)
		}
		s.Reads = append(s.Reads, w)
	}
	s.Names = append(s.Names, s.Reads...)
	for _, r := range d.Rules {
		if err := s.rule(c, r); err != nil {
			return s, err
		}
	}
	if n := len(s.Rules); n == 0 || s.Rules[n-1].When.Op != Else {
		return s, fmt.Errorf("end with the rule \"else\", so he always has a job")
	}
	return s, nil
}

// rule adds a rule of the call's, with what it asks of receivers and whom it gives him.
func (s *Slot) rule(c *Call, r Rule) error {
	when, err := ParseCond(r.When)
	if err != nil {
		return err
	}
	then, err := ParseDuties(r.Then)
	if err != nil {
		return err
	}
	for i := range then {
		d := &then[i]
		switch known := true; {
		case d.Zone != "":
			if d.Area, known = c.area(d.Zone); !known {
				return fmt.Errorf("rule %q: unknown zone %q", r.When, d.Zone)
			}
		case d.Verb != Hold && d.Verb != Rush && !slices.Contains(s.Names, d.Who):
			s.Names = append(s.Names, d.Who)
		}
	}
	s.Rules, s.Asks = append(s.Rules, CompiledRule{r, when, then}), when.asks(s.Asks)
	return nil
}

// Zone returns the call's own zone of that name, else the standard one.
func (c *Call) Zone(name string) (Zone, bool) {
	if z, ok := c.Zones[name]; ok {
		return z, true
	}
	z, ok := standardZones[name]
	return z, ok
}

// Place is where a run role stands in own-side terms: common practice, no source.
var Place = map[string]field.Point{
	"gap": {X: 3.2, Y: 1}, "plug": {X: 1.5, Y: 1}, "alley": {X: 6.5, Y: 3}, "force": {X: 9, Y: 1}, "cutback": {X: 3, Y: 3},
}

// Inside says that a run role fits inside, and so can be in conflict with an
// inside run; a force man's bubble and his force lie in the same place.
func Inside(role string) bool { return role != "" && role != "force" }

// Sum is the same for calls that are played and told alike: it is of all that a call is made of, the
// staff's words and their men's paces among it.
func (p *Compiled) Sum() [sha256.Size]byte {
	all, err := json.Marshal(struct {
		*Call
		Names Names
		Paces Paces
	}{p.Call, p.Call.names, p.Call.paces})
	if err != nil { // a number that is not one
		all = fmt.Appendf(nil, "%#v", *p.Call)
	}
	return sha256.Sum256(all)
}
