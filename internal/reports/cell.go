package reports

import (
	"bytes"
	"html/template"
	"io"
	"net/url"
	"strconv"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/stress"
	"overhang/internal/stress/motion"
	"overhang/internal/tags"
)

// A CellSheet is one cell of the stress board: one of our calls against one
// concept of an opponent, drawn.
type CellSheet struct {
	Program, Opponent string
	Invented          bool
	Call              string
	Check             string // the set check that the call made, empty for none
	Concept           plan.Concept
	Stress, NeedYd    float64
	Warnings          []string
	Findings          []plan.Finding
	Shown             int // index into Findings, -1 when nothing is open
	Drawing, Timeline template.HTML
	Answer            Answer
	Others            []plan.Row // the other calls against the concept, least stressed first
	base, query       string
}

// An Answer is what could be done about a finding.
type Answer struct {
	// By how much the most open throw is missed at the release of the finding, as
	// taught and if the same men were free to choose who takes what once the
	// threats have declared.
	ReleaseS, TaughtYd, BestYd float64
	Known                      bool // a throw is live at that release
	// The call of the program that gives up least to the concept; empty when that
	// is the call itself.
	Call   string
	Stress float64
}

// BuildCell puts the sheet together. column is the board of this concept alone,
// shown the finding of the result that is drawn (-1: none), query what the page
// was asked with.
func BuildCell(p tags.Program, o tags.Opponent, column *plan.Board, r *stress.Result, shown int, query url.Values) CellSheet {
	s := CellSheet{Program: p.Name, Opponent: o.Name, Invented: p.Invented, Call: query.Get("call"), Check: r.Game.Setup.Check,
		Concept: column.Concepts[0], NeedYd: column.NeedYd, Shown: -1, base: opponentPath(p, o), query: query.Encode()}
	for i := range column.Rows {
		row := &column.Rows[i]
		if row.Call != s.Call {
			s.Others = append(s.Others, *row)
			continue
		}
		cell := &row.Cells[0]
		s.Stress, s.Findings, s.Warnings = cell.Stress, cell.Findings, cell.Warnings
	}
	for n, k := range plan.Told(r) {
		if k == shown {
			s.Shown = n
		}
	}
	s.draw(r, shown)
	s.Answer = answer(r, shown)
	if best := &column.Rows[0]; best.Call != s.Call {
		s.Answer.Call, s.Answer.Stress = best.Call, best.Stress
	}
	return s
}

// opponentPath is where the pages of an opponent are.
func opponentPath(p tags.Program, o tags.Opponent) string {
	return "/programs/" + url.PathEscape(p.Code) + "/opponents/" + url.PathEscape(o.Code)
}

// answer compares what is taught with the best the same men could do when the
// shown finding is worst; without one it is empty.
func answer(r *stress.Result, shown int) Answer {
	if shown < 0 {
		return Answer{}
	}
	for _, a := range r.BestAnswers(motion.Boost{}) {
		if a.Release == r.Findings[shown].At {
			return Answer{ReleaseS: a.Release, TaughtYd: a.Taught, BestYd: a.Best, Known: true}
		}
	}
	return Answer{}
}

func (s *CellSheet) draw(r *stress.Result, shown int) {
	var scene drawing.Scene
	if shown < 0 {
		scene = drawing.Call(r, drawing.Options{})
	} else {
		scene = drawing.Finding(r, shown, drawing.Options{})
	}
	t := drawing.Time(r, shown)
	s.Drawing, s.Timeline = inline(scene.List(180)), inline(t.List(180))
}

// inline is a drawing to stand in a page; its writer escapes every text.
func inline(l *drawing.List) template.HTML {
	var b bytes.Buffer
	l.SVG(&b) // a buffer takes all
	return template.HTML(b.String())
}

// Board is where the opponent's page is.
func (s *CellSheet) Board() string { return s.base }

// Link is where finding n (from 0) of this cell is shown.
func (s *CellSheet) Link(n int) string {
	return s.base + "/cell?" + s.query + "&finding=" + strconv.Itoa(n+1)
}

// LinkTo is where another call stands against the same concept.
func (s *CellSheet) LinkTo(call string) string {
	q, _ := url.ParseQuery(s.query) // our own encoding
	q.Set("call", call)
	return s.base + "/cell?" + q.Encode()
}

// Drawn is where the API draws this cell: show as its contract says.
func (s *CellSheet) Drawn(show string) string {
	q, _ := url.ParseQuery(s.query)
	q.Set("show", show)
	if s.Shown >= 0 {
		q.Set("finding", strconv.Itoa(s.Shown+1))
	}
	return "/v1" + s.base + "/drawing?" + q.Encode()
}

// WriteHTML writes the page; it prints on its own.
func (s *CellSheet) WriteHTML(w io.Writer) error { return Execute(w, "cell.html", s) }
