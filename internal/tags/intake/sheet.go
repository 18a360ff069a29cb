package intake

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"overhang/internal/tags"
	"overhang/internal/tags/starter"
)

// A Sheet is a file a coach keeps, read by guess: what would be stored, the
// words that are new, and all that was guessed.
type Sheet struct {
	File
	Fresh    []tags.Word
	Proposal Proposal
}

// sheetReader holds what is needed while one is read.
type sheetReader struct {
	v       *lexicon
	answers *Answers
	out     *Sheet
	counts  count
	spelled map[string]string // field and letters: as it is mostly written
	records []*Record
	cols    map[string]int    // by tab and field: where its column stands
	named   int               // plays whose concept is named by their routes
	drawn   map[string]string // set words nobody knows: the set they are drawn from, assumed
}

// ReadSheet reads a spreadsheet without a mapping: it finds the tab, the heads
// and the meaning of every column and word, and says why. It fails where the
// file cannot be read at all or holds no plays; what is wrong inside is in the
// proposal.
func ReadSheet(name string, data []byte, k Known, a Answers) (*Sheet, error) {
	tabs, kind, err := open(data)
	if err != nil {
		return nil, err
	}
	if err := a.check(); err != nil {
		return nil, err
	}
	r := &sheetReader{v: newLexicon(k), answers: &a, out: &Sheet{}, counts: count{}, spelled: map[string]string{},
		cols: map[string]int{}}
	r.out.Proposal = Proposal{File: filepath.Base(name), Kind: kind, Tabs: []TabRead{}, Columns: []Column{},
		Opponents: []Opponent{}, Words: []Word{}, Problems: []Problem{}, LeftOut: []LeftOut{}, Sample: []Sample{}}
	chosen, err := r.tabs(tabs)
	if err != nil {
		return nil, err
	}
	for _, l := range chosen {
		r.rows(l)
	}
	r.opponents(name)
	r.words()
	r.games(name)
	r.keep()
	return r.out, nil
}

// check refuses an answer that reads a column as a field there is not.
func (a *Answers) check() error {
	for column, f := range a.Columns {
		if f != "" && !readable(f) {
			return fmt.Errorf("column %q: there is no field %q; there are %s", column, f, strings.Join(readableFields(), ", "))
		}
	}
	return nil
}

func readable(f string) bool {
	return readings[f] != nil || readings["<"+f+">"] != nil || tables[f] != nil || slices.Contains(fieldsOfWords, f)
}

func readableFields() (out []string) {
	for f := range readings {
		out = append(out, strings.Trim(f, "<>"))
	}
	for f := range tables {
		out = append(out, f)
	}
	out = append(out, fieldsOfWords...)
	slices.Sort(out)
	return slices.Compact(out)
}

// tabs chooses those with plays: the one that says most of them, and those laid
// out alike.
func (r *sheetReader) tabs(all []tab) ([]*layout, error) {
	p := &r.out.Proposal
	layouts := make([]*layout, len(all))
	best := -1
	for i := range all {
		if l := layoutOf(&all[i], r.v, r.answers); l != nil && l.fields() >= 3 && !all[i].hidden {
			layouts[i] = l
			if best < 0 || l.weight() > layouts[best].weight() {
				best = i
			}
		}
	}
	if best < 0 {
		return nil, errors.New("no tab has a row of heads that says what the columns are (down, distance, gain, concept " +
			"and the like)")
	}
	var chosen []*layout
	for i := range all {
		read, why := layouts[i] != nil && alike(layouts[i], layouts[best]), ""
		switch {
		case len(r.answers.Tabs) > 0:
			read, why = layouts[i] != nil && slices.ContainsFunc(r.answers.Tabs,
				func(t string) bool { return tags.Fold(t) == tags.Fold(all[i].name) }), "you said so"
		case all[i].hidden:
			why = "not read: the tab is hidden"
		case layouts[i] == nil:
			why = "not read: no row of heads was found"
		case i == best:
			why = fmt.Sprintf("read: the heads are in row %d", layouts[i].header+1)
		case read:
			why = fmt.Sprintf("read: laid out like %q", all[best].name)
		default:
			why = fmt.Sprintf("not read: laid out in another way than %q", all[best].name)
		}
		t := TabRead{Name: all[i].name, Read: read, Why: why}
		if read {
			t.HeaderRow = layouts[i].header + 1
			chosen = append(chosen, layouts[i])
		}
		p.Tabs = append(p.Tabs, t)
	}
	if len(chosen) == 0 {
		return nil, errors.New("none of the tabs named has plays")
	}
	return chosen, nil
}

