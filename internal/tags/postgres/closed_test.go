package postgres

import (
	"regexp"
	"testing"

	"overhang/internal/tags"
)

// made finds the words that a dimension's SQL can answer with.
var made = regexp.MustCompile(`(?:THEN|ELSE) '([^']*)'`)

// TestEveryMadeValueCanBeAsked: where the SQL of a dimension makes up its values, a filter
// takes each of them and refuses any other, so that a word mistyped is not a table of nothing.
func TestEveryMadeValueCanBeAsked(t *testing.T) {
	t.Parallel()
	set := tags.DefaultSettings()
	for _, d := range tags.Dimensions {
		words := made.FindAllStringSubmatch(dimension(d, &set), -1)
		if len(words) == 0 || d == "previous_concept" { // whose other values are the vocabulary's
			continue
		}
		for _, w := range words {
			if d == "play_to" && w[1] == "balanced" { // strength_to shares its SQL; no play is run to both sides
				continue
			}
			ask := map[string][]string{d: {w[1]}}
			if _, err := tags.Resolve(ask, &set, tags.NewVocabulary(nil), nil); err != nil {
				t.Errorf("%s is never asked for as %q: list it in closed (tags/dimension.go): %v", d, w[1], err)
			}
		}
		if _, err := tags.Resolve(map[string][]string{d: {"no such value"}}, &set, tags.NewVocabulary(nil), nil); err == nil {
			t.Errorf("%s takes any word: list its values in closed (tags/dimension.go)", d)
		}
	}
}
