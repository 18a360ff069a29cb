package intake

import (
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"
)

// A column is one that is read.
type column struct {
	at          int    // its place
	head, field string // as the sheet says, as it was taken
	why         string
	bare        int    // of spots: 1 a number without a side is in the opponent's half, -1 in the own
	kept        string // the cell as the workbook keeps it, while it is read
	man         string // of routes: the letter of the man
	worded      bool   // most of its numbers are in words
	whole       bool   // its texts say how the offense lines up beside what it runs
	personnel   bool   // and begin with the personnel
	fill        bool   // a blank cell means the one above
}

// A layout is where a tab keeps its plays.
type layout struct {
	tab     *tab
	header  int // the row of heads, the lower of two
	heads   []string
	columns []*column
	unread  []Column
	context Record   // what the lines above the heads say of all plays
	about   []Column // of context: what was read where
}

// fields counts what is read.
func (l *layout) fields() int {
	n := 0
	for _, c := range l.columns {
		if c.field != nothing && c.field != "note" {
			n++
		}
	}
	return n
}

// layoutOf finds the heads of a tab: the row (or two) among the first whose
// texts mean most. nil where fewer than three do.
func layoutOf(t *tab, v *lexicon, a *Answers) *layout {
	best, most := -1, 2
	var heads []string
	for r := 0; r < min(len(t.rows), 60); r++ {
		for _, two := range []bool{false, true} {
			hs := headsAt(t, r, two)
			if n := meant(hs); n > most {
				best, most, heads = r, n, hs
			}
		}
	}
	if best < 0 {
		return nil
	}
	l := &layout{tab: t, header: best, heads: heads}
	l.choose(v, a)
	l.above(a)
	return l
}

// headsAt is the text over each column: of one row, or with the row above it.
func headsAt(t *tab, r int, two bool) []string {
	if !two {
		return t.cells(r)
	}
	if r == 0 {
		return nil
	}
	out := make([]string, max(len(t.rows[r]), len(t.rows[r-1])))
	group := ""
	for c := range out {
		low := t.cell(r, c)
		out[c] = low
		if up := t.cell(r-1, c); up != "" {
			group = up
		}
		if fields, _ := meanings(low); low == "" {
			out[c] = t.cell(r-1, c)
		} else if fields == nil && group != low {
			out[c] = group + " " + low
		}
	}
	return out
}

// cells are the texts of a row.
func (t *tab) cells(r int) []string {
	out := make([]string, len(t.rows[r]))
	for c := range out {
		out[c] = t.cell(r, c)
	}
	return out
}

func meant(heads []string) int {
	seen := map[string]bool{}
	for _, h := range heads {
		if fields, _ := meanings(h); fields != nil && len(h) < 40 {
			seen[headWords(h)] = true
		}
	}
	return len(seen)
}

// A bid is one column that could be one field.
type bid struct {
	col, rank int
	field     string
	fit       float64
	of        int
}

// choose gives every column the field its head and its values speak for most.
func (l *layout) choose(v *lexicon, a *Answers) {
	var bids []bid
	why := map[int]string{}
	for c, head := range l.heads {
		if field, ok := a.column(head, c); ok {
			if field != "" {
				bids = append(bids, bid{c, -1, field, 1, 0})
			}
			why[c] = "you said so"
			continue
		}
		fields, misspelt := meanings(head)
		if misspelt != "" {
			why[c] = fmt.Sprintf("%q is taken for %q; ", head, misspelt)
		}
		for rank, f := range fields {
			fit, of := l.fit(c, f, v)
			if of > 0 && fit >= 0.5 || f == nothing {
				bids = append(bids, bid{c, rank, f, fit, of})
			}
		}
	}
	sort.SliceStable(bids, func(i, j int) bool {
		x, y := bids[i], bids[j]
		if good, better := x.fit >= 0.7, y.fit >= 0.7; good != better {
			return good
		}
		return x.rank < y.rank || x.rank == y.rank && x.col < y.col
	})
	done := map[int]bool{}
	for _, b := range bids {
		if done[b.col] || l.taken(b) {
			continue
		}
		done[b.col] = true
		c := &column{at: b.col, head: l.heads[b.col], field: b.field, why: why[b.col] + reason(b)}
		l.columns = append(l.columns, c)
	}
	sort.SliceStable(l.columns, func(i, j int) bool { return l.columns[i].at < l.columns[j].at })
	l.routeColumns(v, a, done)
	l.byValues(v, a, done)
	l.finish(v, why, done)
}