func (l *layout) weight() int { return l.fields() * (len(l.tab.rows) - l.header) }

// alike reports whether most of what one tab says the other says too.
func alike(a, b *layout) bool {
	same := 0
	for _, c := range a.columns {
		if b.column(c.field) != nil {
			same++
		}
	}
	return same*10 >= 8*max(len(a.columns), len(b.columns)-2)
}

// rows reads the plays of a tab.
func (r *sheetReader) rows(l *layout) {
	p := &r.out.Proposal
	r.equalHeads(l)
	p.Columns = append(p.Columns, l.proposed()...)
	if r.out.Header == nil {
		r.out.Header = l.heads
	}
	for _, c := range l.columns {
		r.cols[l.tab.name+"\x00"+c.field] = c.at
	}
	usual := l.usual()
	last := make([]string, len(l.columns))
	for row := l.header + 1; row < len(l.tab.rows); row++ {
		if filled, why := l.noPlay(row, usual); why != "" {
			if filled > 0 {
				p.leave(l.tab.name, why, row)
			}
			continue
		}
		r.row(l, row, last)
	}
}

// proposed says of each column what it is read as, or why it is not, and what the sheet
// says about all plays.
func (l *layout) proposed() (out []Column) {
	for _, c := range l.columns {
		why := c.why
		if c.fill {
			why += "; a blank cell means the one above it"
		}
		out = append(out, Column{l.tab.name, columnName(c.at), c.head, c.field, means(c.field), why})
	}
	return append(append(out, l.unread...), l.about...)
}

func means(field string) string { return strings.ReplaceAll(strings.Trim(field, "<>"), "_", " ") }

// equalHeads names heads that stand over two columns with different values.
func (r *sheetReader) equalHeads(l *layout) {
	for c, head := range l.heads {
		first := slices.IndexFunc(l.heads, func(h string) bool { return h != "" && tags.Fold(h) == tags.Fold(head) })
		if first < 0 || first == c || l.used(first) == nil || l.used(c) != nil || l.same(first, c) {
			continue
		}
		if _, ok := r.answers.column(columnName(c), c); !ok {
			r.out.Proposal.say("error", l.tab.name, "header",
				fmt.Sprintf("%q stands over columns %s and %s, with different values: say which one counts", head,
					columnName(first), columnName(c)), l.header, c)
		}
	}
}

func (l *layout) used(col int) *column {
	for _, c := range l.columns {
		if c.at == col && c.field != nothing {
			return c
		}
	}
	return nil
}

func (l *layout) same(a, b int) bool {
	for r := l.header + 1; r < len(l.tab.rows); r++ {
		if y := l.tab.cell(r, b); y != "" && y != l.tab.cell(r, a) {
			return false
		}
	}
	return true
}

// usual is how many read cells a play mostly has.
func (l *layout) usual() int {
	var ns []int
	for r := l.header + 1; r < len(l.tab.rows); r++ {
		if n := l.filled(r); n > 0 {
			ns = append(ns, n)
		}
	}
	if len(ns) == 0 {
		return 0
	}
	slices.Sort(ns)
	return ns[len(ns)/2]
}

func (l *layout) filled(row int) (n int) {
	for _, c := range l.columns {
		if l.tab.cell(row, c.at) != "" && !c.fill {
			n++
		}
	}
	return n
}

