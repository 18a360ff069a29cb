package pages

import (
	"slices"

	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
)

// A Word is a part of a rule, with what it tells a player.
type Word struct{ Word, Said string }

// usualVertical is where a receiver counts as vertical in a call that says nothing else.
const usualVertical = 7

// conditionWords are the parts a condition is made of: what the set is, by the table of
// facts, and what a receiver does, by the engine's words for it; then those parts of the
// built-in book that no single word says.
var conditionWords = func() []Word {
	var words []string
	for _, f := range call.Facts() {
		words = append(words, f.String())
		if f.Sided() {
			words = append(words, f.String()+" away")
		}
	}
	for _, who := range receivers() {
		for _, does := range call.StateWords() {
			words = append(words, who+" "+does)
		}
	}
	words = append(words, "#1 crosses #2", "#2 crosses #3", "else")
	for _, r := range bookRules() {
		c, err := call.ParseCond(r.When)
		if err == nil {
			words = append(words, atoms(c)...)
		}
	}
	return taught(words, func(w string) (string, error) {
		c, err := call.ParseCond(w)
		return teach.When(&c, usualVertical), err
	})
}()

// Facts are what a condition can ask of the set, each with what it says to a player.
func (e *Editor) Facts() (out []Word) {
	for _, f := range call.Facts() {
		out = append(out, Word{f.String(), f.Said("your side")})
	}
	return out
}

// dutyWords are the parts of what a man is told to do: those of the built-in book, and
// every verb with every receiver.
var dutyWords = func() []Word {
	words := []string{"hold", "rush"}
	for _, z := range call.ZoneWords() {
		words = append(words, "zone "+z)
	}
	for _, who := range receivers() {
		for _, verb := range []string{"man", "carry", "under", "help", "read", "squeeze", "bump"} {
			words = append(words, verb+" "+who)
		}
		words = append(words, "man "+who+" inside", "man "+who+" outside", "read "+who+" inside", "read "+who+" outside")
	}
	for _, r := range bookRules() {
		ds, err := call.ParseDuties(r.Then)
		if err != nil {
			continue
		}
		for _, d := range ds {
			words = append(words, d.String())
		}
	}
	return taught(words, func(w string) (string, error) {
		ds, err := call.ParseDuties(w)
		return teach.Then(ds), err
	})
}()

func receivers() []string {
	return []string{"#1", "#2", "#3", "#4", "back", "far #1", "far #2", "far #3", "far back"}
}

func bookRules() (out []call.Rule) {
	for _, p := range call.Book() {
		for _, d := range p.Call.Defenders {
			out = append(out, d.Rules...)
		}
	}
	return out
}

// atoms are the parts of a condition that stand between "and", "or" and "not".
func atoms(c call.Cond) (out []string) {
	if len(c.Kids) == 0 {
		return []string{c.String()}
	}
	for _, k := range c.Kids {
		out = append(out, atoms(k)...)
	}
	return out
}

// taught says each word to a player, each once, in the order given.
func taught(words []string, say func(string) (string, error)) (out []Word) {
	seen := map[string]bool{}
	for _, w := range words {
		said, err := say(w)
		if err == nil && !seen[w] {
			seen[w] = true
			out = append(out, Word{w, said})
		}
	}
	return slices.Clip(out)
}
