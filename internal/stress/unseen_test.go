package stress

import (
	"fmt"
	"testing"
)

// A batch of rows written from the trade notes before any was run: what a row that nobody
// looked at is worth. Each is printed on its own and fails nothing.
type batch struct {
	name, rows string
	pictures   []string
	halves     bool // only the rows of one half are shown, by the same hash as the public ones
}

var batches = []batch{
	// First run, on the engine as it stood: 63 of 91 (conflict 40 of 59, sound 23 of 32;
	// exchange 4 of 14, deep 9 of 12, leverage 12 of 16, run-pass 12 of 14).
	{name: "unseen", rows: "testdata/fifth_conflicts.csv", halves: true,
		pictures: []string{"testdata/new_pictures.csv", "testdata/fifth_pictures.csv"}},
	// First run, on the engine as it stood: 47 of 67 (conflict 31 of 44, sound 16 of 23;
	// exchange 3 of 11, deep 7 of 11, leverage 10 of 11, run-pass 11 of 11).
	{name: "second", rows: "testdata/sixth_conflicts.csv"},
	// First run, on the engine as it stood: 57 of 80 (conflict 38 of 53, sound 19 of 27;
	// exchange 8 of 13, deep 6 of 12, leverage 13 of 14, run-pass 10 of 11).
	{name: "third", rows: "testdata/seventh_conflicts.csv", pictures: []string{"testdata/seventh_pictures.csv"}},
	// First run, on the engine as it stood: 77 of 100 (conflict 50 of 66, sound 27 of 34;
	// exchange 5 of 11, deep 11 of 12, leverage 8 of 12, run-pass 11 of 12).
	{name: "fourth", rows: "testdata/eighth_conflicts.csv", pictures: []string{"testdata/eighth_pictures.csv"}},
	// First run, on the engine as it stood: 88 of 110 (conflict 51 of 67, sound 37 of 43;
	// exchange 10 of 13, deep 8 of 12, leverage 7 of 12, run-pass 14 of 14).
	{name: "fifth", rows: "testdata/ninth_conflicts.csv", pictures: []string{"testdata/ninth_pictures.csv"}},
}

// A share counts the rows that agree.
type share struct{ agree, of int }

func (s *share) add(ok bool) {
	s.of++
	if ok {
		s.agree++
	}
}

func (s share) String() string { return fmt.Sprintf("%d of %d", s.agree, s.of) }

// A tally of one batch.
type count struct {
	all, conflict, sound, looked, held share
	kinds                              map[string]*share
}

func (c *count) add(row map[string]string, ok bool) {
	c.all.add(ok)
	if row["verdict"] == "conflict" {
		c.conflict.add(ok)
	} else {
		c.sound.add(ok)
	}
	if k := c.kinds[row["kind"]]; k != nil {
		k.add(ok)
	}
	if tuned(row["id"]) {
		c.looked.add(ok)
	} else {
		c.held.add(ok)
	}
}

func (b *bench) unseen(t *testing.T, u batch) {
	for _, file := range u.pictures {
		for _, row := range readCSV(t, file) {
			b.pictures[row["set"]+"|"+row["concept"]] = row
		}
	}
	c := count{kinds: map[string]*share{"exchange": {}, "deep": {}, "leverage": {}, "run-pass": {}}}
	for _, row := range readCSV(t, u.rows) {
		ok, why := b.conflict(row)
		c.add(row, ok)
		if *verbose && !ok && (!u.halves || tuned(row["id"])) { // the held half is counted, not shown
			fmt.Printf("DISAGREES %s %s / %s: expected %s %s %s %s\n%s", row["id"], row["concept"],
				row["coverage"], row["verdict"], row["kind"], row["defender"], row["threats"], why)
		}
	}
	fmt.Printf("%s conflicts: agree %v (conflict %v, sound %v; exchange %v, deep %v, leverage %v, run-pass %v)\n", u.name,
		c.all, c.conflict, c.sound, c.kinds["exchange"], c.kinds["deep"], c.kinds["leverage"], c.kinds["run-pass"])
	if u.halves {
		fmt.Printf("%s halves: looked at %v, held %v\n", u.name, c.looked, c.held)
	}
	c.enough(t, u.name)
}

// enough holds a batch to its make-up: at least 60 rows, a third of them sound, ten of each kind.
func (c *count) enough(t *testing.T, name string) {
	t.Helper()
	if c.all.of < 60 || 3*c.sound.of < c.all.of {
		t.Errorf("%d %s rows, %d of them sound: at least 60, a third of them sound", c.all.of, name, c.sound.of)
	}
	for kind, k := range c.kinds {
		if k.of < 10 {
			t.Errorf("%d %s rows of kind %s: at least ten", k.of, name, kind)
		}
	}
}
