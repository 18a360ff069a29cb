package handout

import (
	"context"
	"fmt"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/stress"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// ScoutCards show the scout offense what to run.
type ScoutCards struct {
	paper.Furniture
	PerPage int         `json:"per_page"`
	Cards   []ScoutCard `json:"cards"`
}

// A ScoutCard is one concept of the opponent where he runs it most, with our call
// on its back.
type ScoutCard struct {
	Number  int        `json:"number"`
	SetName string     `json:"set_name"`
	Concept string     `json:"concept"`
	Family  string     `json:"family"`
	Plays   int        `json:"plays"`
	Assumed int        `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	Usual   plan.Usual `json:"usual"`
	Picture string     `json:"picture"`
	Call    string     `json:"call,omitempty"` // the one that is best against it
	Check   string     `json:"check,omitempty"`
	Watch   string     `json:"watch,omitempty"` // its worst two-way threat there
	pic     *picture.Picture
	result  *stress.Result
}

// Cards that are asked for when nobody says how many.
const usualCards = 12

// Scout makes a card of each concept, the most frequent first, at most n (0: twelve).
func Scout(ctx context.Context, f paper.Furniture, w *plan.Week, us []plan.Usage, n, perPage int) (*ScoutCards, error) {
	s := &ScoutCards{f, perPage, []ScoutCard{}}
	if n == 0 {
		n = usualCards
	}
	for k := range w.Concepts[:min(n, len(w.Concepts))] {
		c := &w.Concepts[k]
		card := ScoutCard{Number: k + 1, SetName: c.SetName, Concept: c.Concept, Family: c.Family, Plays: c.Plays,
			Assumed: c.Assumed, Usual: plan.UsualOf(us, c.SetName, c.Concept)}
		var err error
		if card.pic, err = c.On(w.Level, card.Usual.Hash, card.Usual.Side); err != nil {
			return nil, err
		}
		card.Picture = card.pic.String()
		if best := w.Least(k); best >= 0 {
			card.Call = w.Calls[best].Name
			if card.result, err = played(ctx, w, best, card.pic); err != nil {
				return nil, err
			}
			card.answer()
		}
		s.Cards = append(s.Cards, card)
	}
	return s, nil
}

// answer says what the defense checks to and whom it has to watch.
func (c *ScoutCard) answer() {
	c.Check = c.result.Rep.Setup.Check
	if at := worst(c.result); at >= 0 {
		c.Watch = c.result.Sentence(&c.result.Findings[at])
	} else if met := plan.Meet(c.result); met != nil {
		c.Watch = met.Told()
	}
}

// played sets a call of the week against a picture of its own.
func played(ctx context.Context, w *plan.Week, call int, pic *picture.Picture) (*stress.Result, error) {
	params := motion.Defaults(w.Level)
	return stress.Evaluate(ctx, w.Calls[call].Compiled, stress.Prepare(pic, &params), w.Terms.Setting)
}

// worst is the largest two-way threat a board tells, -1: none.
func worst(r *stress.Result) int {
	for _, k := range plan.Told(r) {
		if !r.Findings[k].Single {
			return k
		}
	}
	return -1
}

// grids are the columns of a page by its cards.
var grids = map[int]int{1: 1, 2: 1, 4: 2, 6: 2}

// Document lays the cards out for paper turned on its long edge, PerPage a side.
func (s *ScoutCards) Document() *paper.Document {
	d := &paper.Document{Name: "scout-cards", Title: "Scout cards", Furniture: s.Furniture}
	columns := max(1, grids[s.PerPage])
	g := &paper.Grid{Columns: columns, Rows: max(1, s.PerPage/columns)}
	table := &paper.Table{Name: "scout cards", DataOnly: true, Columns: paper.Cols("number", "", "set_name", "", "concept",
		"", "family", "", "plays", "", "assumed_plays", "", "down", "", "distance_band", "", "situation_plays", "",
		"hash", "", "hash_plays", "", "play_side", "", "picture", "", "call", "", "check", "", "watch", "")}
	for i := range s.Cards {
		c := &s.Cards[i]
		g.Cards = append(g.Cards, c.card(s.PerPage <= perFar))
		u := &c.Usual
		table.Rows = append(table.Rows, paper.Cells(paper.I(c.Number), paper.T(c.SetName), paper.T(c.Concept),
			paper.T(c.Family), paper.I(c.Plays), paper.I(c.Assumed), paper.T(u.Down), paper.T(u.Band),
			paper.I(u.SituationPlays), paper.T(u.Hash), paper.I(u.HashPlays), paper.T(u.Side), paper.T(c.Picture),
			paper.T(c.Call), paper.T(c.Check), paper.T(c.Watch)))
	}
	if len(s.Cards) == 0 {
		d.Blocks = append(d.Blocks,
			paper.P("No concept of this opponent has routes tagged yet: tag sets, concepts and routes first."))
	} else {
		d.Blocks = append(d.Blocks, g)
	}
	d.Blocks = append(d.Blocks, table)
	return d
}

// perFar is how many cards a side leave room for words that are read at arm's length.
const perFar = 2

func (c *ScoutCard) card(far bool) paper.Card {
	front := drawing.Concept(c.pic, drawing.Options{})
	out := paper.Card{Title: fmt.Sprintf("Scout %d: %s from %s", c.Number, ink.Name(c.Concept),
		ink.Name(c.SetName)), Far: far}
	say, call := paper.Strong, paper.Large
	if far {
		say, call = paper.Large, paper.Called
	}
	out.Blocks = []paper.Block{
		&paper.Paragraph{Text: fmt.Sprintf("%s. %s.", where(&c.Usual), familySaid(c.Family)), Look: say},
		&paper.Figure{Drawing: &front},
		paper.P("%s", front.Words), paper.N("They ran it %d times%s%s.", c.Plays, counted(&c.Usual),
			assumed(c.Assumed, c.Plays))}
	out.Back = c.back(call)
	return out
}

// back is the side that the defense reads: our call against the picture.
func (c *ScoutCard) back(call paper.Look) []paper.Block {
	if c.result == nil {
		return []paper.Block{paper.P("The program has no active calls yet.")}
	}
	back := drawing.Call(c.result, drawing.Options{FromDefense: true})
	ours := "Our call: " + ink.Name(c.Call)
	if c.Check != "" {
		ours += ", check " + c.Check
	}
	out := []paper.Block{&paper.Paragraph{Text: ours, Look: call}, &paper.Figure{Drawing: &back}}
	if c.Watch != "" {
		out = append(out, paper.P("Watch: %s", c.Watch))
	}
	return out
}

// familySaid is a family as the scout team hears it.
func familySaid(family string) string {
	if family == picture.RPO.String() {
		return strings.ToUpper(family)
	}
	return ink.Capital(strings.ReplaceAll(family, "_", " "))
}

var ordinals = map[string]string{"1": "1st", "2": "2nd", "3": "3rd", "4": "4th"}

// where says where a concept is run most.
func where(u *plan.Usual) string {
	at := "down and distance not tagged"
	if u.Down != "" {
		at = ordinals[u.Down] + " & " + u.Band
	}
	return ink.Capital(at + ", " + hashSaid(u.Hash))
}

func hashSaid(h string) string {
	switch h {
	case "":
		return "hash not tagged"
	case "middle":
		return "ball in the middle"
	}
	return h + " hash"
}

// assumed says it of the routes of a picture, behind a count.
func assumed(n, of int) string {
	if n == 0 {
		return ""
	}
	return "; " + plan.AssumedText(n, of)
}

// counted is how many plays are behind where.
func counted(u *plan.Usual) string {
	var out []string
	if u.Down != "" {
		out = append(out, fmt.Sprintf("%d on this down and distance", u.SituationPlays))
	}
	if u.Hash != "" {
		out = append(out, fmt.Sprintf("%d from this hash", u.HashPlays))
	}
	if len(out) == 0 {
		return ""
	}
	return ": " + strings.Join(out, ", ")
}
