package plan

import (
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// Unplaced reports whether rows have a set the engine does not know.
func Unplaced(rows []tags.ConceptRow) bool {
	for i := range rows {
		if !picture.HasSet(rows[i].SetName) {
			return true
		}
	}
	return false
}

// Place says of every row with a set the engine does not know which one its picture is drawn
// from: one set a word, from all it was used for. A concept without a set has the one it is
// mostly drawn from.
func Place(rows []tags.ConceptRow, uses []tags.SetUse) {
	drawn := map[string]string{}
	for i := range rows {
		r := &rows[i]
		if picture.HasSet(r.SetName) {
			continue
		}
		key := r.SetName
		if r.SetName == unknownSet {
			key += r.Concept
		}
		if drawn[key] == "" {
			drawn[key], _ = picture.Assume(hint(r, uses))
		}
		r.Drawn = drawn[key]
	}
}

// unknownSet is the set of plays that have no tag for it.
const unknownSet = "(unknown)"

// hint gathers what speaks for the set of a row.
func hint(r *tags.ConceptRow, uses []tags.SetUse) (h picture.Hint) {
	h.Word = r.SetName
	for _, u := range uses {
		if u.SetName == r.SetName && (u.SetName != unknownSet || u.Concept == r.Concept) {
			h.Saw(u.Concept, u.Personnel, u.N)
		}
	}
	return h
}
