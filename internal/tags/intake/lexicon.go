package intake

import (
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"sort"
	"strings"

	"overhang/internal/spell"
	"overhang/internal/tags"
)

// fieldsOfWords are those whose words the program's vocabulary has.
var fieldsOfWords = []string{"set_name", "backfield", "motion", "concept", "coverage"}

// A use is one word of a sheet that a table or the vocabulary has to read.
type use struct {
	field, text string
	row, col    int
}

// A lexicon is every word that is known before a sheet is read.
type lexicon struct {
	known     map[string]map[string]string // field: letters: the word meant
	opponents []tags.Opponent
	sides     map[string]string // the sheet's own words for left and right behind a set
}

// side is the side a word behind a set means, "" for none.
func (v *lexicon) side(w string) string { return cmp.Or(sideWords[w], v.sides[w]) }

// Known is what a program has already: its words and its opponents.
type Known struct {
	Vocabulary *tags.Vocabulary
	Opponents  []tags.Opponent
}

func newLexicon(k Known) *lexicon {
	v := &lexicon{known: map[string]map[string]string{}, opponents: k.Opponents}
	for _, f := range append([]string{"route"}, fieldsOfWords...) {
		v.known[f] = map[string]string{}
		for spelling, word := range k.Vocabulary.Spellings(f) {
			v.known[f][letters(spelling)] = word
		}
	}
	return v
}

// A found is what a word of a sheet was read as.
type found struct {
	tags meaning // what is set; none: the tag stays empty
	word *Word   // said to the person; nil where there is nothing to say
}

var (
	sideWords = map[string]string{"l": "left", "lt": "left", "left": "left", "r": "right", "rt": "right",
		"right": "right"}
	backWords     = map[string]string{"gun": "gun", "shotgun": "gun", "pistol": "pistol", "under": "under center"}
	coverageForm  = regexp.MustCompile(`^(?:c|cov|cvr|cover|coverage)? ?-?(\d)$`)
	fillers       = regexp.MustCompile(`\b(to|the|hash|mark|side|of|field|a|on|in)\b`)
	personnelPart = regexp.MustCompile(`^[0-3][0-4]$`)
)

// exact finds a word as it stands, then without what sheets write around it:
// side and backfield beside a set, side after a concept, "C3" for a coverage.
func (v *lexicon) exact(field, text string) (meaning, string, bool) {
	if table := tables[field]; table != nil {
		m, ok := table[letters(text)]
		if !ok {
			m, ok = table[letters(fillers.ReplaceAllString(strings.ToLower(text), " "))]
		}
		return m, "", ok
	}
	known := v.known[field]
	if w, ok := known[letters(text)]; ok {
		return meaning{{field, w}}, "", true
	}
	low := strings.ToLower(text)
	if field == "coverage" {
		if m := coverageForm.FindStringSubmatch(numerals(low)); m != nil {
			if w, ok := known["cover"+m[1]]; ok {
				return meaning{{field, w}}, fmt.Sprintf("read as %s", w), true
			}
		}
	}
	if field == "motion" && slices.Contains([]string{"y", "yes", "x", "1", "true", "motion"}, low) {
		return nil, "says that there was motion, not which one: the tag stays empty", true
	}
	if field == "motion" && slices.Contains([]string{"n", "no", "none", "no motion", "0", "false"}, low) {
		return meaning{{field, "none"}}, "", true
	}
	rest, extra := v.around(field, low)
	w, ok := v.word(field, rest)
	if !ok {
		return nil, "", false
	}
	m := append(meaning{{field, w}}, extra...)
	return m, "read as " + spoken(m), true
}

