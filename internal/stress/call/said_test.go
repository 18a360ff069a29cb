package call

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// TestFactRows: a row of the table of facts that lacks its word, judge or words is named.
func TestFactRows(t *testing.T) {
	t.Parallel()
	for i, f := range facts[1:] {
		if f.word == "" || f.judge == nil || f.said == "" {
			t.Errorf("fact %d %q lacks its word, its judge or its words to a player", i+1, f.word)
		}
		if got := FactOf(f.word); got != Fact(i+1) {
			t.Errorf("%q is found as fact %d, not %d: two rows have the word", f.word, got, i+1)
		}
	}
}

// TestWrittenAgain: what is parsed and written again is the same rule, in the book and
// for words nobody has put together yet.
func TestWrittenAgain(t *testing.T) {
	t.Parallel()
	for _, p := range Book() {
		slots := p.Slots
		for _, ch := range p.Checks {
			slots = append(slots[:len(slots):len(slots)], ch.Slots...)
			writtenAgain(t, ch.When)
		}
		for _, s := range slots {
			for _, r := range s.Rules {
				writtenAgain(t, r.When)
				dutiesAgain(t, r.Then)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		c := Cond{Op: Sees, Who: Who{Number: rapid.Int8Range(0, 5).Draw(t, "number"), Far: rapid.Bool().Draw(t, "far")},
			States: State(rapid.IntRange(1, 1<<13-1).Draw(t, "states")),
			Before: float64(rapid.IntRange(0, 30).Draw(t, "before")) / 2}
		f := rapid.SampledFrom(Facts()).Draw(t, "fact")
		fact := Cond{Op: Set, Fact: f, Away: f.Sided() && rapid.Bool().Draw(t, "away")}
		for _, c := range []Cond{c, {Op: And, Kids: []Cond{c, fact}},
			{Op: Or, Kids: []Cond{fact, {Op: Not, Kids: []Cond{c}}}}} {
			writtenAgain(t, c)
		}
	})
}

func writtenAgain(t interface{ Errorf(string, ...any) }, c Cond) {
	again, err := ParseCond(c.String())
	if err != nil || !reflect.DeepEqual(again, c) {
		t.Errorf("%+v is written %q, which reads %+v, %v", c, c.String(), again, err)
	}
}

func dutiesAgain(t *testing.T, ds []Duty) {
	again, err := ParseDuties(Duties(ds))
	for i := range again {
		again[i].Area = ds[i].Area
	}
	if err != nil || !reflect.DeepEqual(again, ds) {
		t.Errorf("%+v is written %q, which reads %+v, %v", ds, Duties(ds), again, err)
	}
}
