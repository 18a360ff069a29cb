package reports

import (
	"bytes"
	"html/template"
	"net/url"
	"strconv"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/stress"
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
	GivesUp           plan.GivesUp
	Warnings          []string
	Findings          []plan.Finding
	Shown             int // index into Findings, -1 when nothing is open
	Drawing, Timeline template.HTML
	Run               *plan.RunMeet // of a run: what it meets
	Fit               *ask.RunFit   // and who has which gap
	Better            *plan.Better  // what the same men could do about the shown finding; nil when nothing is open
	// The call that is best against the concept; empty when that is this one.
	BestCall   string
	BestStress float64
	Others     []plan.Row // the other calls against the concept, least stressed first
	// Whose alignment, whose break tells most of the shown finding, empty for none.
	Mover, Breaker string
	May            bool   // the visitor may store a call
	From           string // the call that this one was made from just now
	base, query    string
}

// BuildCell puts the sheet together. column is the board of this concept alone,
// shown the finding of the result that is drawn (-1: none), query what the page
// was asked with.
func BuildCell(p tags.Program, o tags.Opponent, column *plan.Board, r *stress.Result, shown int,
	query url.Values) CellSheet {
	s := CellSheet{Program: p.Name, Opponent: o.Name, Invented: p.Invented, Call: query.Get("call"),
		Check:   r.Rep.Setup.Check,
		Concept: column.Concepts[0], NeedYd: column.NeedYd, Shown: -1, base: opponentPath(p, o), query: query.Encode()}
	for i := range column.Rows {
		row := &column.Rows[i]
		if row.Call != s.Call {
			s.Others = append(s.Others, *row)
			continue
		}
		cell := &row.Cells[0]
		s.Stress, s.Findings, s.Warnings = cell.Stress, cell.Findings, cell.Warnings
		s.GivesUp = cell.GivesUp
	}
	for n, k := range plan.Told(r) {
		if k == shown {
			s.Shown = n
		}
	}
	if s.Run = plan.Meet(r); s.Run != nil {
		s.Fit = ask.FitOf(r)
	}
	s.draw(r, shown)
	if shown >= 0 {
		s.Better = plan.Best(r, &r.Findings[shown])
		s.Mover, s.Breaker = plan.Moves(r, &r.Findings[shown])
	}
	if best := &column.Rows[0]; best.Call != s.Call {
		s.BestCall, s.BestStress = best.Call, best.Stress
	}
	return s
}

// opponentPath is where the pages of an opponent are.
func opponentPath(p tags.Program, o tags.Opponent) string {
	return "/programs/" + url.PathEscape(p.Code) + "/opponents/" + url.PathEscape(o.Code)
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
func inline(l *ink.List) template.HTML {
	var b bytes.Buffer
	l.SVG(&b) // a buffer takes all
	return template.HTML(b.String())
}

// Board is where the opponent's page is.
func (s *CellSheet) Board() string { return s.base }

// Film is where the snaps of the concept are, with their film.
func (s *CellSheet) Film() string {
	q, _ := url.ParseQuery(s.query) // our own encoding
	q.Del("call")
	return s.base + "/snaps?" + q.Encode()
}

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

// Asked is where the API answers the same question: what, with further parameters.
func (s *CellSheet) Asked(what string, more ...string) string {
	q, _ := url.ParseQuery(s.query)
	for i := 0; i+1 < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	return "/v1" + s.base + "/" + what + "?" + q.Encode()
}

// Place is the shown finding's, from 1.
func (s *CellSheet) Place() string { return strconv.Itoa(s.Shown + 1) }