// written are other writings of the trade's words, by the letters of each (common
// practice, no source); one counts where the program has the word.
var written = func() map[string]map[string]string {
	m := map[string]map[string]string{}
	for field, text := range map[string]string{
		"concept": `four verticals: 4 verts, four verts, verts, 4 verticals, all go, all verts, 4 vert; ` +
			`inside zone: iz, in zone, inside zn, izone; outside zone: oz, out zone, wide zone, outside zn, ozone; ` +
			`counter: ctr, cntr, counter gt, gt counter, gt; power: pwr, power o; sneak: qb sneak; draw: rb draw, draw play; ` +
			`bubble: bubble screen; now screen: now; tunnel screen: tunnel; slow screen: rb screen, hb screen; ` +
			`curl-flat: curl flats; slant-flat: slant flats; y-cross: y x, cross y; ` +
			`zone read: zr, read zone; jet sweep: jet; shallow cross: shallow x`,
		"set_name": `2x2: dbls, dbl, double; 3x1: trip, trps; 2x1: pro set; ` +
			`empty 3x2: empty set`,
		"coverage": `two-man: 2 man, man under 2, cover 2 man`,
	} {
		m[field] = map[string]string{}
		for _, entry := range strings.Split(text, "; ") {
			word, others, _ := strings.Cut(entry, ": ")
			for _, w := range strings.Split(others, ", ") {
				m[field][letters(w)] = word
			}
		}
	}
	return m
}()

// around takes the words for side and backfield off a set, for the side off a concept.
func (v *lexicon) around(field, low string) (rest string, extra meaning) {
	if field != "set_name" && field != "concept" {
		return low, nil
	}
	var kept []string
	for i, w := range strings.Fields(low) {
		switch {
		case field == "set_name" && v.side(w) != "":
			extra = append(extra, tag{"strength", v.side(w)})
		case field == "set_name" && backWords[w] != "":
			extra = append(extra, tag{"backfield", backWords[w]})
		case field == "set_name" && w == "center", field == "set_name" && i == 0 && personnelPart.MatchString(w) && low != w:
		case field == "concept" && i > 0 && sideWords[w] != "":
			extra = append(extra, tag{"play_side", sideWords[w]})
		default:
			kept = append(kept, w)
		}
	}
	if len(kept) == 0 {
		return low, nil
	}
	return strings.Join(kept, " "), extra
}

func spoken(m meaning) string {
	var parts []string
	for _, t := range m {
		parts = append(parts, strings.ReplaceAll(t.field, "_name", "")+" "+t.value)
	}
	return strings.Join(parts, ", ")
}

// near lists the known spellings that a word may be a slip of, nearest first,
// with what they mean. A changed digit is another word, not a slip.
func (v *lexicon) near(field, text string, also map[string]int) (keys []string) {
	w := letters(text)
	limit := 0
	switch n := len(w); {
	case n >= 8:
		limit = 2
	case n >= 4:
		limit = 1
	}
	try := func(key string) {
		if key != w && len(key) > 2 && digits(key) == digits(w) && spell.Edits(w, key) <= limit {
			keys = append(keys, key)
		}
	}
	for key := range v.known[field] {
		try(key)
	}
	for key := range tables[field] {
		try(key)
	}
	for key, n := range also {
		if n >= 4 && v.known[field][key] == "" {
			try(key)
		}
	}
	sort.Slice(keys, func(i, j int) bool {
		a, b := spell.Edits(w, keys[i]), spell.Edits(w, keys[j])
		return a < b || a == b && keys[i] < keys[j]
	})
	return keys
}

// nearestOf are the first of keys, those no farther from a word than the first.
func nearestOf(w string, keys []string) []string {
	for i := range keys {
		if spell.Edits(w, keys[i]) > spell.Edits(w, keys[0]) {
			return keys[:i]
		}
	}
	return keys
}

func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, s)
}

// A count is how often a sheet has a word, by field and letters.
type count map[string]map[string]int

