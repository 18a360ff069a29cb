package handout

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/reports/ink"
	"overhang/internal/reports/paper"
	"overhang/internal/reports/teach"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A Quiz is for the walk-through: a picture, a man, a question; answer and rule on
// the back.
type Quiz struct {
	paper.Furniture
	Cards []QuizCard `json:"cards"`
}

// A QuizCard asks one man of one call about one picture.
type QuizCard struct {
	Number   int     `json:"number"`
	Call     string  `json:"call"`
	Check    string  `json:"check,omitempty"`
	Man      string  `json:"man"`
	SetName  string  `json:"set_name"`
	Concept  string  `json:"concept"`
	Plays    int     `json:"plays"`
	Assumed  int     `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	ShortYd  float64 `json:"short_yd"`                // of his two-way threat in it, 0: none
	Question string  `json:"question"`
	Answer   string  `json:"answer"` // what he owes once everything has shown
	Rule     Line    `json:"rule"`
	Sentence string  `json:"sentence,omitempty"`
	result   *stress.Result
	finding  int
	lone     bool // he has no other rule
}

const (
	usualQuiz = 24
	settled   = 3.0 // seconds: everything has shown, as in package duty
	perMan    = 2   // cards for one man of one call
)

// MakeQuiz picks the questions worth most: how often the picture is run, times the
// yards it asks of the man, less for a man who only ever has one duty. At most n (0:
// twenty-four), two for a man of a call. callName and defender narrow it; it fails
// with a tags.Error of kind NotFound when there is no such call or man.
func MakeQuiz(f paper.Furniture, w *plan.Week, callName, defender string, n int) (*Quiz, error) {
	type scored struct {
		QuizCard
		score float64
	}
	var all []scored
	calls, men := 0, 0
	for i := range w.Calls {
		if callName != "" && w.Calls[i].Name != callName {
			continue
		}
		calls++
		for k := range w.Concepts {
			r := w.Results[i][k]
			for j := range r.Rep.Setup.Men {
				m := &r.Rep.Setup.Men[j]
				if motion.Rushes(m) || defender != "" && !m.Slot.Is(defender) {
					continue
				}
				men++
				c := question(w, i, k, j)
				all = append(all, scored{c, float64(c.Plays) * (1 + c.ShortYd) * thinking(m)})
			}
		}
	}
	switch {
	case callName != "" && calls == 0:
		return nil, tags.Errorf(tags.NotFound, "no active call %q", callName)
	case defender != "" && men == 0 && len(w.Concepts) > 0:
		return nil, tags.Errorf(tags.NotFound, "no defender %q in these calls", defender)
	}
	slices.SortStableFunc(all, func(a, b scored) int { return cmp.Compare(b.score, a.score) })
	if n == 0 {
		n = usualQuiz
	}
	q := &Quiz{f, []QuizCard{}}
	asked := map[[2]string]int{}
	for _, c := range all {
		who, what := [2]string{c.Call, c.Man}, [2]string{c.Concept + c.SetName, c.Man}
		if len(q.Cards) == n || asked[who] == perMan || asked[what] == perMan {
			continue
		}
		asked[who]++
		asked[what]++
		c.Number = len(q.Cards) + 1
		q.Cards = append(q.Cards, c.QuizCard)
	}
	return q, nil
}

// thinking is how much there is to ask: a man whose duty never changes knows it.
func thinking(m *duty.Man) float64 {
	if len(m.Slot.Rules) == 1 {
		return 0.2
	}
	return 1
}

func question(w *plan.Week, i, k, j int) QuizCard {
	c, r := &w.Concepts[k], w.Results[i][k]
	m := &r.Rep.Setup.Men[j]
	rule := &m.Slot.Rules[m.ShiftAt(settled).Rule]
	v := w.Calls[i].Compiled.Call.Vertical
	q := QuizCard{Call: w.Calls[i].Name, Check: r.Rep.Setup.Check, Man: m.Slot.Name, SetName: c.SetName,
		Concept: c.Concept, Plays: c.Plays, Assumed: c.Assumed, result: r, finding: -1, lone: len(m.Slot.Rules) == 1,
		Answer: ink.Capital(teach.Then(rule.Then)) + ".", Rule: Line{teach.When(&rule.When, v), teach.Then(rule.Then)}}
	q.Question = fmt.Sprintf("%s. You are the %s. %s What's your job?", ink.Capital(w.Calls[i].Name), m.Slot.Name,
		seen(r.Rep.Picture, m.Side))
	for _, n := range plan.Told(r) {
		if f := &r.Findings[n]; !f.Single && f.Man == j {
			q.finding, q.ShortYd, q.Sentence = n, f.Size, r.Sentence(f)
			break
		}
	}
	return q
}

// seen tells a picture from one side of the field.
func seen(p *picture.Picture, side int) string {
	say := func(side int) string {
		var out []string
		for i := range p.Receivers {
			if r := &p.Receivers[i]; r.Side == side && !r.Blocks() {
				out = append(out, runs(r))
			}
		}
		return strings.Join(out, ", ")
	}
	here, there := say(side), say(-side)
	switch {
	case here == "" && there == "":
		return "Everybody stays in."
	case here == "":
		return "Nobody comes to your side; on the other, " + there + "."
	case there == "":
		return "On your side " + here + "."
	}
	return "On your side " + here + "; on the other, " + there + "."
}

// atOnce is the depth in yards under which nobody tells a depth.
const atOnce = 1.5

// runs says what one receiver does: "#2 wheel (breaks out at 3 yd, then turns up at 4 yd)".
func runs(r *picture.Receiver) string {
	who := teach.Who(call.Who{Number: int8(r.Number)})
	if r.Back {
		who = "the back, who counts as " + who + ","
	}
	who += " " + r.Route.Name
	turns := map[picture.Turn]string{picture.Out: "breaks out", picture.In: "breaks in", picture.Stop: "stops",
		picture.Up: "turns up", picture.Straight: "bends"}
	var out []string
	for _, b := range r.Path.Breaks {
		at := " right away"
		if b.Depth >= atOnce {
			at = " at " + tenth(b.Depth)
		}
		out = append(out, turns[b.Turn]+at)
	}
	if len(out) == 0 {
		return who
	}
	return who + " (" + strings.Join(out, ", then ") + ")"
}

// Document lays the cards out, six a side, answers on the back.
func (q *Quiz) Document() *paper.Document {
	d := &paper.Document{Name: "quiz-cards", Title: "Quiz cards", Furniture: q.Furniture}
	g := &paper.Grid{Columns: 2, Rows: 3}
	table := &paper.Table{Name: "quiz cards", DataOnly: true, Columns: paper.Cols("number", "", "call", "", "check", "",
		"man", "", "set_name", "", "concept", "", "plays", "", "short_yd", "", "question", "", "answer", "", "rule_when", "",
		"rule_do", "", "sentence", "", "assumed_plays", "")}
	for i := range q.Cards {
		c := &q.Cards[i]
		g.Cards = append(g.Cards, c.card())
		table.Rows = append(table.Rows, paper.Cells(paper.I(c.Number), paper.T(c.Call), paper.T(c.Check), paper.T(c.Man),
			paper.T(c.SetName), paper.T(c.Concept), paper.I(c.Plays), paper.F("%.1f", c.ShortYd),
			paper.T(c.Question), paper.T(c.Answer), paper.T(c.Rule.When), paper.T(c.Rule.Do), paper.T(c.Sentence),
			paper.I(c.Assumed)))
	}
	if len(q.Cards) == 0 {
		d.Blocks = append(d.Blocks,
			paper.P("Nothing to ask yet: it takes active calls, and concepts of this opponent with routes tagged."))
	} else {
		d.Blocks = append(d.Blocks, g)
	}
	d.Blocks = append(d.Blocks, table)
	return d
}

func (c *QuizCard) card() paper.Card {
	o := drawing.Options{FromDefense: true}
	front, back := quizScenes(c.result, o)
	o.Bare = c.Man
	if c.finding >= 0 {
		back = drawing.Finding(c.result, c.finding, o)
	}
	out := paper.Card{Title: fmt.Sprintf("%d. %s, %s (n = %d%s)", c.Number, ink.Name(c.Concept), ink.Name(c.SetName),
		c.Plays, assumed(c.Assumed, c.Plays)),
		Blocks: []paper.Block{paper.B("%s", c.Question), &paper.Figure{Drawing: &front}},
		Back: []paper.Block{paper.N("%s, %s", c.Call, c.Man), paper.B("%s", c.Answer), paper.P("Rule: %s.", c.rule()),
			&paper.Figure{Drawing: &back}}}
	if c.Check != "" {
		out.Back = append(out.Back, paper.N("Check: %s.", c.Check))
	}
	if c.Sentence != "" {
		out.Back = append(out.Back, paper.N("%s", c.Sentence))
	}
	return out
}

// rule says when the line that answers the card holds.
func (c *QuizCard) rule() string {
	switch {
	case c.lone:
		return "always"
	case c.Rule.When == teach.Otherwise:
		return "anything else"
	}
	return c.Rule.When
}
