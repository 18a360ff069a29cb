// Package reports lays out what the other rooms found: data first, then
// writers. It computes nothing a reader could not find in the API's answers.
package reports

import (
	"cmp"
	"net/url"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A GamePlan is one page for an opponent: what they do by down and distance,
// then our calls against their frequent concepts.
type GamePlan struct {
	Program    string          `json:"program"`
	Invented   bool            `json:"invented"`
	Opponent   string          `json:"opponent"`
	Plays      int             `json:"plays"` // counted plays behind the page
	Situations []Situation     `json:"situations"`
	Board      plan.Board      `json:"board"`
	Worst      []plan.Conflict `json:"worst"`
	base       string          // where the opponent's pages are
}

// A Situation is one down and distance band.
type Situation struct {
	Down        string   `json:"down"`
	Distance    string   `json:"distance_band"`
	Plays       int      `json:"plays"`
	RunKnown    int      `json:"call_known"`
	RunShare    float64  `json:"run_share"`
	RunLow      float64  `json:"run_low"`
	RunHigh     float64  `json:"run_high"`
	SuccessRate *float64 `json:"success_rate,omitempty"`
	MeanGainYd  *float64 `json:"mean_gain_yd,omitempty"`
	Top         []Top    `json:"top_concepts"`
	Thin        bool     `json:"thin"`
}

// A Top is a frequent concept of a situation.
type Top struct {
	Concept string  `json:"concept"`
	Plays   int     `json:"plays"`
	Share   float64 `json:"share"`
	Low     float64 `json:"share_low"`
	High    float64 `json:"share_high"`
}

const (
	topConcepts = 3
	worst       = 12
)

// Build puts a game plan together. byDown is counted by down and distance band,
// byConcept by down, distance band and concept.
func Build(p tags.Program, o tags.Opponent, byDown, byConcept tags.Tendency, b plan.Board) GamePlan {
	g := GamePlan{Program: p.Name, Invented: p.Invented, Opponent: o.Name, Plays: byDown.Total, Board: b, Situations: []Situation{}, Worst: plan.Worst(&b, worst), base: opponentPath(p, o)}
	for i := range byDown.Cells {
		if c := &byDown.Cells[i]; c.Keys[0] != nil && c.Keys[1] != nil {
			g.Situations = append(g.Situations, situation(c, byConcept.Cells))
		}
	}
	band := func(name string) int {
		return slices.IndexFunc(p.Settings.DistanceBands, func(b tags.Band) bool { return b.Name == name })
	}
	slices.SortFunc(g.Situations, func(a, b Situation) int {
		return cmp.Or(cmp.Compare(a.Down, b.Down), cmp.Compare(band(a.Distance), band(b.Distance)))
	})
	return g
}

// CellLink is where a cell of the board is shown.
func (g *GamePlan) CellLink(c plan.Cell) string {
	k := &g.Board.Concepts[c.Concept]
	q := url.Values{"call": {c.Call}, "concept": {k.Concept}, "set_name": {k.SetName}, "family": {k.Family}}
	if k.Family == "dropback" {
		q.Set("family", "dropback,(unknown)") // an untagged family is read as one
	}
	return g.base + "/cell?" + q.Encode()
}

func situation(c *tags.Cell, byConcept []tags.Cell) Situation {
	s := Situation{Down: *c.Keys[0], Distance: *c.Keys[1], Plays: c.Plays, RunKnown: c.Runs + c.Passes, Thin: c.Plays < tendency.Thin, Top: []Top{}}
	s.RunShare = tendency.Share(c.Runs, s.RunKnown)
	s.RunLow, s.RunHigh = tendency.Wilson(c.Runs, s.RunKnown)
	if c.SuccessKnown > 0 {
		r := tendency.Share(c.Successes, c.SuccessKnown)
		s.SuccessRate = &r
	}
	if c.GainKnown > 0 {
		m := float64(c.GainSum) / float64(c.GainKnown)
		s.MeanGainYd = &m
	}
	for i := range byConcept {
		x := &byConcept[i] // most frequent first
		if len(s.Top) == topConcepts || x.Keys[0] == nil || x.Keys[1] == nil || x.Keys[2] == nil || *x.Keys[0] != s.Down || *x.Keys[1] != s.Distance {
			continue
		}
		t := Top{Concept: *x.Keys[2], Plays: x.Plays, Share: tendency.Share(x.Plays, c.Plays)}
		t.Low, t.High = tendency.Wilson(x.Plays, c.Plays)
		s.Top = append(s.Top, t)
	}
	return s
}