// read decides what a word of a sheet stands for. A word that is off by a slip
// of the finger from exactly one known word, and rare beside it, is taken for it
// and said; one that could be several stays empty and is asked; anything else is
// a new word, said too.
func (v *lexicon) read(field, text string, counts count, spelled map[string]string, a *Answers) found {
	if to, ok := a.word(field, text); ok {
		if to == "" {
			return found{}
		}
		if m, _, known := v.exact(field, to); known {
			return found{tags: m}
		}
		return v.fresh(field, to, nil, "you said so")
	}
	if m, why, ok := v.exact(field, text); ok {
		if why == "" {
			return found{tags: m}
		}
		if len(m) == 0 {
			return v.empty(field, text, nil, why)
		}
		return found{m, &Word{Field: field, Word: text, Becomes: wordReadAs, As: m[0].value, Nearest: []string{}, Why: why}}
	}
	rest, extra := text, meaning(nil)
	if r, e := v.around(field, strings.ToLower(text)); len(e) > 0 {
		rest, extra = r, e
	}
	n := counts[field][letters(rest)]
	keys := v.near(field, rest, counts[field])
	meant := v.meantBy(field, nearestOf(letters(rest), keys), spelled)
	switch {
	case len(keys) == 0 && tables[field] != nil:
		return v.empty(field, text, v.allowed(field), "no table knows it: the tag stays empty")
	case len(keys) == 0 && field == "route":
		return v.empty(field, text, v.nearest(field, text), "no route goes by it: his route stays empty"+v.like(field, text))
	case len(keys) == 0, tables[field] == nil && n >= 4 && n*5 > counts[field][keys[0]]:
		m := append(meaning{{field, rest}}, extra...)
		return found{m, &Word{Field: field, Word: text, Becomes: wordNew, As: rest, Nearest: v.nearest(field, rest),
			Why: "new to the program: becomes a word of its own" + v.like(field, rest)}}
	case len(meant) == 1:
		m := append(slices.Clone(meant[0]), extra...)
		as := text
		if len(m) > 0 {
			as = m[0].value
		}
		return found{m, &Word{Field: field, Word: text, Becomes: wordCorrected, As: as, Nearest: []string{as},
			Why: fmt.Sprintf("taken for a misspelling of %q", as)}}
	}
	var names []string
	for _, m := range meant {
		if len(m) > 0 {
			names = append(names, m[0].value)
		}
	}
	return v.empty(field, text, names, "may be "+strings.Join(names, " or ")+": the tag stays empty until you say which")
}

// meantBy is what spellings mean, each meaning once.
func (v *lexicon) meantBy(field string, keys []string, spelled map[string]string) (out []meaning) {
	for _, k := range keys {
		m, ok := tables[field][k]
		if !ok {
			w := v.known[field][k]
			if w == "" {
				w = spelled[field+"\x00"+k]
			}
			m = meaning{{field, w}}
		}
		if !slices.ContainsFunc(out, func(o meaning) bool { return slices.Equal(o, m) }) {
			out = append(out, m)
		}
	}
	return out
}

func (v *lexicon) empty(field, text string, near []string, why string) found {
	if near == nil {
		near = []string{}
	}
	return found{nil, &Word{Field: field, Word: text, Becomes: wordEmpty, Nearest: near, Why: why}}
}

func (v *lexicon) fresh(field, text string, extra meaning, why string) found {
	return found{append(meaning{{field, text}}, extra...), &Word{Field: field, Word: text, Becomes: wordNew, As: text,
		Nearest: []string{}, Why: why}}
}

// allowed lists the fixed words of a field.
func (v *lexicon) allowed(field string) []string { return slices.Clone(tags.Allowed(field)) }

// nearest are the three known words that look most like one.
func (v *lexicon) nearest(field, text string) []string {
	best := map[string]int{}
	for key, w := range v.known[field] {
		d := spell.Edits(letters(text), key)
		if old, ok := best[w]; !ok || d < old {
			best[w] = d
		}
	}
	all := slices.SortedFunc(maps.Keys(best), func(a, b string) int {
		return cmp.Or(best[a]-best[b], strings.Compare(a, b))
	})
	return append([]string{}, all[:min(3, len(all))]...)
}

func (v *lexicon) like(field, text string) string {
	if near := v.nearest(field, text); len(near) > 0 {
		return fmt.Sprintf(" (nearest known: %s)", strings.Join(near, ", "))
	}
	return ""
}

// word is what a person answered about a word of the sheet.
func (a *Answers) word(field, text string) (string, bool) {
	for k, to := range a.Words {
		f, w, _ := strings.Cut(k, ":")
		if strings.Trim(f, "<>") == strings.Trim(field, "<>") && letters(w) == letters(text) {
			return to, true
		}
	}
	return "", false
}

// column is what a person answered about a column, by head or letter.
func (a *Answers) column(head string, col int) (string, bool) {
	for k, f := range a.Columns {
		if k == columnName(col) || tags.Fold(k) == tags.Fold(head) && head != "" {
			if f != "" && readings[f] == nil && readings["<"+f+">"] != nil {
				f = "<" + f + ">"
			}
			return f, true
		}
	}
	return "", false
}
