// Package reports lays out what the other rooms found: data first, then
// writers. It computes nothing a reader could not find in the API's answers.
package reports

import (
	"net/url"
	"strconv"
	"strings"

	"overhang/internal/ask"
	"overhang/internal/plan"
)

// A GamePlan is one page for an opponent: what they do by down and distance,
// then our calls against their frequent concepts.
type GamePlan struct {
	Program    string          `json:"program"`
	Invented   bool            `json:"invented"`
	Opponent   string          `json:"opponent"`
	Plays      int             `json:"plays"` // counted plays behind the page
	Situations []DownBand      `json:"situations"`
	Board      plan.Board      `json:"board"`
	Worst      []plan.Conflict `json:"worst"`
	base       string          // where the opponent's pages are
}

// A DownBand is one down and distance band.
type DownBand struct {
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

// worst is how many conflicts a game plan tells.
const worst = 12

// Build makes a game plan of the answer.
func Build(a *ask.GamePlanAnswer) *GamePlan {
	p, o := a.Program, a.Opponent
	g := &GamePlan{Program: p.Name, Invented: p.Invented, Opponent: o.Name, Plays: a.Downs.Groups.Total, Board: a.Board,
		Situations: []DownBand{},
		Worst:      plan.Worst(&a.Board, worst), base: opponentPath(p, o)}
	for _, x := range breakdown(p, &a.Downs).Groups {
		if x.Keys[0] != nil && x.Keys[1] != nil {
			g.Situations = append(g.Situations, DownBand{*x.Keys[0], *x.Keys[1], x.Plays, x.RunKnown, x.RunShare, x.RunLow,
				x.RunHigh, x.SuccessRate, x.MeanGainYd, x.Top, x.Thin})
		}
	}
	return g
}

// A SheetLink is where a sheet that is carried onto the field can be had.
type SheetLink struct{ Name, Link, PDF, XLSX string }

// Base is where the opponent's pages are.
func (g *GamePlan) Base() string { return g.base }

// Sheets are the links to the opponent's sheets.
func (g *GamePlan) Sheets() []SheetLink {
	var out []SheetLink
	for _, k := range Kinds {
		if k.Scope == ForField {
			at := "/v1" + g.base + "/sheets/" + k.Name + "?format="
			out = append(out, SheetLink{k.Title, at + "html", at + "pdf", at + "xlsx"})
		}
	}
	return out
}

// CallsLink is where the call book is.
func (g *GamePlan) CallsLink() string {
	return g.base[:strings.Index(g.base, "/opponents/")] + "/calls"
}

// CureLink is where it is shown what would cure a conflict.
func (g *GamePlan) CureLink(c plan.Conflict) string {
	k, n := c.At()
	return g.CellLink(plan.Cell{Call: c.Call, Concept: k}) + "&finding=" + strconv.Itoa(n+1) + "#cures"
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
