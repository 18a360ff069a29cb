package call

import "strings"

// A Fact is something a condition can ask of the offense before the ball is snapped, by
// its place in the table of facts. The zero Fact is none.
type Fact uint8

// A Look is what the offense shows before the snap. Sides are signs of x.
type Look interface {
	Count(side int) int // receivers at the snap, backs apart
	Backs() int         // in the backfield
	Bunched(side int) bool
	TightEnd(side int) bool
	StrongSide() int
	ShowsRun() bool // the backfield shows a run action
}

// A factRow is a fact of the rule language: its word, its judge and its words to a player.
type factRow struct {
	word  string
	judge func(l Look, side int) bool
	said  string // with {side} in the place of the side it is about; without: it is about none
}

// facts is all that a condition can ask of the set. A new fact is a row here and the two
// plays of it in the test of package duty: nothing else knows the words.
var facts = [...]factRow{
	{},
	{"trips", func(l Look, side int) bool { return l.Count(side) >= 3 }, "trips to {side}"},
	{"twins", func(l Look, side int) bool { return l.Count(side) == 2 }, "two receivers to {side}"},
	{"single", func(l Look, side int) bool { return l.Count(side) == 1 }, "one receiver to {side}"},
	{"empty", func(l Look, _ int) bool { return l.Backs() == 0 }, "the backfield is empty"},
	{"two backs", func(l Look, _ int) bool { return l.Backs() == 2 }, "two backs are in the backfield"},
	{"bunch", func(l Look, side int) bool { return l.Bunched(side) }, "a bunch or stack to {side}"},
	{"strong", func(l Look, side int) bool { return l.StrongSide() == side }, "strength to {side}"},
	{"tight end", func(l Look, side int) bool { return l.TightEnd(side) }, "a tight end to {side}"},
	{"run", func(l Look, _ int) bool { return l.ShowsRun() }, "they show run"},
}

// Facts lists all facts.
func Facts() []Fact {
	out := make([]Fact, 0, len(facts)-1)
	for f := 1; f < len(facts); f++ {
		out = append(out, Fact(f))
	}
	return out
}

// FactOf returns the fact of a word, 0 where it is none.
func FactOf(word string) Fact {
	for _, f := range Facts() {
		if facts[f].word == word {
			return f
		}
	}
	return 0
}

// String returns the fact's word in the rule language.
func (f Fact) String() string { return facts[f].word }

// Sided reports whether the fact is about one side of the set.
func (f Fact) Sided() bool { return strings.Contains(facts[f].said, "{side}") }

// Holds judges the fact, from the side of a man whose own side has this sign of x.
func (f Fact) Holds(l Look, side int) bool { return facts[f].judge(l, side) }

// Said puts the fact into words to a player; side is how he is told which side is meant.
func (f Fact) Said(side string) string { return strings.ReplaceAll(facts[f].said, "{side}", side) }
