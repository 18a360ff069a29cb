package handout

import (
	"fmt"
	"strings"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
)

// A CallSheet is what the coordinator calls from: a box for each situation.
type CallSheet struct {
	paper.Furniture
	Plan   *Planned    `json:"plan,omitempty"` // that it is of, nil: of what is recommended now
	Boxes  []Box       `json:"boxes"`
	Checks []CheckLine `json:"checks"` // of the calls in the boxes
}

// A Planned says which plan a call sheet is of.
type Planned struct {
	Label    string     `json:"label"`
	MadeAt   time.Time  `json:"made_at"` // when its numbers were taken
	LockedAt *time.Time `json:"locked_at,omitempty"`
}

// State is locked with the day, or draft.
func (p *Planned) State() string {
	if p.LockedAt == nil {
		return "draft"
	}
	return "locked " + p.LockedAt.UTC().Format("2 January 2006")
}

// A Box is one situation with three calls, or with those of a plan's choice.
type Box struct {
	Situation string       `json:"situation"`
	Plays     int          `json:"plays"`
	Behind    int          `json:"plays_behind"` // plays behind the numbers
	Whole     bool         `json:"from_all_plays"`
	NeedYd    float64      `json:"need_yd"`
	Picks     []plan.Pick  `json:"picks"`
	Alerts    []plan.Alert `json:"alerts"`
	Watch     *plan.Watch  `json:"watch,omitempty"` // in the first pick
	// Own says that the picks are the choice of a plan, Note what he wrote beside it.
	Own  bool   `json:"own_choice,omitempty"`
	Note string `json:"note,omitempty"`
}

// A CheckLine is a check of a call in words.
type CheckLine struct {
	Call  string `json:"call"`
	Check string `json:"check"`
	When  string `json:"when"`
}

const (
	picks  = 3
	alerts = 2
)

// Calls makes the call sheet; calls are the program's.
func Calls(f paper.Furniture, calls []plan.Named, situations []ask.SituationBoard) *CallSheet {
	s := &CallSheet{Furniture: f, Boxes: []Box{}}
	for i := range situations {
		x := &situations[i]
		s.Boxes = append(s.Boxes, Box{Situation: x.Name, Plays: x.Plays, Behind: x.Board.Covered, Whole: x.Whole,
			NeedYd: x.Board.NeedYd, Picks: x.Board.Picks(picks), Alerts: x.Board.Alerts(), Watch: x.Board.Watch()})
	}
	s.finish(calls)
	return s
}

// PlannedCalls makes the call sheet of a plan: the coordinator's choices where he
// made some, the most meant first, elsewhere what was recommended when the plan was
// made. Checks are those of the program's calls as they are now.
func PlannedCalls(f paper.Furniture, calls []plan.Named, p Planned, c *plan.Content) *CallSheet {
	s := &CallSheet{Furniture: f, Plan: &p, Boxes: []Box{}}
	for i := range c.Situations {
		x := &c.Situations[i]
		b := Box{Situation: x.Name, Plays: x.Plays, Behind: x.Behind, Whole: x.Whole, NeedYd: x.NeedYd,
			Own: len(x.Choice.Calls) > 0, Note: x.Choice.Note}
		b.Picks, b.Alerts, b.Watch = x.Picks(picks)
		s.Boxes = append(s.Boxes, b)
	}
	s.finish(calls)
	return s
}

// finish keeps the first alerts of each box, and adds the checks of the calls in them.
func (s *CallSheet) finish(calls []plan.Named) {
	s.Checks = []CheckLine{}
	used := map[string]bool{}
	for i := range s.Boxes {
		b := &s.Boxes[i]
		b.Alerts = b.Alerts[:min(len(b.Alerts), alerts)]
		for _, p := range b.Picks {
			used[p.Call] = true
		}
		for _, a := range b.Alerts {
			used[a.Call] = true
		}
	}
	for i := range calls {
		for k := range calls[i].Compiled.Checks {
			if ch := &calls[i].Compiled.Checks[k]; used[calls[i].Name] {
				s.Checks = append(s.Checks, CheckLine{calls[i].Name, ch.Name,
					teach.Check(&ch.When, calls[i].Compiled.Call.Vertical)})
			}
		}
	}
}

// oneSide is how many boxes one side of paper holds in text for arm's length.
const oneSide = 15

// Document lays the sheet out on one side, on two when there are many boxes, in
// the largest text that fits.
func (s *CallSheet) Document() *paper.Document {
	d := &paper.Document{Name: "call-sheet", Title: "Call sheet", Furniture: s.Furniture, Pages: 1}
	if len(s.Boxes) > oneSide {
		d.Pages = 2
	}
	g := &paper.Grid{Columns: 3}
	for i := range s.Boxes {
		g.Cards = append(g.Cards, s.Boxes[i].card(s.Plan != nil))
	}
	if p := s.Plan; p != nil {
		word, _, _ := strings.Cut(p.State(), " ")
		d.Title += ", " + word
		d.Blocks = append(d.Blocks, paper.B("Plan: %s; %s. Counts and percent as of %s.", p.Label, p.State(),
			p.MadeAt.UTC().Format("2 January 2006")))
	}
	d.Blocks = append(d.Blocks, g)
	if len(s.Boxes) == 0 {
		d.Blocks = append(d.Blocks, paper.P("No situation yet: tag plays with down and distance first."))
	}
	var checks []string
	for _, c := range s.Checks {
		checks = append(checks, fmt.Sprintf("%s: when %s, %s", c.Call, c.When, c.Check))
	}
	if len(checks) > 0 {
		d.Blocks = append(d.Blocks, paper.B("Checks. %s.", strings.Join(checks, ". ")))
	}
	order := "The order says what the pictures say, not how often to call what: a call that comes every time is soon read."
	if s.Plan != nil {
		order = "OWN CHOICE: what the coordinator chose, the call he means to make most first. RECOMMENDED: he chose " +
			"nothing there; the mix that gives up least if they answer with their best, then what gives up least as they play."
	}
	d.Blocks = append(d.Blocks,
		paper.N("Percent: chance that their pass succeeds against the call, over the passes with routes they ran in the "+
			"situation; runs are not in it. (all): too few there, so all of theirs count. If SET: from it another call gives "+
			"up less by 5 %% or more. Watch: the man between two threats, and by how much he is short. %s", order))
	d.Blocks = append(d.Blocks, s.data()...)
	return d
}

