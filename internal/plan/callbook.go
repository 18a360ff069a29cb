package plan

import "overhang/internal/tags"

// A Callbook says which call the coverage tagged in our own game means.
type Callbook struct {
	byName, byWord map[string]*Named
}

// NewCallbook reads calls, those that count first: of two of one name the first does.
// A coverage means the call of its name, in whatever letters and blanks; else the one
// call whose name the vocabulary holds for that coverage.
func NewCallbook(v *tags.Vocabulary, calls []Named) Callbook {
	b := Callbook{map[string]*Named{}, map[string]*Named{}}
	for i := range calls {
		c := &calls[i]
		name := tags.Fold(c.Name)
		if b.byName[name] != nil {
			continue
		}
		b.byName[name] = c
		word, ok := v.Lookup("coverage", c.Name)
		if !ok {
			continue
		}
		if _, two := b.byWord[tags.Fold(word)]; two {
			c = nil // of several calls nobody knows which it was
		}
		b.byWord[tags.Fold(word)] = c
	}
	return b
}

// Renamed takes in the former names of calls, each with today's: what was tagged by a former
// name is that call.
func (b Callbook) Renamed(former map[string]string) {
	for was, is := range former {
		if c := b.byName[tags.Fold(is)]; c != nil {
			b.byName[tags.Fold(was)] = c
		}
	}
}

// Call returns the call that a coverage means, nil when it means none.
func (b Callbook) Call(coverage string) *Named {
	if c := b.byName[tags.Fold(coverage)]; c != nil {
		return c
	}
	return b.byWord[tags.Fold(coverage)]
}
