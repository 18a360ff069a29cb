package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// What a column may be told by when no field goes by its head: values that can hardly be
// anything else. Letters for sides are not among them, nor bare numbers but personnel.
var (
	telling = map[string]*regexp.Regexp{
		spot:            regexp.MustCompile(`(?i)^((own|opp)[a-z\']* ?\d{1,2}|[+-]\d{1,2}|50)$`),
		"clock_s":       regexp.MustCompile(`^1?\d:[0-5]\d$`),
		downAndDistance: regexp.MustCompile(`(?i)^([1-4]|1st|2nd|3rd|4th) ?(&|and) ?(\d{1,2}|g|goal)$`),
		"personnel":     regexp.MustCompile(`^(0[0-2]|1[0-4]|2[0-3]|3[0-2])$`),
	}
	tellingWords = []string{"result", "coverage", "concept", "set_name", "called", "hash", "backfield", "family", "shell"}
)

// byValues takes columns under heads that say nothing for the one field left that nearly all
// their values read as.
func (l *layout) byValues(v *lexicon, a *Answers, done map[int]bool) {
	for col, head := range l.heads {
		if _, said := a.column(head, col); done[col] || said || head == "" {
			continue
		}
		could, n, of := l.could(col, v)
		if len(could) != 1 {
			continue
		}
		done[col] = true
		l.columns = append(l.columns, &column{at: col, head: head, field: could[0],
			why: fmt.Sprintf("no field goes by this head, but %d of %d values read as that", n, of)})
	}
	slices.SortStableFunc(l.columns, func(a, b *column) int { return a.at - b.at })
}

// could are the free fields that a column's values read as, and how many of how many read as the last.
func (l *layout) could(col int, v *lexicon) (fields []string, n, of int) {
	for f := range telling {
		if got, all := l.tells(col, f, v); l.column(f) == nil && all >= 5 && got*20 >= all*19 {
			fields, n, of = append(fields, f), got, all
		}
	}
	for _, f := range tellingWords {
		if got, all := l.tells(col, f, v); l.column(f) == nil && all >= 5 && got*10 >= all*9 {
			fields, n, of = append(fields, f), got, all
		}
	}
	return fields, n, of
}

// tells counts the values of a column that can hardly be anything but a field's; none where
// all are the same.
func (l *layout) tells(col int, field string, v *lexicon) (n, of int) {
	seen := map[string]bool{}
	for row := l.header + 1; row < len(l.tab.rows) && of < 300; row++ {
		text := l.tab.cell(row, col)
		if text == "" || unknowns[strings.ToLower(text)] || sums.MatchString(l.tab.cell(row, 0)) {
			continue
		}
		of++
		if form := telling[field]; form != nil {
			if form.MatchString(text) {
				n, seen[text] = n+1, true
			}
		} else if m, _, ok := v.exact(field, text); ok && len(m) > 0 {
			n, seen[letters(text)] = n+1, true
		}
	}
	if len(seen) < 2 || field == "hash" && len(seen) < 3 {
		return 0, of
	}
	return n, of
}
