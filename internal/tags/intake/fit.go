package intake

import (
	"errors"
	"strconv"
	"strings"
	"unicode"
)

// fit is the share of a column's values that read as a field, of those looked at.
func (l *layout) fit(col int, field string, v *lexicon) (share float64, of int) {
	good := 0.0
	for row := l.header + 1; row < len(l.tab.rows) && of < 300; row++ {
		text := l.tab.cell(row, col)
		if text == "" || unknowns[strings.ToLower(text)] || sums.MatchString(l.tab.cell(row, 0)) {
			continue
		}
		of++
		good += fits(field, text, at(l.tab.kept, row, col), v)
	}
	if of == 0 {
		return 0, 0
	}
	return good / float64(of), of
}

// fits is 1 where a text reads as a field, less where it could.
func fits(field, text, kept string, v *lexicon) float64 {
	wordy := strings.ContainsFunc(text, unicode.IsLetter)
	switch field {
	case half:
		if w := strings.ToLower(text); ownWords[w] || oppWords[w] {
			return 1
		}
		return 0.6 // a team's name
	case game:
		if _, ok := dateOf(text); ok {
			return 0.5 // a game told by its date alone
		}
		return 0.7
	case nothing, season, "note":
		return 0.7
	case opponent, versus:
		if wordy {
			return 0.8
		}
		return 0
	}
	if read := readings[field]; read != nil {
		err := read(&Record{}, &column{kept: kept}, figured(field, text))
		var u *unread
		if err == nil || errors.As(err, &u) && u.soft && field == spot {
			return 1
		}
		return 0
	}
	if _, _, ok := v.exact(field, text); ok {
		return 1
	}
	if tables[field] != nil {
		return 0
	}
	if _, err := strconv.ParseFloat(text, 64); err == nil || !wordy {
		return 0
	}
	// A long word of the staff's own is likelier than a letter that means something else.
	return min(0.75, 0.25*float64(len(letters(text))))
}
