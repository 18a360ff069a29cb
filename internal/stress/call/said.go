package call

import (
	"maps"
	"slices"
	"strconv"
	"strings"
)

// String writes a condition in the words ParseCond reads.
func (c Cond) String() string {
	switch c.Op {
	case And:
		return kidsString(c.Kids, " and ")
	case Or:
		return kidsString(c.Kids, " or ")
	case Not:
		return "not " + c.Kids[0].String()
	case Set:
		if c.Away {
			return c.Fact.String() + " away"
		}
		return c.Fact.String()
	case Sees:
		return c.Who.String() + " " + c.States.String() + before(c)
	case Crosses:
		return c.Who.String() + " crosses " + c.With.String() + before(c)
	}
	return "else"
}

func kidsString(kids []Cond, by string) string {
	words := make([]string, len(kids))
	for i := range kids {
		words[i] = kids[i].String()
	}
	return strings.Join(words, by)
}

func before(c Cond) string {
	if c.Before == 0 {
		return ""
	}
	return " before " + strconv.FormatFloat(c.Before, 'g', -1, 64)
}

// stateOrder is the order in which the words of states are written, the wide ones first.
var stateOrder = []string{"released", "undeclared", "vertical", "short", "out", "in", "stop", "up",
	"deep out", "deep in", "deep stop", "block", "absent", "attached", "slant"}

// StateWords lists the words of what a receiver can be seen to do, the wide ones first.
func StateWords() []string { return slices.Clone(stateOrder) }

// ZoneWords lists the names of the standard zones.
func ZoneWords() []string { return slices.Sorted(maps.Keys(standardZones)) }

// String writes states in the words of the rule language: "out/up".
func (s State) String() string {
	var words []string
	for _, w := range stateOrder {
		if st := stateWords[w]; s&st == st {
			words = append(words, w)
			s &^= st
		}
	}
	return strings.Join(words, "/")
}

// String writes the word of a duty.
func (v Verb) String() string {
	for word, x := range verbs {
		if x == v {
			return word
		}
	}
	return ""
}

// String writes a duty in the words ParseDuties reads.
func (d Duty) String() string {
	switch {
	case d.Verb == Hold || d.Verb == Rush:
		return d.Verb.String()
	case d.Zone != "":
		return d.zone()
	}
	s := d.Verb.String() + " " + d.Who.String()
	switch {
	case d.Leverage < 0:
		s += " inside"
	case d.Leverage > 0:
		s += " outside"
	}
	if d.Trail {
		s += " trail"
	}
	return s
}

// zone names the zone of a duty in one.
func (d Duty) zone() string {
	s := "zone "
	if d.Help {
		s = "help zone "
	}
	if d.FarZone {
		s += "far "
	}
	return s + d.Zone
}

// Duties writes the then-part of a rule.
func Duties(ds []Duty) string {
	words := make([]string, len(ds))
	for i := range ds {
		words[i] = ds[i].String()
	}
	return strings.Join(words, "; ")
}

// Whos lists the receivers a condition asks about, each once, in order.
func (c Cond) Whos() (out []Who) {
	add := func(w Who) {
		for _, o := range out {
			if o == w {
				return
			}
		}
		out = append(out, w)
	}
	for _, k := range c.Kids {
		for _, w := range k.Whos() {
			add(w)
		}
	}
	if c.Op == Sees || c.Op == Crosses {
		add(c.Who)
	}
	if c.Op == Crosses {
		add(c.With)
	}
	return out
}