func reason(b bid) string {
	switch {
	case b.field == nothing:
		return "from the heading: nothing about a play is kept from it"
	case b.rank < 0:
		return ""
	}
	if read := int(b.fit*float64(b.of) + 0.5); read < b.of {
		return fmt.Sprintf("from the heading; %d of %d cells fit", read, b.of)
	}
	return fmt.Sprintf("from the heading; all %d cells fit", b.of)
}

// taken reports whether a field has its column already; a second one is read
// beside it where hardly a row fills both (a column for runs, one for passes).
func (l *layout) taken(b bid) bool {
	for _, c := range l.columns {
		if c.field != b.field || b.field == nothing {
			continue
		}
		both, second := 0, 0
		for r := l.header + 1; r < len(l.tab.rows); r++ {
			if l.tab.cell(r, b.col) != "" {
				if second++; l.tab.cell(r, c.at) != "" {
					both++
				}
			}
		}
		if b.rank >= 0 && both*20 > second {
			return true
		}
	}
	return false
}

// finish settles what hangs on all columns together, and says what is not read.
func (l *layout) finish(v *lexicon, why map[int]string, done map[int]bool) {
	has := func(f string) *column {
		for _, c := range l.columns {
			if c.field == f {
				return c
			}
		}
		return nil
	}
	// A sheet with the offense in one column and its opponent in another means
	// by opponent the team it played.
	if o := has(opponent); o != nil && has(versus) == nil {
		for c, head := range l.heads {
			w := headWords(head)
			if !done[c] && (w == "opponent" || w == "opp") && slices.Contains([]string{"offense", "team", "offense team"},
				headWords(o.head)) {
				l.columns = append(l.columns, &column{at: c, head: head, field: versus, why: "the offense has a column of its own"})
				done[c] = true
			}
		}
	}
	for _, c := range l.columns {
		switch c.field {
		case opponent, versus, date, week, season, game:
			c.fill = true
		case "quarter":
			c.fill = l.gaps(c.at)
		case spot:
			l.signs(c)
		case "set_name":
			l.sides(c, v)
		case "concept":
			l.whole(c, v)
		}
		c.worded = inFigures[c.field] && l.worded(c)
	}
	for c, head := range l.heads {
		if !done[c] && head != "" {
			text := "no field of a play goes by this head, or the values do not read as it"
			if why[c] == "you said so" {
				text = "you said so"
			}
			l.unread = append(l.unread, Column{Tab: l.tab.name, Column: columnName(c), Head: head, Why: text})
		}
	}
}

// whole finds whether the texts of a concept's column say more than the concept.
func (l *layout) whole(c *column, v *lexicon) {
	c.whole, c.personnel = l.calls(c.at, v)
	if c.whole {
		c.why += "; the formation" + map[bool]string{true: " and the personnel"}[c.personnel] + " before it count too"
	}
}

// gaps reports whether a tenth of the rows have no value: one stands for those
// below it too, as in a cell merged downward.
func (l *layout) gaps(col int) bool {
	n, of := 0, 0
	for r := l.header + 1; r < len(l.tab.rows); r++ {
		if len(l.tab.rows[r]) == 0 {
			continue
		}
		if of++; l.tab.cell(r, col) != "" {
			n++
		}
	}
	return 10*(of-n) >= of
}

// signs finds what a spot without a side means: where minus marks the own half
// and plus is never written, a bare number is in the opponent's.
func (l *layout) signs(c *column) {
	minus, plus, bare := 0, 0, 0
	for r := l.header + 1; r < len(l.tab.rows); r++ {
		switch s := l.tab.cell(r, c.at); {
		case strings.HasPrefix(s, "-"):
			minus++
		case strings.HasPrefix(s, "+"):
			plus++
		case s != "" && s != "50" && s[0] >= '0' && s[0] <= '9':
			bare++
		}
	}
	switch {
	case minus > 0 && plus == 0 && bare*10 >= minus:
		c.bare = 1
		c.why += "; minus is the offense's own half, so a number without a sign is the opponent's"
	case plus > 0 && minus == 0 && bare*10 >= plus:
		c.bare = -1
		c.why += "; plus is the opponent's half, so a number without a sign is the offense's own"
	case minus > 0:
		c.why += "; minus is the offense's own half, plus the opponent's"
	}
}

