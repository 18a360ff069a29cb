package handout

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
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
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A Phone is what the men of a position group carry: their page of the packet, and a quiz.
type Phone struct {
	Packet    *paper.Document
	Questions []Pointed
}

// A Pointed question shows a set and its routes and asks one man whom he has.
type Pointed struct {
	ID      string // the same as long as call, man, picture and rule are
	Call    string
	Check   string
	Man     string
	SetName string
	Concept string
	Plays   int
	Ways    []drawing.Way // whom a finger may point at, by the picture's order
	Mine    []int         // indexes of who is his, once everything has shown; none: nobody is
	Rule    Line
	Always  bool // he has no other rule
	Why     string
	Front   drawing.Scene // the set and the routes
	Back    drawing.Scene // with what he owes
	worth   float64
	call    int // in the week
	concept int
}

// PhoneWidth is how wide a quiz is drawn, mm: a phone held upright.
const PhoneWidth = 90

// How many questions a quiz has, how many of one call, and how many have nobody for an answer.
const (
	usualQuestions = 12
	perCall        = 3
	perPicture     = 2
	perNobody      = 3
)

// Groups lists whose pages a packet of these calls has, in its order.
func Groups(w *plan.Week) (out []string) {
	s := &PositionSheet{}
	for i := range w.Calls {
		s.Positions = append(s.Positions, men(&w.Calls[i])...)
	}
	for _, x := range s.packets() {
		out = append(out, x.group)
	}
	return out
}

// OnPhone is what one position group carries. It fails with a tags.Error of kind NotFound when
// no man of these calls is of the group, and when ctx ends.
func OnPhone(ctx context.Context, f paper.Furniture, w *plan.Week, group string) (*Phone, error) {
	s, err := Positions(ctx, f, w, "", "")
	if err != nil {
		return nil, err
	}
	all := s.packets()
	i := slices.IndexFunc(all, func(x packet) bool { return x.group == group })
	if i < 0 {
		return nil, tags.Errorf(tags.NotFound, "no man of this week's calls is of the group %q", group)
	}
	d := &paper.Document{Name: "position-packet", Title: "Position packet", Furniture: f}
	d.Blocks = []paper.Block{all[i].page(w)}
	return &Phone{d, all[i].questions(w)}, nil
}

// questions are those worth most, by how often the picture is run and what it asks of the man;
// not all of one call or picture, and few to which nobody is the answer.
func (x *packet) questions(w *plan.Week) (out []Pointed) {
	var all []Pointed
	for _, p := range x.men {
		ci := slices.IndexFunc(w.Calls, func(c plan.Named) bool { return c.Name == p.Call })
		if p.rusher || ci < 0 {
			continue
		}
		for k := range w.Concepts {
			setup := w.Results[ci][k].Rep.Setup
			for j := range setup.Men {
				if slices.Contains(p.names, setup.Men[j].Slot.Name) && clear(setup, j) {
					all = append(all, pointed(w, ci, k, j))
				}
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Pointed) int { return cmp.Compare(b.worth, a.worth) })
	calls, pictures, nobody := map[string]int{}, map[string]int{}, 0
	had := map[string]bool{}
	for _, q := range all {
		if len(out) == usualQuestions || had[q.ID] || calls[q.Call] == perCall ||
			pictures[q.Concept+q.SetName] == perPicture || len(q.Mine) == 0 && nobody == perNobody {
			continue
		}
		had[q.ID] = true
		calls[q.Call]++
		pictures[q.Concept+q.SetName]++
		if len(q.Mine) == 0 {
			nobody++
		}
		out = append(out, q)
	}
	for i := range out {
		out[i].draw(w)
	}
	return out
}

func pointed(w *plan.Week, ci, k, j int) Pointed {
	c := question(w, ci, k, j)
	m := &c.result.Rep.Setup.Men[j]
	q := Pointed{Call: c.Call, Check: c.Check, Man: c.Man, SetName: c.SetName, Concept: c.Concept, Plays: c.Plays,
		Rule: Line{teach.Short(c.Rule.When), teach.Short(c.Rule.Do)}, Always: c.lone,
		Mine: has(c.result.Rep.Setup, j), Why: why(&c),
		worth: float64(c.Plays) * (1 + c.ShortYd) * thinking(m), call: ci, concept: k}
	about := []string{q.Call, q.Man, q.SetName, q.Concept, q.Rule.When, q.Rule.Do}
	sum := sha256.Sum256([]byte(strings.Join(about, "\x00")))
	q.ID = hex.EncodeToString(sum[:8])
	return q
}

// clear reports whether a man can be asked whom he has: somebody runs a route, and either
// somebody is his, or nobody comes near what he owes. Who helps, reads or sees a man of
// somebody else's in his zone has no plain answer.
func clear(s *duty.Setup, j int) bool {
	if !slices.ContainsFunc(s.Picture.Receivers, func(r picture.Receiver) bool { return !r.Blocks() }) {
		return false
	}
	return len(has(s, j)) > 0 || !slices.ContainsFunc(s.Men[j].Owed(settled), func(d duty.Duty) bool {
		return d.Target >= 0 || d.Zone != nil && visited(s.Picture, d.Zone)
	})
}

// visited reports whether a route passes through a zone once it has shown.
func visited(p *picture.Picture, zone *call.Rect) bool {
	for i := range p.Receivers {
		for t := 1.5; t <= settled+1 && !p.Receivers[i].Blocks(); t += 0.25 {
			if zone.Holds(p.Receivers[i].Path.At(t)) {
				return true
			}
		}
	}
	return false
}

// has are the receivers a man has once everything has shown: who is his by name, and who comes
// into his zone and is nobody's before.
func has(s *duty.Setup, j int) (out []int) {
	for i := range s.Picture.Receivers {
		if s.Picture.Receivers[i].Blocks() {
			continue
		}
		mine := duty.Owner(s, i) == j
		for _, d := range s.Men[j].Owed(settled) {
			switch d.Verb {
			case call.Man, call.Carry, call.Under:
				mine = mine || d.Target == i && !d.Help
			}
		}
		if mine {
			out = append(out, i)
		}
	}
	return out
}

// why says the rule of an answer.
func why(c *QuizCard) string {
	switch {
	case c.lone:
		return "Your rule, always: " + teach.Short(c.Rule.Do) + "."
	case c.Rule.When == teach.Otherwise:
		return "None of your other rules fits, so: " + teach.Short(c.Rule.Do) + "."
	}
	return "Your rule: " + teach.Short(c.Rule.When) + " - " + teach.Short(c.Rule.Do) + "."
}

// draw makes the two pictures of a question.
func (q *Pointed) draw(w *plan.Week) {
	q.Front, q.Back = quizScenes(w.Results[q.call][q.concept], drawing.Options{FromDefense: true, Bare: q.Man})
	q.Front.Title = ink.Name(q.SetName) + ", seen from the defense"
	q.Ways = q.Front.Ways(PhoneWidth)
}

// quizScenes are a picture without what anybody owes, and with it.
func quizScenes(r *stress.Result, o drawing.Options) (front, back drawing.Scene) {
	front, back = drawing.Call(r, o), drawing.Call(r, o)
	front.Ties, front.Zones, front.Fits, front.Words = nil, nil, nil, drawing.Concept(r.Rep.Picture, o).Words
	return front, back
}
