package filmroom

import (
	"maps"
	"slices"
	"strings"

	"overhang/internal/tags"
)

// A Tagging is the page on which the snaps of one game are tagged.
type Tagging struct {
	Head
	SignedIn string // who tags; "" where nobody signs in and he says it himself
	Groups   []Group
	Routes   []int  // a row of controls each
	Lists    []List // the program's words, offered where they are typed
	Shapes   *Shapes
	Writes   string // the members of a play that the API takes, apart by spaces
}

// A Group is one line of the form.
type Group struct {
	Title  string
	Fields []Field
}

// A Field is one control. Its kind says how the script reads it: number, clock
// (minutes:seconds), spot (yards to the goal line, or minus the yard line on the
// own half), word (of the vocabulary), choice, truth, mark or text.
type Field struct {
	Name, Label, Kind string
	Hint              string
	Choices           []string
}

// A List is a field's words.
type List struct {
	Field string
	Words []tags.Word
}

// Label is how a field of a play is called on the pages; one without a name of
// its own keeps the API's.
func Label(field string) string {
	if l, ok := labels[field]; ok {
		return l
	}
	return strings.ReplaceAll(field, "_", " ")
}

// Labels are the names of all fields that have one of their own.
func Labels() map[string]string { return maps.Clone(labels) }

var labels = map[string]string{"clock_s": "Clock", "distance_yd": "Distance", "yards_to_goal": "Yard line",
	"score_margin": "Score diff", "set_name": "Set", "called": "Run or pass",
	"play_side": "Play side",
	"gain_yd":   "Gain", "rushers": "Rushed", "blitzers": "Blitzed", "coverage_kind": "Man or zone",
	"play_fake": "Fake", "run_option": "Option",
	"status": "In the stats", "since_last": "Since last", "quarter": "Quarter", "down": "Down", "hash": "Hash",
	"personnel": "Personnel", "strength": "Strength", "backfield": "Backfield", "motion": "Motion",
	"family": "Family", "concept": "Concept", "result": "Result", "touchdown": "Touchdown", "shell": "Shell",
	"coverage": "Coverage", "pressured": "Pressure", "note": "Note", "routes": "Routes"}

// form is every field, in the order a snap shows them.
var form = []Group{
	{"Situation", []Field{{Name: "quarter", Kind: "number"}, {Name: "clock_s", Kind: "clock", Hint: "9:41"},
		{Name: "score_margin", Kind: "number", Hint: "they +3"},
		{Name: "since_last", Kind: "choice"}, {Name: "down", Kind: "number"}, {Name: "distance_yd", Kind: "number",
			Hint: "yards"}, {Name: "yards_to_goal", Kind: "spot", Hint: "-25: own 25"}, {Name: "hash", Kind: "choice"}}},
	{"Before the snap", []Field{{Name: "personnel", Kind: "text", Hint: "backs, TEs"},
		{Name: "set_name", Kind: "word"}, {Name: "strength", Kind: "choice"}, {Name: "backfield", Kind: "word"},
		{Name: "motion", Kind: "word"}}},
	{"Play", []Field{{Name: "family", Kind: "choice"}, {Name: "called", Kind: "choice"}, {Name: "concept", Kind: "word"},
		{Name: "play_side", Kind: "choice"}, {Name: "play_fake", Kind: "truth"}, {Name: "run_option", Kind: "truth"}}},
	{"Result", []Field{{Name: "result", Kind: "choice"}, {Name: "gain_yd", Kind: "number", Hint: "yards"},
		{Name: "touchdown", Kind: "mark"}, {Name: "status", Kind: "choice"}}},
	{"Defense shown", []Field{{Name: "shell", Kind: "choice"}, {Name: "coverage", Kind: "word"}, {Name: "coverage_kind",
		Kind: "choice"}, {Name: "rushers", Kind: "number"}, {Name: "blitzers", Kind: "number"},
		{Name: "pressured", Kind: "truth"}}},
	{"", []Field{{Name: "note", Kind: "text"}}},
}

// NewTagging lays out the page. writes are the members of a play that the API
// takes: what the form does not show goes back to the server as it came.
func NewTagging(h Head, ws []tags.Word, writes []string) *Tagging {
	t := &Tagging{Head: h, Shapes: NewShapes(ws), Writes: strings.Join(writes, " "), Routes: []int{0, 1, 2, 3, 4}}
	for _, g := range form {
		fs := slices.Clone(g.Fields)
		for i := range fs {
			fs[i].Label = Label(fs[i].Name)
			if fs[i].Kind == "choice" {
				fs[i].Choices = tags.Allowed(fs[i].Name)
			}
		}
		t.Groups = append(t.Groups, Group{g.Title, fs})
	}
	for _, f := range tags.Allowed("vocabulary") {
		l := List{Field: f}
		for i := range ws {
			if ws[i].Field == f {
				l.Words = append(l.Words, ws[i])
			}
		}
		t.Lists = append(t.Lists, l)
	}
	return t
}

// Directions are the choices of a route's break.
func (t *Tagging) Directions() []string { return tags.Allowed("break_direction") }

// RoutesAfter says that the routes stand behind this group.
func (g Group) RoutesAfter() bool { return g.Title == "Play" }

// Said is how a choice is shown.
func (f Field) Said(choice string) string { return strings.ReplaceAll(choice, "_", " ") }

// Key is the one key that picks a choice: the first letter of it that no choice
// before it has.
func (f Field) Key(choice string) string { return keysOf(f.Choices)[choice] }

// DirectionKey is the same for the direction of a route's break.
func (t *Tagging) DirectionKey(choice string) string { return keysOf(t.Directions())[choice] }

func keysOf(choices []string) map[string]string {
	out, used := map[string]string{}, ""
	for _, c := range choices {
		for _, r := range c {
			if r >= 'a' && r <= 'z' && !strings.ContainsRune(used, r) {
				out[c] = string(r)
				used += string(r)
				break
			}
		}
	}
	return out
}
