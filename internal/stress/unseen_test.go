package stress

import (
	"fmt"
	"testing"
)

// Ninety-one rows written from the trade notes before any was run: what a row that
// nobody looked at is worth. They are printed on their own, by the same halves as the
// public ones, and fail nothing.
//
// First run, on the engine as it stood: 63 of 91 (conflict 40 of 59, sound 23 of 32;
// exchange 4 of 14, deep 9 of 12, leverage 12 of 16, run-pass 12 of 14).
const (
	unseenRows     = "testdata/fifth_conflicts.csv"
	unseenPictures = "testdata/fifth_pictures.csv"
)

// A share counts the rows that agree.
type share struct{ agree, of int }

func (s *share) add(ok bool) {
	s.of++
	if ok {
		s.agree++
	}
}

func (s share) String() string { return fmt.Sprintf("%d of %d", s.agree, s.of) }

func (b *bench) unseen(t *testing.T) {
	for _, file := range []string{"testdata/new_pictures.csv", unseenPictures} {
		for _, row := range readCSV(t, file) {
			b.pictures[row["set"]+"|"+row["concept"]] = row
		}
	}
	var all, conflict, sound, looked, held share
	kinds := map[string]*share{"exchange": {}, "deep": {}, "leverage": {}, "run-pass": {}}
	for _, row := range readCSV(t, unseenRows) {
		ok, why := b.conflict(row)
		all.add(ok)
		if row["verdict"] == "conflict" {
			conflict.add(ok)
		} else {
			sound.add(ok)
		}
		if k := kinds[row["kind"]]; k != nil {
			k.add(ok)
		}
		if tuned(row["id"]) {
			looked.add(ok)
		} else {
			held.add(ok)
		}
		if *verbose && !ok && tuned(row["id"]) { // the held half is counted, not shown
			fmt.Printf("DISAGREES %s %s / %s: expected %s %s %s %s\n%s", row["id"], row["concept"],
				row["coverage"], row["verdict"], row["kind"], row["defender"], row["threats"], why)
		}
	}
	fmt.Printf("unseen conflicts: agree %v (conflict %v, sound %v; exchange %v, deep %v, leverage %v, run-pass %v)\n",
		all, conflict, sound, kinds["exchange"], kinds["deep"], kinds["leverage"], kinds["run-pass"])
	fmt.Printf("unseen halves: looked at %v, held %v\n", looked, held)
	if all.of < 60 || 3*sound.of < all.of {
		t.Errorf("%d unseen rows, %d of them sound: at least 60, a third of them sound", all.of, sound.of)
	}
	for kind, k := range kinds {
		if k.of < 10 {
			t.Errorf("%d unseen rows of kind %s: at least ten", k.of, kind)
		}
	}
}
