package pages

import (
	"bytes"
	"encoding/json"
	"html/template"
	"math"
	"slices"
	"time"

	"overhang/internal/ask"
	"overhang/internal/reports/handout"
	"overhang/internal/staff"
	"overhang/internal/tags"
)

// A Packet is what a link for players opens: the group's page of the packet and its quiz.
type Packet struct {
	Key   string // of the link
	Group string
	Until time.Time
	Body  template.HTML
	Asked []Question
}

// A Question is one of the quiz, as a thumb answers it.
type Question struct {
	*handout.Pointed
	Place, Of   int
	Front, Back template.HTML
}

// NewPacket lays out what a position group carries.
func NewPacket(group string, p *handout.Phone) (*Packet, error) {
	var body bytes.Buffer
	if err := p.Packet.WriteBody(&body); err != nil {
		return nil, err
	}
	out := &Packet{Group: group, Body: template.HTML(body.String())} // written by package paper, which escapes
	for i := range p.Questions {
		q := &p.Questions[i]
		front, err := Drawn(q.Front.List(handout.PhoneWidth))
		if err != nil {
			return nil, err
		}
		back, err := Drawn(q.Back.List(handout.PhoneWidth))
		if err != nil {
			return nil, err
		}
		out.Asked = append(out.Asked, Question{q, i + 1, len(p.Questions), front, back})
	}
	return out, nil
}

// Runs are where each eligible can be pointed at, as the script reads it: a list of places, mm
// from the upper left corner of the drawing.
func (a *Question) Runs() (string, error) {
	tenth := func(v float64) float64 { return math.Round(10*v) / 10 }
	out := [][][2]float64{}
	for _, w := range a.Ways {
		run := [][2]float64{}
		for _, s := range w.Run {
			run = append(run, [2]float64{tenth(s.X), tenth(s.Y)})
		}
		out = append(out, run)
	}
	raw, err := json.Marshal(out)
	return string(raw), err
}

// Own are the indexes of who is his, as the script reads it.
func (a *Question) Own() (string, error) {
	raw, err := json.Marshal(append([]int{}, a.Mine...))
	return string(raw), err
}

// Players is the staff's page of links for players, and of what their quizzes tell.
type Players struct {
	Opponent tags.Opponent
	Base     string
	May      bool // make and end links
	Alone    bool // nobody else reaches this server
	Groups   []string
	Whose    string
	Links    []staff.PacketLink
	Missed   []ask.Missed
	Made     *MadeLink
	Wrong    string
}

// A MadeLink is a link just made: it is shown once.
type MadeLink struct{ Group, At string }

// Standing are the links that let somebody in.
func (p *Players) Standing() (out []staff.PacketLink) {
	for _, l := range p.Links {
		if l.Stands {
			out = append(out, l)
		}
	}
	return out
}

// Fits reports whether a receiver, by his index, is whom the man has; -1 is nobody.
func (a *Question) Fits(receiver int) bool {
	if len(a.Mine) == 0 {
		return receiver < 0
	}
	return slices.Contains(a.Mine, receiver)
}

// Question is the one of an id, nil for none.
func (p *Packet) Question(id string) *Question {
	i := slices.IndexFunc(p.Asked, func(q Question) bool { return q.ID == id })
	if i < 0 {
		return nil
	}
	return &p.Asked[i]
}
