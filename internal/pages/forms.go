package pages

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"github.com/google/uuid"

	"overhang/internal/reports/filmroom"
	"overhang/internal/tags"
)

// A Form is what the pages that make and edit nouns show.
type Form struct {
	Base      string // where the program's pages are
	Program   tags.Program
	Opponents []tags.Opponent
	Opponent  *tags.Opponent // nil: a new one
	Game      *tags.Game     // nil: a new one
	For       uuid.UUID      // the opponent a new game is of
	May       bool
	Positions []PositionWord // the defenders of our calls, with our words
	Zones     []string       // time zones to choose from
	Men       []tags.OurMan  // ours who are not even with theirs, and a line for one more
}

// NamesJSON is what the pages call the columns of a sheet, for the script of the import.
func (*Form) NamesJSON() (string, error) {
	names := filmroom.Labels()
	maps.Copy(names, map[string]string{"number": "Snap", "nothing": "nothing we keep", "versus": "Their opponent",
		"spot": "Yard line, own or theirs"})
	raw, err := json.Marshal(names)
	return string(raw), err
}

// A PositionWord is a defender as calls name one, with the staff's own word.
type PositionWord struct {
	Position, Name string
	Calls          int
}

// Words is the page of one field of the vocabulary.
type Words struct {
	Base    string
	Fields  []string
	Field   string
	Words   []tags.Word
	Aliases map[string][]tags.Word // by the word they stand for
	Pending []tags.Word
	May     bool
}

// A FilmedGame is a game with its films.
type FilmedGame struct {
	Game  tags.Game
	Films []tags.Film
	Clips int
}

// A FilmRoom lists an opponent's games with their films.
type FilmRoom struct {
	Opponent tags.Opponent
	Program  string
	Games    []FilmedGame
}

// A TagRoom says how far each game of an opponent is tagged.
type TagRoom struct {
	Opponent tags.Opponent
	Program  string
	Games    []*filmroom.Snaps
}

// Printed is a sheet or report that can be had on paper.
type Printed struct{ Kind, Name, About, At string }

// A PrintPage offers every sheet, made from a plan where there is one.
type PrintPage struct {
	Kinds []Printed
	Plans []tags.PlanHead // against the opponent, the latest changed first
	Plan  *tags.PlanHead  // the sheets are made from, nil: from what is recommended now
	Base  string
}

// choose finds the plan that sheets are made from: the one asked for, else the one locked last,
// else the draft changed last.
func (p *PrintPage) choose(asked string) error {
	slices.SortStableFunc(p.Plans, func(a, b tags.PlanHead) int { return b.UpdatedAt.Compare(a.UpdatedAt) })
	if asked == "none" || len(p.Plans) == 0 && asked == "" {
		return nil
	}
	for i := range p.Plans {
		switch x := &p.Plans[i]; {
		case asked != "":
			if x.ID.String() == asked {
				p.Plan = x
				return nil
			}
		case p.Plan == nil, x.LockedAt != nil && (p.Plan.LockedAt == nil || x.LockedAt.After(*p.Plan.LockedAt)):
			p.Plan = x
		}
	}
	if asked != "" {
		return tags.Errorf(tags.NotFound, "there is no such plan against this opponent")
	}
	return nil
}

// Query is what names the plan in a sheet's address.
func (p *PrintPage) Query() string {
	if p.Plan == nil {
		return "plan=none&"
	}
	return "plan=" + p.Plan.ID.String() + "&"
}

// abouts say what each kind is for, in the order of a week.
var abouts = [][2]string{{"call",
	"One sheet, two sides: what to call in each situation. Readable in rain at arm's length."},
	{"position", "Each man's rules in each call, and the routes he will see."},
	{"scout", "Their plays, a card each, for the scout team."},
	{"practice", "Periods and reps for the week, built from what they run and what hurts us."},
	{"quiz", "Front: their picture. Back: his rule."},
	{"opponent", "What they do, how sure that is, and what changed."},
	{"stress", "The worst conflicts of our calls against them, each drawn with its rule."}}

// NewPrinted is a kind with its words; at is its address, the format left to say.
func NewPrinted(kind, title, at string) Printed {
	p := Printed{Kind: kind, Name: strings.ToUpper(title[:1]) + title[1:], At: at}
	for _, x := range abouts {
		if x[0] == kind {
			p.About = x[1]
		}
	}
	return p
}

// Rank is the place of the kind on the page.
func (p Printed) Rank() int {
	for i, x := range abouts {
		if x[0] == p.Kind {
			return i
		}
	}
	return len(abouts)
}

// bands is a fieldset of the settings.
type bandsOf struct {
	Title, At string
	Bands     []tags.Band
}

func bands(title, at string, bs []tags.Band) bandsOf { return bandsOf{title, at, bs} }

// fieldWords are the fields of the vocabulary as people say them.
func fieldWords(field string) string {
	return map[string]string{"set_name": "Sets", "backfield": "Backfields", "motion": "Motions", "concept": "Concepts",
		"route": "Routes", "coverage": "Coverages"}[field]
}
