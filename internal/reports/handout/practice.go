package handout

import (
	"fmt"
	"slices"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// Caution is the line every practice script carries.
const Caution = "Contact limits, heat and concussion rules are those of your association and of licensed medical " +
	"staff, and come before this script."

// RunCaution is the line over a period against runs.
const RunCaution = "Fit and stop: stay up, nobody to the ground, heads up and out of the contact. " +
	"Your association and licensed medical staff decide whether and how long you hit."

// A Practice is a script of periods and reps.
type Practice struct {
	paper.Furniture
	Periods []PeriodSheet `json:"periods"`
	Totals  []Total       `json:"contact_totals"` // every level, in order
	Minutes float64       `json:"minutes"`
	Reps    int           `json:"reps"`
	Caution string        `json:"caution"`
}

// A PeriodSheet is one period with its reps.
type PeriodSheet struct {
	Name    string       `json:"name"`
	Minutes float64      `json:"minutes"`
	Contact plan.Contact `json:"contact"`
	RepS    float64      `json:"rep_s"`
	Plays   int          `json:"plays"`             // counted ones of the opponent in it
	Behind  int          `json:"plays_behind"`      // those in the pictures it is filled from
	Assumed int          `json:"assumed,omitempty"` // of those, with routes or a set that nobody saw
	Whole   bool         `json:"from_all_plays"`
	Reps    []Rep        `json:"reps"`
	runs    bool         // it is for runs
}

// A Rep is one snap.
type Rep struct {
	Number   int        `json:"number"`
	Usual    plan.Usual `json:"usual"`
	Hash     string     `json:"hash,omitempty"`
	Side     string     `json:"play_side,omitempty"`
	SetName  string     `json:"set_name"`
	Concept  string     `json:"concept"`
	Picture  string     `json:"picture"`
	Call     string     `json:"call"`
	Coaching string     `json:"coaching_point"`
	TwoWay   bool       `json:"two_way"` // the point is a man between two threats
	pic      *picture.Picture
	run      bool // one of their runs
	half     bool // in a half-line drill
}

// A Total is the minutes of one contact level.
type Total struct {
	Contact plan.Contact `json:"contact"`
	Minutes float64      `json:"minutes"`
}

// MakePractice writes the script; of a plan each rep has a call that the plan has on its down
// and distance, those of one situation in turn.
func MakePractice(f paper.Furniture, level field.Level, stretches []ask.Stretch,
	of *ask.PlannedAnswer) (*Practice, error) {
	turn := map[string]int{}
	out := &Practice{Furniture: f, Periods: []PeriodSheet{}, Caution: Caution}
	for _, c := range plan.Contacts {
		out.Totals = append(out.Totals, Total{Contact: c})
	}
	for i := range stretches {
		s := &stretches[i]
		p := PeriodSheet{Name: s.Period.Name, Minutes: s.Period.Minutes, Contact: s.Period.Contact, RepS: s.Period.RepS,
			Plays: s.Plays, Behind: s.Board.Covered, Assumed: s.Board.Assumed,
			Whole: s.Whole, Reps: []Rep{}, runs: s.Period.Of == plan.Runs}
		for _, r := range plan.Script(s.Period, &s.Board, s.Usages) {
			out.Reps++
			if calls := of.In(r.Usual.Down, r.Usual.Band); len(calls) > 0 && !s.Period.Near {
				at := r.Usual.Down + " " + r.Usual.Band
				called := calls[turn[at]%len(calls)]
				turn[at]++
				if row := slices.IndexFunc(s.Board.Rows, func(x plan.Row) bool { return x.Call == called }); row >= 0 {
					r.Call = row
				}
			}
			rep, err := snap(level, &s.Board, &r)
			if err != nil {
				return nil, err
			}
			rep.Number, rep.half = out.Reps, s.Period.HalfLine
			p.Reps = append(p.Reps, rep)
		}
		out.Minutes += p.Minutes
		for k := range out.Totals {
			if out.Totals[k].Contact == p.Contact {
				out.Totals[k].Minutes += p.Minutes
			}
		}
		out.Periods = append(out.Periods, p)
	}
	return out, nil
}

func snap(level field.Level, b *plan.Board, r *plan.Rep) (Rep, error) {
	c, row := &b.Concepts[r.Concept], &b.Rows[r.Call]
	out := Rep{Usual: r.Usual, Hash: r.Hash, Side: r.Side, SetName: c.SetName, Concept: c.Concept, Call: row.Call,
		Coaching: "No conflict: play your rules."}
	if met := row.Cells[r.Concept].Run; met != nil {
		out.Coaching, out.run = ink.Capital(met.Told()), true
	}
	for _, f := range row.Cells[r.Concept].Findings {
		if f.TwoWay {
			out.Coaching, out.TwoWay = f.Sentence, true
			break
		}
	}
	var err error
	if out.pic, err = c.On(level, r.Hash, r.Side); err != nil {
		return out, err
	}
	out.Picture = out.pic.String()
	return out, nil
}

// Document lays the script out: the day on its first page, then rep by rep.
func (p *Practice) Document() *paper.Document {
	d := &paper.Document{Name: "practice-script", Title: "Practice script", Furniture: p.Furniture}
	heads := p.heads()
	day := &paper.Table{Name: "periods", Columns: paper.Cols("period", "Period", "minutes", "Minutes#", "contact",
		"Contact", "reps", "Reps#", "rep_s", "Seconds a rep#", "plays", "Their plays#", "plays_behind", "In pictures#",
		"assumed", heads[0], "filled_from", heads[1])}
	reps := &paper.Table{Name: "reps", DataOnly: true, Columns: paper.Cols("number", "", "period", "", "down", "",
		"distance_band", "", "hash", "", "play_side", "", "set_name", "", "concept", "", "picture", "", "call", "",
		"coaching_point", "")}
	for i := range p.Periods {
		x := &p.Periods[i]
		from := "the period's plays"
		switch {
		case x.Behind == 0:
			from = "nothing: none tagged"
		case x.Whole:
			from = "all plays: too few in the period"
		}
		day.Rows = append(day.Rows, paper.Cells(paper.T(x.Name), paper.F("%.0f", x.Minutes), paper.T(string(x.Contact)),
			paper.I(len(x.Reps)), paper.F("%.0f", x.RepS), paper.I(x.Plays), paper.I(x.Behind),
			paper.I(x.Assumed), paper.T(from)))
		for _, r := range x.Reps {
			reps.Rows = append(reps.Rows, paper.Cells(paper.I(r.Number), paper.T(x.Name), paper.T(r.Usual.Down),
				paper.T(r.Usual.Band), paper.T(r.Hash), paper.T(r.Side), paper.T(r.SetName), paper.T(r.Concept), paper.T(r.Picture),
				paper.T(r.Call), paper.T(r.Coaching)))
		}
	}
	contact := &paper.Table{Name: "contact", Columns: paper.Cols("contact", "Contact", "minutes", "Minutes in all#")}
	for _, t := range p.Totals {
		contact.Rows = append(contact.Rows, paper.Cells(paper.T(string(t.Contact)), paper.F("%.0f", t.Minutes)))
	}
	d.Blocks = append(d.Blocks, paper.B("%s", Caution), paper.H2("The day"), day, paper.P("%.0f minutes, %d reps in all.",
		p.Minutes, p.Reps), paper.H3("Contact"), contact,
		paper.N("Most reps go to what they run often and succeed with. Ball on their usual hash. In pictures: plays with "+
			"set, concept and routes tagged. Thud and live both count as full contact."))
	if p.Reps == 0 {
		d.Blocks = append(d.Blocks,
			paper.P("No rep could be written: it takes active calls, and concepts of this opponent with routes tagged."))
	}
	for i := range p.Periods {
		if x := &p.Periods[i]; len(x.Reps) > 0 {
			d.Blocks = append(d.Blocks, paper.H2(fmt.Sprintf("%s: %.0f minutes, contact: %s", x.Name, x.Minutes, x.Contact)))
			if x.runs {
				d.Blocks = append(d.Blocks, paper.B("%s", RunCaution))
			}
			d.Blocks = append(d.Blocks, x.grid())
		}
	}
	d.Blocks = append(d.Blocks, reps)
	return d
}

// heads are those of the columns that are printed only where they say something.
func (p *Practice) heads() (out [2]string) {
	for i := range p.Periods {
		x := &p.Periods[i]
		if x.Assumed > 0 {
			out[0] = "Routes assumed#"
		}
		if x.Whole || x.Behind == 0 {
			out[1] = "Pictures of"
		}
	}
	return out
}

func (x *PeriodSheet) grid() *paper.Grid {
	g := &paper.Grid{Columns: 3}
	for i := range x.Reps {
		r := &x.Reps[i]
		scene := drawing.Concept(r.pic, drawing.Options{Close: r.run, HalfLine: r.half})
		u := r.Usual
		u.Hash = r.Hash
		g.Cards = append(g.Cards, paper.Card{Title: fmt.Sprintf("%d. %s", r.Number, where(&u)), Blocks: []paper.Block{
			&paper.Figure{Drawing: &scene}, paper.P("%s, %s", ink.Name(r.Concept), ink.Name(r.SetName)),
			paper.B("Our call: %s", ink.Name(r.Call)), paper.N("%s", r.Coaching)}})
	}
	return g
}
