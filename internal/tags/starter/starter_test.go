package starter

import (
	"slices"
	"testing"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// TestWords: every word is one the store takes, none is there twice in its
// field, and every set and concept the engine can read is among them.
func TestWords(t *testing.T) {
	ws := Words()
	seen := map[string]bool{}
	for i := range ws {
		if err := ws[i].Validate(); err != nil {
			t.Errorf("%+v: %v", ws[i], err)
		}
		key := ws[i].Field + "\x00" + tags.Fold(ws[i].Word)
		if seen[key] && ws[i].AliasOf == nil {
			t.Errorf("%s %q is there twice", ws[i].Field, ws[i].Word)
		}
		seen[key] = true
	}
	v := tags.NewVocabulary(ws)
	for _, e := range picture.Library() {
		if _, ok := v.Lookup("concept", e.Concept); !ok {
			t.Errorf("the library's %q is no word", e.Concept)
		}
		if _, ok := v.Lookup("set_name", e.Set); !ok {
			t.Errorf("the library's set %q is no word", e.Set)
		}
	}
	for _, run := range RunConcepts {
		if w, ok := v.Lookup("concept", run); !ok || w != run {
			t.Errorf("run concept %q reads as %q, %v", run, w, ok)
		}
	}
	if !slices.ContainsFunc(ws, func(w tags.Word) bool { return w.Field == "coverage" && w.Word == "palms" }) {
		t.Error("the calls a program carries are no coverages")
	}
}