var (
	labeled = regexp.MustCompile(`^([A-Za-z][A-Za-z ]{1,20}?) ?[:=] ?(.+)$`)
	played  = regexp.MustCompile(`\b(?i:vs\.?|against|scouting|opponent) +(\p{Lu}[\p{L}\p{N}'& ]{1,30}?)(?:[,;:(]| - |$)`)
	// Both names: the first is whose plays these are.
	between = regexp.MustCompile(`^(\p{Lu}[\p{L}\p{N}'& ]{1,30}?) (?:vs\.?|v\.|versus|against|at|@) ` +
		`(\p{Lu}[\p{L}\p{N}'& ]{1,30}?)(?:[,;:(]| - |$)`)
	scouted = regexp.MustCompile(`^(\p{Lu}[\p{L}\p{N}'& ]{1,30}?)(?:'s)?(?: on)?(?: the)? ` +
		`(?i:offense|scouting|scout|breakdown|film|tendencies)\b`)
	guest  = regexp.MustCompile(`\b(?i:vs\.?|v\.|versus|against|at|@) +(\p{Lu}[\p{L}\p{N}'& ]{1,30}?)(?:[,;:(]| - |$)`)
	weekIn = regexp.MustCompile(`(?i)\b(?:week|wk\.?) ?#?(\d{1,2})\b`)
	dateIn = regexp.MustCompile(`(?i)\b(\d{4}-\d{1,2}-\d{1,2}|\d{1,2}/\d{1,2}/\d{2,4}|\d{1,2}\.\d{1,2}\.\d{4}|` +
		`(?:jan|feb|mar|apr|may|jun|jul|aug|sept?|oct|nov|dec)[a-z]*\.? \d{1,2},? \d{4})\b`)
)

// above reads the lines over the heads, then the tab's name: whose plays, when.
func (l *layout) above(a *Answers) {
	for r := 0; r <= min(l.header, len(l.tab.rows)-1); r++ {
		for c, text := range l.tab.rows[r] {
			if r == l.header || c > 0 && text == l.tab.cell(r, c-1) {
				continue
			}
			if m := labeled.FindStringSubmatch(text); m != nil {
				l.told(m[1], m[2], place(r, c))
			} else if next := l.tab.cell(r, c+1); next != "" && next != text {
				l.told(text, next, place(r, c))
			}
			l.found(text, place(r, c))
		}
	}
	if l.tab.name != "" {
		l.found(l.tab.name, "the tab's name")
	}
}

// told takes a label over the heads with its value.
func (l *layout) told(label, value, where string) {
	fields, _ := meanings(strings.TrimSuffix(label, ":"))
	for _, f := range fields {
		switch f {
		case opponent, versus, date, week, season, game:
			if l.column(f) != nil || l.has(f) {
				return
			}
			if readings[f](&l.context, &column{}, value) == nil {
				l.about = append(l.about, Column{Tab: l.tab.name, Head: value, Field: f, Means: means(f),
					Why: "for all plays of the tab, from " + where})
			}
			return
		}
	}
}

func (l *layout) column(field string) *column {
	for _, c := range l.columns {
		if c.field == field {
			return c
		}
	}
	return nil
}

func (l *layout) has(f string) bool {
	r := &l.context
	return f == opponent && r.Opponent != "" || f == versus && r.Game.Versus != nil || f == date && !r.day.IsZero() ||
		f == week && r.Game.Week != nil || f == season && r.Season != "" || f == game && r.Game.Label != ""
}

// found looks for an opponent, a date and a week inside a title.
func (l *layout) found(text, where string) {
	if m := between.FindStringSubmatch(text); m != nil && !dullName.MatchString(m[1]) {
		l.told(strings.Trim(opponent, "<>"), m[1], where)
		l.told("versus", m[2], where)
	}
	// "Sedge offense, week 5 at Yarrow": whose plays these are comes first.
	if m := scouted.FindStringSubmatch(text); m != nil && !dullName.MatchString(m[1]) {
		l.told(strings.Trim(opponent, "<>"), m[1], where)
		if m := guest.FindStringSubmatch(text); m != nil {
			l.told("versus", m[1], where)
		}
	}
	for _, x := range []struct {
		field string
		form  *regexp.Regexp
	}{{date, dateIn}, {week, weekIn}, {opponent, played}, {opponent, scouted}} {
		if m := x.form.FindStringSubmatch(text); m != nil {
			l.told(strings.Trim(x.field, "<>"), strings.TrimSpace(m[1]), where)
		}
	}
}