// card is a box on paper; of a plan it says whose calls they are.
func (b *Box) card(planned bool) paper.Card {
	of := fmt.Sprintf("n = %d", b.Plays)
	if b.Whole && len(b.Picks) > 0 {
		of += " (all)"
	}
	c := paper.Card{Title: b.Situation + ", " + of}
	if len(b.Picks) == 0 {
		c.Blocks = append(c.Blocks, paper.P("No picture tagged or no active call: your base call."))
	}
	switch {
	case b.Own:
		c.Blocks = append(c.Blocks, &paper.Paragraph{Text: "OWN CHOICE", Look: paper.Invert})
	case planned && len(b.Picks) > 0:
		c.Blocks = append(c.Blocks, paper.P("RECOMMENDED"))
	}
	for i, p := range b.Picks {
		line := fmt.Sprintf("%s, %.0f %%", p.Reason, 100*p.Stress)
		if planned {
			line = b.why(&p)
		}
		c.Blocks = append(c.Blocks, &paper.Paragraph{Text: fmt.Sprintf("%d  %s", i+1, ink.Name(p.Call)),
			Look: paper.Large}, paper.P("%s", line))
	}
	if b.Note != "" {
		c.Blocks = append(c.Blocks, paper.P("Note: %s", b.Note))
	}
	for _, a := range b.Alerts {
		c.Blocks = append(c.Blocks, paper.B("If %s: %s (%.0f %%, not %.0f %%)", ink.Name(a.SetName), ink.Name(a.Call),
			100*a.Stress, 100*a.First))
	}
	if w := b.Watch; w != nil && len(b.Picks) > 0 {
		c.Blocks = append(c.Blocks, paper.P("In 1 watch %s: %s (%.1f yd)", ink.Name(w.Concept), w.Defender, w.ShortYd))
	}
	return c
}

// why is the line under a call of a plan: how often to call it, what it does most
// for, and what it gives up, where that is known.
func (b *Box) why(p *plan.Pick) string {
	var parts []string
	switch {
	case p.Own != nil:
		parts = append(parts, fmt.Sprintf("call it %.0f %%", 100**p.Own))
	case p.Mixed():
		parts = append(parts, fmt.Sprintf("in the mix %.0f %%", 100*p.Share))
	}
	if p.Reason != "" {
		parts = append(parts, p.Reason)
	}
	if b.Behind > 0 {
		parts = append(parts, fmt.Sprintf("gives up %.0f %%", 100*p.Stress))
	}
	return strings.Join(parts, ", ")
}

func (s *CallSheet) data() []paper.Block {
	calls := &paper.Table{Name: "calls", DataOnly: true, Columns: paper.Cols("situation", "", "plays", "", "plays_behind",
		"", "from_all_plays", "", "need_yd", "", "rank", "", "call", "", "stress", "", "stress_low", "", "stress_high", "",
		"mix_share", "", "reason", "")}
	alerts := &paper.Table{Name: "alerts", DataOnly: true, Columns: paper.Cols("situation", "", "set_name", "", "plays",
		"", "call", "", "stress", "", "first_pick_stress", "")}
	if s.Plan != nil {
		calls.Columns = append(calls.Columns, paper.Cols("own_choice", "", "own_share", "", "note", "")...)
	}
	num := func(v float64) paper.Cell { return paper.F("%.3f", v) }
	for i := range s.Boxes {
		b := &s.Boxes[i]
		for k, p := range b.Picks {
			row := paper.Cells(paper.T(b.Situation), paper.I(b.Plays), paper.I(b.Behind), paper.T(fmt.Sprint(b.Whole)),
				num(b.NeedYd), paper.I(k+1), paper.T(p.Call), num(p.Stress), num(p.Low), num(p.High), num(p.Share),
				paper.T(p.Reason))
			if s.Plan != nil {
				share := paper.Unknown()
				if p.Own != nil {
					share = num(*p.Own)
				}
				row.Cells = append(row.Cells, paper.T(fmt.Sprint(b.Own)), share, paper.T(b.Note))
			}
			calls.Rows = append(calls.Rows, row)
		}
		for _, a := range b.Alerts {
			alerts.Rows = append(alerts.Rows, paper.Cells(paper.T(b.Situation), paper.T(a.SetName), paper.I(a.Plays),
				paper.T(a.Call), num(a.Stress), num(a.First)))
		}
	}
	return []paper.Block{calls, alerts}
}
