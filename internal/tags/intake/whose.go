package intake

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"overhang/internal/spell"
	"overhang/internal/tags"
)

// opponents brings what the sheet writes to opponents the program has, or new
// ones; a slip of the finger is taken for the name it is off from, and said.
func (r *sheetReader) opponents(file string) {
	p := &r.out.Proposal
	fallback, why := r.answers.Opponent, "you said so"
	if fallback == "" {
		fallback, why = fromName(file), "the file's name"
	}
	codes := map[string]tags.Opponent{} // by letters of what is written
	for _, o := range r.v.opponents {
		codes[letters(o.Code)], codes[letters(o.Name)] = o, o
	}
	told := false
	for _, rec := range r.records {
		if r.answers.Opponent != "" {
			rec.Opponent = r.answers.Opponent
		}
		if rec.Opponent == "" && fallback != "" {
			rec.Opponent = fallback
			if !told {
				p.Columns = append(p.Columns, Column{Tab: rec.tab, Head: fallback, Field: opponent, Means: "opponent",
					Why: "no column, title or tab names the opponent: " + why})
				told = true
			}
		}
		if rec.Opponent == "" {
			rec.bad = append(rec.bad, tags.FieldError{Row: rec.Line, Field: "opponent",
				Msg: "nothing says whose plays these are: name the opponent"})
			p.say("error", rec.tab, opponent, "nothing says whose plays these are: name the opponent", rec.Line-1, 0)
			continue
		}
		r.opponent(rec, codes)
	}
}

func (r *sheetReader) opponent(rec *Record, codes map[string]tags.Opponent) {
	key := letters(rec.Opponent)
	if to, ok := r.answers.word(opponent, rec.Opponent); ok && to != "" {
		key, rec.Opponent = letters(to), to
	}
	o, ok := codes[key]
	if !ok {
		if near, yes := r.slip(key, codes); yes {
			o = near
			r.tell(rec, &Word{Field: "opponent", Word: rec.Opponent, Becomes: wordCorrected, As: o.Name,
				Nearest: []string{o.Name},
				Why:     fmt.Sprintf("taken for a misspelling of %q", o.Name)}, opponent)
			rec.Opponent, rec.opponentName = o.Code, o.Name
			return
		}
		o = tags.Opponent{Code: slug(rec.Opponent), Name: rec.Opponent}
		codes[key] = o
	}
	rec.Opponent, rec.opponentName = o.Code, o.Name
}

// slip finds the one opponent a rare name is a misspelling of.
func (r *sheetReader) slip(key string, codes map[string]tags.Opponent) (tags.Opponent, bool) {
	n := r.counts[opponent][key]
	limit := 1
	if len(key) >= 8 {
		limit = 2
	}
	var near []tags.Opponent
	add := func(o tags.Opponent) {
		if !slices.ContainsFunc(near, func(x tags.Opponent) bool { return x.Code == o.Code }) {
			near = append(near, o)
		}
	}
	for k, o := range codes {
		if len(k) >= 4 && spell.Edits(key, k) <= limit {
			add(o)
		}
	}
	for k, often := range r.counts[opponent] {
		if k != key && often > 4*n && len(k) >= 4 && spell.Edits(key, k) <= limit && codes[k].Code == "" {
			name := r.spelled[opponent+"\x00"+k]
			o := tags.Opponent{Code: slug(name), Name: name}
			codes[k] = o
			add(o)
		}
	}
	if len(near) != 1 || n > 2 && n*10 > r.counts[opponent][letters(near[0].Name)] {
		return tags.Opponent{}, false
	}
	return near[0], true
}

var (
	notCode  = regexp.MustCompile(`[^a-z0-9]+`)
	dullName = regexp.MustCompile(`(?i)\b(week|wk|game|film|scout(ing)?|breakdown|offense|sheet|data|plays?|season|` +
		`final|copy|report|of|vs|the|\d+)\b`)
)

// slug is a code for a name.
func slug(name string) string {
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(strings.ToLower(name)))
	s := strings.Trim(notCode.ReplaceAllString(plain, "-"), "-")
	if s == "" {
		return "opponent"
	}
	return strings.Trim(s[:min(40, len(s))], "-")
}

// fromName is an opponent's name out of a file's.
func fromName(file string) string {
	base := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
	base = strings.NewReplacer("-", " ", "_", " ", ".", " ").Replace(base)
	return strings.Join(strings.Fields(dullName.ReplaceAllString(base, " ")), " ")
}
