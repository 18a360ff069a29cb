package intake

import (
	"fmt"
	"slices"
	"strings"
)

// Answers are what a person says about a sheet where the guess is wrong or
// cannot be made; the zero value leaves everything to the guess.
type Answers struct {
	Tabs     []string          // tabs to read; none: those that look like plays
	Columns  map[string]string // head or letter of a column: field, "" not to read it
	Words    map[string]string // "field:word of the sheet": our word, "" to leave it empty
	Opponent string            // whose plays these are, where the sheet does not say
	Season   string
	Game     string
	Ours     bool // our games: the coverage is the call we made
}

// A Proposal is how a sheet would come in, and why it was read that way.
type Proposal struct {
	File      string     `json:"file"`
	Kind      string     `json:"kind"` // what kind of file, its separator and encoding
	Tabs      []TabRead  `json:"tabs"`
	Columns   []Column   `json:"columns"`
	Opponents []Opponent `json:"opponents"`
	Words     []Word     `json:"words"`
	Problems  []Problem  `json:"problems"`
	LeftOut   []LeftOut  `json:"left_out"`
	Sample    []Sample   `json:"sample"`
	Plays     int        `json:"plays"`          // would be saved
	Refused   int        `json:"refused"`        // rows with an error: they keep the file out, or stay out alone
	Assumed   int        `json:"assumed_routes"` // plays that get their concept's routes from the library, marked assumed
	// AssumedSets are plays whose set nobody knows: their picture is drawn from one assumed.
	AssumedSets int `json:"assumed_sets"`
	Routeless   int `json:"without_routes"` // passes that get none: concept or set without a drawing in the library
}

// A TabRead is one tab of the file and whether it is read.
type TabRead struct {
	Name      string `json:"name"`
	Read      bool   `json:"read"`
	HeaderRow int    `json:"header_row,omitempty"` // 1 is the first; the lower of two
	Plays     int    `json:"plays"`
	Why       string `json:"why"`
}

// A Column is one column of a tab that is read, and what it was taken for.
type Column struct {
	Tab    string `json:"tab"`
	Column string `json:"column"` // its letter
	Head   string `json:"head"`
	Field  string `json:"field"` // "" where it is not read
	Means  string `json:"means"` // the field in words
	Why    string `json:"why"`
}

// An Opponent is one whose plays are in the sheet.
type Opponent struct {
	Code  string `json:"code"`
	Name  string `json:"name"`
	New   bool   `json:"new"`
	Plays int    `json:"plays"`
}

// What becomes of a word that is not the vocabulary's own.
const (
	wordReadAs    = "read_as"    // another writing of a known word
	wordCorrected = "corrected"  // taken for a misspelling, said so
	wordNew       = "new"        // becomes a word of the program
	wordEmpty     = "left_empty" // may be a misspelling of several, or has no meaning here: ask
)

// A Word is one word of the sheet that had to be interpreted, once.
type Word struct {
	Field   string   `json:"field"`
	Word    string   `json:"word"`
	Becomes string   `json:"becomes"` // read_as, corrected, new, left_empty
	As      string   `json:"as"`      // what is stored
	Nearest []string `json:"nearest"`
	Plays   int      `json:"plays"`
	Cells   []string `json:"cells"` // the first ten
	Why     string   `json:"why"`
}

// A Problem is one thing that is wrong, once, with every place it was met at.
type Problem struct {
	Severity string   `json:"severity"` // error keeps the row out, notice leaves the tag empty
	Tab      string   `json:"tab,omitempty"`
	Field    string   `json:"field"`
	Message  string   `json:"message"`
	Count    int      `json:"count"`
	Rows     []int    `json:"rows"`  // the first ten
	Cells    []string `json:"cells"` // likewise
}

// LeftOut is rows that are no plays, and why.
type LeftOut struct {
	Tab  string `json:"tab"`
	Rows []int  `json:"rows"` // the first ten
	N    int    `json:"count"`
	Why  string `json:"why"`
}

// A Sample is one play as it would be stored.
type Sample struct {
	Tab      string `json:"tab"`
	Row      int    `json:"row"`
	Opponent string `json:"opponent"`
	Game     string `json:"game"`
	Tags     []Tag  `json:"tags"`
}

// A Tag is a field and its value in text.
type Tag struct {
	Field string `json:"field"`
	Value string `json:"value"`
}

const fewest = 10 // places told for one cause

