// Package teach says a call in the words a coach would use on the field: where a
// man lines up, whom he reads, what he does when. Every sentence is made from the
// parsed rule and nothing else, with its thresholds in yards, and reads back to the
// same rule (a test does that for every rule of the built-in book).
//
// Words are said to the defender: your side is the side he lines up on. Numbers
// count from the sideline in. Rules are tried in order; the first that fits counts.
package teach

import (
	"cmp"
	"fmt"
	"strings"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// Otherwise is when the last rule of a man counts: nothing above fits, or not yet.
const Otherwise = "anything else, and until they declare"

// When says a condition; vertical is the call's threshold, for rules that have no
// depth of their own.
func When(c *call.Cond, vertical field.Yards) string {
	switch c.Op {
	case call.Else:
		return Otherwise
	case call.And:
		return joined(c.Kids, vertical, ", and ")
	case call.Or:
		return joined(c.Kids, vertical, "; or ")
	case call.Not:
		if there(c) {
			return "there's " + Who(c.Kids[0].Who)
		}
		return "unless " + When(&c.Kids[0], vertical)
	case call.Set:
		if c.Away {
			return c.Fact.Said("the other side")
		}
		return c.Fact.Said("your side")
	}
	vertical = cmp.Or(c.Before, vertical)
	if c.Op == call.Crosses {
		return Who(c.Who) + " and " + Who(c.With) + " switch before " + Yards(vertical)
	}
	return sees(c.Who, c.States, Yards(vertical))
}

// joined puts "unless" for "and not".
func joined(kids []call.Cond, vertical field.Yards, by string) string {
	var b strings.Builder
	for i := range kids {
		s := When(&kids[i], vertical)
		switch {
		case i == 0:
		case kids[i].Op == call.Not && !there(&kids[i]) && by == ", and ":
			b.WriteString(", ")
		default:
			b.WriteString(by)
		}
		b.WriteString(s)
	}
	return b.String()
}

// there reports whether a condition asks that somebody is there: not that he is missing.
func there(c *call.Cond) bool {
	return c.Op == call.Not && c.Kids[0].Op == call.Sees && c.Kids[0].States == call.Absent
}

// Who names a receiver.
func Who(w call.Who) string {
	switch {
	case w.Number == 0 && w.Far:
		return "the back away"
	case w.Number == 0:
		return "the back to your side"
	case w.Far:
		return fmt.Sprintf("#%d on the other side", w.Number)
	}
	return fmt.Sprintf("#%d", w.Number)
}

// released is what a receiver does who goes out: anything but stay in.
const released = call.Vertical | call.OutBreak | call.InBreak | call.StopBreak | call.TurnedUp

// short is any break before a depth: out, in or stopped.
const short = call.OutBreak | call.InBreak | call.StopBreak

// sees says what a receiver does: the states of a condition as alternatives.
func sees(w call.Who, s call.State, yd string) string {
	who := Who(w)
	var does []string
	if s&released == released {
		does = append(does, "releases (breaks, or goes past "+yd+")")
		s &^= released
	}
	if s&call.Undeclared != 0 {
		does = append(does, "has not declared")
	}
	if s&call.Vertical != 0 {
		does = append(does, "goes vertical past "+yd)
	}
	if s&short == short {
		does = append(does, "breaks short of "+yd)
		s &^= short
	}
	b := breaks(s, call.OutBreak, call.InBreak, call.StopBreak)
	if s&call.Slanted != 0 {
		b = strings.TrimPrefix(b+" or slants", " or ")
	}
	if b != "" {
		does = append(does, b+" before "+yd)
	}
	if s&call.TurnedUp != 0 {
		does = append(does, "turns up after a break before "+yd)
	}
	if b := breaks(s, call.DeepOut, call.DeepIn, call.DeepStop); b != "" {
		does = append(does, b+" past "+yd)
	}
	if s&call.Blocks != 0 {
		does = append(does, "stays in to block")
	}
	if s&call.Attached != 0 {
		does = append(does, "lines up attached")
	}
	out := who + " " + strings.Join(does, " or ")
	if s&call.Absent != 0 {
		none := "there's no " + who
		if len(does) == 0 {
			return none
		}
		out += " or " + none
	}
	return out
}

func breaks(s, out, in, stop call.State) string {
	var b []string
	if s&out != 0 {
		b = append(b, "breaks out")
	}
	if s&in != 0 {
		b = append(b, "breaks in")
	}
	if s&stop != 0 {
		b = append(b, "stops")
	}
	return strings.Join(b, " or ")
}

// Check says when a check is made: a condition judged from the strong side, said
// to everybody.
func Check(c *call.Cond, vertical field.Yards) string {
	return strings.NewReplacer("your side", "the strong side", "the other side", "the weak side").Replace(When(c,
		vertical))
}

// Yards writes a length: "1 yard", "9.5 yards".
func Yards(y field.Yards) string {
	if y == 1 {
		return "1 yard"
	}
	return fmt.Sprintf("%g yards", y)
}

// Said puts a rule that is written in the engine's words into a coach's; vertical is
// as for When. It fails on words that are no rule.
func Said(r call.Rule, vertical field.Yards) (when, do string, err error) {
	c, err := call.ParseCond(r.When)
	if err != nil {
		return "", "", err
	}
	ds, err := call.ParseDuties(r.Then)
	return When(&c, vertical), Then(ds), err
}
