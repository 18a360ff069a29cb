package picture

import (
	"testing"

	"overhang/internal/stress/field"
)

var testSpeed = field.Speed{Max: 7.8, Tau: 0.7}

// TestLibraryReads plays every concept's picture back through the notation, and holds that
// each has one row and says its source.
func TestLibraryReads(t *testing.T) {
	if n := len(Library()); n < 50 {
		t.Errorf("the library holds %d concepts, want at least 50", n)
	}
	rows := map[string]bool{}
	for _, e := range Library() {
		if e.Source == "" || rows[e.Concept] {
			t.Errorf("%s: a second row, or no source (library.csv)", e.Concept)
		}
		rows[e.Concept] = true
		p, err := New(Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Receiver: testSpeed, Back: testSpeed})
		if err != nil {
			t.Errorf("%s: %v", e.Concept, err)
			continue
		}
		again, err := New(Spec{Set: e.Set, Family: e.Family, Routes: p.String(), Receiver: testSpeed, Back: testSpeed})
		if err != nil || again.String() != p.String() {
			t.Errorf("%s: written %q, read back %v, %v", e.Concept, p.String(), again, err)
		}
	}
}
