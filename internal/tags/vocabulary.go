package tags

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"

	"overhang/internal/spell"
)

// A Vocabulary is a program's own words, by field, with their aliases.
type Vocabulary struct{ meaning map[string]map[string]string }

// NewVocabulary reads the words of a program.
func NewVocabulary(ws []Word) *Vocabulary {
	v := &Vocabulary{map[string]map[string]string{}}
	for _, f := range fixed["vocabulary"] {
		v.meaning[f] = map[string]string{}
	}
	for i := range ws {
		to := ws[i].Word
		if ws[i].AliasOf != nil {
			to = *ws[i].AliasOf
		}
		v.meaning[ws[i].Field][Fold(ws[i].Word)] = to
	}
	return v
}

// Fold brings a word to the form it is found by: small letters, single blanks.
func Fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// Lookup returns the word a field's word stands for. Where it has none, a hyphen and a
// blank are one ("slant flat" is slant-flat), if that leaves one word.
func (v *Vocabulary) Lookup(field, word string) (string, bool) {
	if w, ok := v.meaning[field][word]; ok { // it is folded as it stands
		return w, true
	}
	folded := Fold(word)
	if w, ok := v.meaning[field][folded]; ok || !strings.ContainsAny(folded, " -") {
		return w, ok
	}
	found := ""
	for k, w := range v.meaning[field] {
		if unhyphened(k) == unhyphened(folded) {
			if found != "" && found != w {
				return "", false
			}
			found = w
		}
	}
	return found, found != ""
}

func unhyphened(s string) string { return strings.ReplaceAll(s, "-", " ") }

// Spellings returns every way a field's words may be written, folded, each with
// the word it stands for.
func (v *Vocabulary) Spellings(field string) map[string]string { return maps.Clone(v.meaning[field]) }

// Unknown returns the words of a play that are not in the vocabulary.
func (v *Vocabulary) Unknown(p *Play) (out []Word) {
	add := func(field, w string) {
		if _, ok := v.Lookup(field, w); !ok {
			out = append(out, Word{Field: field, Word: w})
		}
	}
	for _, x := range p.words() {
		if *x.word != nil {
			add(x.field, **x.word)
		}
	}
	for i := range p.Routes {
		add("route", p.Routes[i].Route)
	}
	return out
}

// Nearest returns up to three known words that look most like a word.
func (v *Vocabulary) Nearest(field, word string) []string {
	type near struct {
		word string
		d    int
	}
	var all []near
	for k, w := range v.meaning[field] {
		d := spell.Edits(Fold(word), k)
		if strings.Contains(k, Fold(word)) || strings.Contains(Fold(word), k) {
			d = min(d, 1)
		}
		all = append(all, near{w, d})
	}
	sort.Slice(all, func(i,
		j int) bool {
		return all[i].d < all[j].d || all[i].d == all[j].d && all[i].word < all[j].word
	})
	var out []string
	for _, n := range all {
		if len(out) < 3 && (len(out) == 0 || out[len(out)-1] != n.word) {
			out = append(out, n.word)
		}
	}
	return out
}

// Apply brings a play's words to the vocabulary: aliases become the word they
// stand for; unknown words are refused, naming the nearest known ones. What the
// play shares with others is left alone.
func (v *Vocabulary) Apply(p *Play) error {
	var c check
	use := func(field, at, w string) string {
		known, ok := v.Lookup(field, w)
		if !ok {
			c.fs = append(c.fs, FieldError{Field: at, Msg: v.unknown(field, w)})
			return w
		}
		return known
	}
	for _, x := range p.words() {
		if *x.word != nil {
			known := use(x.field, x.at, **x.word)
			*x.word = &known
		}
	}
	p.Routes = slices.Clone(p.Routes)
	for i := range p.Routes {
		p.Routes[i].Route = use("route", fmt.Sprintf("routes[%d].route", i), p.Routes[i].Route)
	}
	sort.Slice(c.fs, func(i, j int) bool { return c.fs[i].Field < c.fs[j].Field })
	return invalid("the play", c.fs)
}

func (v *Vocabulary) unknown(field, w string) string {
	if near := v.Nearest(field, w); len(near) > 0 {
		return fmt.Sprintf("unknown word %q; the nearest known are %s", w, strings.Join(near, ", "))
	}
	return fmt.Sprintf("unknown word %q: the vocabulary has no words for it yet", w)
}
