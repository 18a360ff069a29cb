package handout

import (
	"fmt"
	"slices"
	"time"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// A CallSheet is what the coordinator calls from: a box for each situation.
type CallSheet struct {
	paper.Furniture
	Plan   *Planned    `json:"plan,omitempty"` // that it is of, nil: of what is recommended now
	Boxes  []Box       `json:"boxes"`
	Checks []CheckLine `json:"checks"` // of the calls in the boxes
	// Base is what is called where too few plays are behind a box: the call that comes first, over
	// all of theirs, on most of the plays in such boxes; "" where no box needs it.
	Base    string `json:"base_call,omitempty"`
	Percent bool   `json:"-"` // print shares and chances too
	sets    []string
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
	return "locked " + p.LockedAt.Format("Jan 2, 2006")
}

// A Box is one situation with three calls, or with those of a plan's choice.
type Box struct {
	Situation string       `json:"situation"`
	Plays     int          `json:"plays"`
	Behind    int          `json:"plays_behind"`      // plays behind the numbers
	Assumed   int          `json:"assumed,omitempty"` // of those, with routes or a set that nobody saw
	Whole     bool         `json:"from_all_plays"`
	NeedYd    float64      `json:"need_yd"`
	Picks     []plan.Pick  `json:"picks"`
	Alerts    []plan.Alert `json:"alerts"`
	Watch     *plan.Watch  `json:"watch,omitempty"` // in the first pick
	// Own says that the picks are the choice of a plan, Note what he wrote beside it.
	Own  bool   `json:"own_choice,omitempty"`
	Note string `json:"note,omitempty"`
	Back bool   `json:"-"` // on the sheet's other side: fourth down, near the goal, two-minute
	// Group is their personnel where the box is of one, else "".
	Group string `json:"-"`
}

// alike says that a box of their personnel says no more than the base call does.
func (b *Box) alike(base string) bool {
	return b.Group != "" && !b.Own && (b.base() || b.Picks[0].Call == base)
}

// base says that too few plays of the situation are behind the box, and nobody chose.
func (b *Box) base() bool { return !b.Own && (b.Whole || len(b.Picks) == 0) }

func backSide(where map[string]string) bool {
	d := where["down"]
	return d == "" || d == "4"
}

// A CheckLine is a check of a call in words, with the sets of theirs that it is made against.
type CheckLine struct {
	Call  string   `json:"call"`
	Check string   `json:"check"`
	When  string   `json:"when"`
	Sets  []string `json:"sets"`
}

const alerts = 2

// Calls makes the call sheet; calls are the program's.
func Calls(f paper.Furniture, calls []plan.Named, situations []ask.SituationBoard) *CallSheet {
	s := &CallSheet{Furniture: f, Boxes: []Box{}}
	for i := range situations {
		x := &situations[i]
		for k := range x.Board.Concepts {
			s.from(x.Board.Concepts[k].SetName)
		}
		s.Boxes = append(s.Boxes, Box{Situation: x.Name, Plays: x.Plays, Behind: x.Board.Covered, Whole: x.Whole,
			Assumed: x.Board.Assumed,
			Group:   x.Where["personnel"], Back: backSide(x.Where), NeedYd: x.Board.NeedYd,
			Picks: x.Board.Picks(ask.PerBox), Alerts: x.Board.Alerts(),
			Watch: x.Board.Watch()})
	}
	s.finish(calls)
	return s
}

// PlannedCalls makes the call sheet of a plan: the coordinator's choices where
// there are some, the most meant first, elsewhere what was recommended when the plan was
// made. Checks are those of the program's calls as they are now.
func PlannedCalls(f paper.Furniture, calls []plan.Named, p Planned, c *plan.Content) *CallSheet {
	s := &CallSheet{Furniture: f, Plan: &p, Boxes: []Box{}}
	for i := range c.Situations {
		x := &c.Situations[i]
		b := Box{Situation: x.Name, Plays: x.Plays, Behind: x.Behind, Whole: x.Whole, NeedYd: x.NeedYd,
			Assumed: x.Assumed, Back: backSide(x.Where), Group: x.Where["personnel"], Own: len(x.Choice.Calls) > 0,
			Note: x.Choice.Note}
		b.Picks, b.Alerts, b.Watch = x.Picks(ask.PerBox)
		for k := range x.Concepts {
			s.from(x.Concepts[k].SetName)
		}
		s.Boxes = append(s.Boxes, b)
	}
	s.finish(calls)
	return s
}

// from adds a set they line up in.
func (s *CallSheet) from(set string) {
	if !slices.Contains(s.sets, set) {
		s.sets = append(s.sets, set)
	}
}

// finish keeps the first alerts of each box, finds the base call, and adds the checks of the
// calls in the boxes.
func (s *CallSheet) finish(calls []plan.Named) {
	s.Checks = []CheckLine{}
	used, first := map[string]bool{}, map[string]int{}
	for i := range s.Boxes {
		b := &s.Boxes[i]
		if b.base() && b.Whole && len(b.Picks) > 0 {
			call := b.Picks[0].Call
			if first[call] += b.Plays; s.Base == "" || first[call] > first[s.Base] {
				s.Base = call
			}
		}
		for _, p := range b.Picks {
			used[p.Call] = true
		}
	}
	for i := range s.Boxes { // a set's answer is a call that is on the sheet anyway: no other is taught
		b := &s.Boxes[i]
		b.Alerts = slices.DeleteFunc(b.Alerts, func(a plan.Alert) bool { return !used[a.Call] })
		b.Alerts = b.Alerts[:min(len(b.Alerts), alerts)]
	}
	for i := range calls {
		if used[calls[i].Name] {
			s.checks(&calls[i])
		}
	}
}

// checks puts one call's checks on the sheet.
func (s *CallSheet) checks(of *plan.Named) {
	for k := range of.Compiled.Checks {
		ch := &of.Compiled.Checks[k]
		s.Checks = append(s.Checks, CheckLine{of.Name, ch.Name, teach.Check(&ch.When, of.Compiled.Call.Vertical),
			s.against(of.Compiled, ch.Name)})
	}
}

// against are the sets of theirs that a check is made against, as the engine lines the call up.
func (s *CallSheet) against(c *call.Compiled, check string) []string {
	out := []string{}
	for _, set := range s.sets {
		if setup, err := lined(field.HighSchool, set, c); err == nil && setup.Check == check {
			out = append(out, set)
		}
	}
	return out
}

func (s *CallSheet) data() []paper.Block {
	calls := &paper.Table{Name: "calls", DataOnly: true, Columns: paper.Cols("situation", "", "plays", "", "plays_behind",
		"", "assumed", "", "from_all_plays", "", "need_yd", "", "rank", "", "call", "", "gives_up_points", "", "stress", "",
		"stress_low", "", "stress_high", "",
		"mix_share", "", "reason", "")}
	alerts := &paper.Table{Name: "alerts", DataOnly: true, Columns: paper.Cols("situation", "", "set_name", "", "plays",
		"", "call", "", "gives_up_points", "", "first_pick_gives_up_points", "", "stress", "", "first_pick_stress", "")}
	if s.Plan != nil {
		calls.Columns = append(calls.Columns, paper.Cols("own_choice", "", "own_share", "", "note", "")...)
	}
	num := func(v float64) paper.Cell { return paper.F("%.3f", v) }
	known := func(v *float64) paper.Cell {
		if v == nil {
			return paper.Unknown()
		}
		return num(*v)
	}
	for i := range s.Boxes {
		b := &s.Boxes[i]
		for k, p := range b.Picks {
			row := paper.Cells(paper.T(b.Situation), paper.I(b.Plays), paper.I(b.Behind), paper.I(b.Assumed),
				paper.T(fmt.Sprint(b.Whole)),
				num(b.NeedYd), paper.I(k+1), paper.T(p.Call), known(p.Points), num(p.Stress), num(p.Low), num(p.High), num(p.Share),
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
				paper.T(a.Call), known(a.Points), known(a.FirstPoints), num(a.Stress), num(a.First)))
		}
	}
	return []paper.Block{calls, alerts}
}
