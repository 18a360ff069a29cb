package fix

import (
	"cmp"
	"slices"

	"overhang/internal/stress/call"
)

// How much a search may do, in rules that are read or judged: some 1 s of one processor for
// what is read to make the changes, and as much for playing them against everything. A call of
// the book takes a tenth of the first, and of the second 57 changes against 160 pictures.
const (
	mostRead   = 1_000_000
	mostPlayed = 1_500_000
	ofPlay     = 100 // what a play costs beside its rules
	reading    = 3   // a rule that is read, in rules that are judged
)

// few is as many changes of the call as may be tried.
func (c *Case) few(all []Change) []Change {
	each := ofPlay + rules(c.Compiled.Slots) + reading*whole(c.Compiled)
	n := min(len(all), max(1, mostRead/each))
	c.NotTried = len(all) - n
	return all[:n]
}

// largest is as many of the fixes as may be played against everything: those that win most in
// the picture in question.
func (c *Case) largest(as []Fix) []Fix {
	n := max(1, mostPlayed/(max(1, len(c.Pictures))*(ofPlay+rules(c.Compiled.Slots))))
	if len(as) <= n {
		return as
	}
	slices.SortStableFunc(as, func(a, b Fix) int { return cmp.Compare(b.Gain(), a.Gain()) })
	c.NotTried += len(as) - n
	return as[:n]
}

// rules is how many rules the men of a call have.
func rules(men []call.Slot) (n int) {
	for i := range men {
		n += len(men[i].Rules)
	}
	return n
}

// whole is how many rules a call has with its checks.
func whole(p *call.Compiled) int {
	n := rules(p.Slots)
	for i := range p.Checks {
		n += rules(p.Checks[i].Slots)
	}
	return n
}