var sums = regexp.MustCompile(`(?i)^(grand |sub)?-?(total|totals|sum|average|avg|mean|count|runs?|pass(es)?|run ` +
	`%|pass %)\b`)

// noPlay says why a row is no play: blank, heads again, a sum, or too little in it.
func (l *layout) noPlay(row, usual int) (filled int, why string) {
	filled = l.filled(row)
	switch {
	case filled == 0:
		return 0, "blank"
	case l.headsIn(row) >= 3:
		return filled, "the heads again"
	case sums.MatchString(cmp.Or(l.tab.rows[row]...)) && filled*2 <= usual:
		return filled, "sums, no plays"
	case filled*4 <= usual:
		return filled, "too little in it for a play (a sum, a note or the start of a drive)"
	}
	return filled, ""
}

// headsIn counts the cells of a row that say what their column's head says.
func (l *layout) headsIn(row int) (n int) {
	for _, c := range l.columns {
		if t := l.tab.cell(row, c.at); t != "" && tags.Fold(t) == tags.Fold(c.head) {
			n++
		}
	}
	return n
}

// row reads one play.
func (r *sheetReader) row(l *layout, row int, last []string) {
	rec := l.context
	rec.Line, rec.tab, rec.Play.Status = row+1, l.tab.name, "counted"
	rec.cells = l.tab.rows[row]
	// The half of the field is known before the spot is read.
	for _, late := range []bool{false, true} {
		for i, c := range l.columns {
			if (c.field == spot) != late || c.field == nothing {
				continue
			}
			text := l.tab.cell(row, c.at)
			c.kept = at(l.tab.kept, row, c.at)
			if c.fill && text == "" {
				text = last[i]
			}
			last[i] = text
			if unknowns[strings.ToLower(text)] {
				continue
			}
			r.cell(l, &rec, c, row, text)
		}
	}
	r.records = append(r.records, &rec)
}

// cell reads one cell into the record, or notes its word for later.
func (r *sheetReader) cell(l *layout, rec *Record, c *column, row int, text string) {
	if c.whole {
		r.call(l, rec, c, row, text)
		return
	}
	if c.field == routeOf {
		r.route(rec, c, row, text)
		return
	}
	read := readings[c.field]
	if read == nil {
		u := use{c.field, text, row, c.at}
		rec.words = append(rec.words, u)
		r.count(c.field, text)
		return
	}
	if to, ok := r.answers.word(c.field, text); ok {
		if text = to; text == "" {
			return
		}
	}
	err := read(rec, c, figured(c.field, text))
	if err == nil {
		if said := figured(c.field, text); said != text && !c.worded {
			r.out.Proposal.say("notice", l.tab.name, c.field, fmt.Sprintf("%q is read as %s", text, said), row, c.at)
		}
		if c.field == opponent {
			rec.words = append(rec.words, use{opponent, text, row, c.at})
			r.count(opponent, text)
		}
		return
	}
	var u *unread
	if errors.As(err, &u) && u.soft {
		r.out.Proposal.say("notice", l.tab.name, c.field, u.msg+"; the tag stays empty", row, c.at)
		return
	}
	r.out.Proposal.say("error", l.tab.name, c.field, err.Error(), row, c.at)
	rec.bad = append(rec.bad, tags.FieldError{Row: row + 1, Field: strings.Trim(c.field, "<>"), Msg: place(row, c.at) +
		": " + err.Error()})
}

func (r *sheetReader) count(field, text string) {
	rest, _ := r.v.around(field, strings.ToLower(text))
	if r.counts[field] == nil {
		r.counts[field] = map[string]int{}
	}
	key := letters(rest)
	r.counts[field][key]++
	if r.spelled[field+"\x00"+key] == "" {
		r.spelled[field+"\x00"+key] = rest
	}
}

// concepts that are runs, by the starter's list.
var runConcepts = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range starter.RunConcepts {
		m[w] = true
	}
	return m
}()