// say adds a place to a cause, once for each.
func (p *Proposal) say(severity, tab, field, message string, row, col int) {
	i := slices.IndexFunc(p.Problems, func(q Problem) bool {
		return q.Severity == severity && q.Tab == tab && q.Field == field && q.Message == message
	})
	if i < 0 {
		p.Problems = append(p.Problems, Problem{Severity: severity, Tab: tab, Field: field, Message: message, Rows: []int{},
			Cells: []string{}})
		i = len(p.Problems) - 1
	}
	q := &p.Problems[i]
	if q.Count++; q.Count <= fewest {
		q.Rows, q.Cells = append(q.Rows, row+1), append(q.Cells, place(row, col))
	}
}

func (p *Proposal) leave(tab, why string, row int) {
	i := slices.IndexFunc(p.LeftOut, func(l LeftOut) bool { return l.Tab == tab && l.Why == why })
	if i < 0 {
		p.LeftOut = append(p.LeftOut, LeftOut{Tab: tab, Why: why, Rows: []int{}})
		i = len(p.LeftOut) - 1
	}
	l := &p.LeftOut[i]
	if l.N++; l.N <= fewest {
		l.Rows = append(l.Rows, row+1)
	}
}

// Text is the proposal for a terminal.
func (p *Proposal) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", p.File, p.Kind)
	for _, t := range p.Tabs {
		if t.Name != "" || !t.Read {
			fmt.Fprintf(&b, "Tab %q: %s\n", t.Name, t.Why)
		}
	}
	p.columnsText(&b)
	for _, o := range p.Opponents {
		fmt.Fprintf(&b, "Opponent %s (%s): %d plays%s\n", o.Name, o.Code, o.Plays, map[bool]string{true: ", new"}[o.New])
	}
	p.sampleText(&b)
	b.WriteString("\n")
	b.WriteString(p.Said())
	fmt.Fprintf(&b, "%s would be saved, %s refused. %s\n", plural(p.Plays, "play"), plural(p.Refused, "row"), p.Routes())
	return b.String()
}

// sampleText writes a few plays as they would be saved.
func (p *Proposal) sampleText(b *strings.Builder) {
	if len(p.Sample) > 0 {
		b.WriteString("\nAs they would be saved:\n")
	}
	for _, s := range p.Sample {
		fmt.Fprintf(b, "  row %d: %s, %s:", s.Row, s.Opponent, s.Game)
		for _, t := range s.Tags {
			fmt.Fprintf(b, " %s=%s", t.Field, t.Value)
		}
		b.WriteString("\n")
	}
}

// Routes says how many plays have routes or a set that nobody saw.
func (p *Proposal) Routes() string {
	out := fmt.Sprintf("Routes: %d of %d plays have some marked assumed (those their concept has in the library, "+
		"or men placed by their letters); passes without any: %d.", p.Assumed, p.Plays, p.Routeless)
	if p.AssumedSets > 0 {
		out += fmt.Sprintf(" Sets: %s drawn from an assumed one, marked so.", plural(p.AssumedSets, "play"))
	}
	return out
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprint(n, " ", what, "s")
}

func (p *Proposal) columnsText(b *strings.Builder) {
	last := ""
	for _, c := range p.Columns {
		if c.Tab != last && c.Tab != "" {
			fmt.Fprintf(b, "\n%s\n", c.Tab)
		}
		last = c.Tab
		field := c.Field
		if field == "" {
			field = "not read"
		}
		fmt.Fprintf(b, "  %-3s %-18s %-20s %s\n", c.Column, c.Head, strings.Trim(field, "<>"), c.Why)
	}
}

// Said is what a person has to know about what is stored: words, problems, rows
// left out.
func (p *Proposal) Said() string {
	var b strings.Builder
	for _, w := range p.Words {
		fmt.Fprintf(&b, "word: %s %q (%s; %s): %s\n", w.Field, w.Word, plural(w.Plays, "play"), places(w.Cells, w.Plays),
			w.Why)
	}
	for _, l := range p.LeftOut {
		fmt.Fprintf(&b, "left out: %s%s (%s): %s\n", plural(l.N, "row"), inTab(l.Tab), places(texts(l.Rows), l.N), l.Why)
	}
	for _, q := range p.Problems {
		fmt.Fprintf(&b, "%s: %s%s: %s: %s\n", q.Severity, places(q.Cells, q.Count), inTab(q.Tab), strings.Trim(q.Field, "<>"),
			q.Message)
	}
	return b.String()
}

func inTab(name string) string {
	if name == "" {
		return ""
	}
	return fmt.Sprintf(" of %q", name)
}

func texts(rows []int) (out []string) {
	for _, r := range rows {
		out = append(out, fmt.Sprint("row ", r))
	}
	return out
}

func places(cells []string, n int) string {
	s := strings.Join(cells, ", ")
	if n > len(cells) {
		s += fmt.Sprintf(" and %d more", n-len(cells))
	}
	return s
}
