// Package plan sets our calls against what an opponent really runs: concept
// pictures from his tagged plays, the stress board, the mix to call.
package plan

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A Receiver is what one eligible does in a concept picture.
type Receiver struct {
	Name    string   `json:"receiver"` // P1, B2, back
	Route   string   `json:"route"`
	N       int      `json:"plays"` // plays in which he ran it
	Known   int      `json:"depth_known"`
	Median  *float64 `json:"median_depth_yd,omitempty"`
	Lower   *float64 `json:"lower_quartile_yd,omitempty"`
	Upper   *float64 `json:"upper_quartile_yd,omitempty"`
	Others  []string `json:"disagreements,omitempty"` // other routes he ran in this concept
	farBack bool
}

// A Concept is what an opponent's plays of one concept from one set have in
// common: it is what the engine reads.
type Concept struct {
	SetName   string     `json:"set_name"`
	Concept   string     `json:"concept"`
	Family    string     `json:"family"`
	Plays     int        `json:"plays"`
	Receivers []Receiver `json:"receivers"`
	Routes    string     `json:"picture"` // in the short notation
}

// Concepts makes concept pictures from the store's counts, most frequent first.
// The route of an eligible is the one he ran most; he counts as releasing when
// he did so in half of the plays at least.
func Concepts(rows []tags.ConceptRow) []Concept {
	var out []Concept
	for start := 0; start < len(rows); {
		end := start
		for end < len(rows) && rows[end].SetName == rows[start].SetName && rows[end].Concept == rows[start].Concept && rows[end].Family == rows[start].Family {
			end++
		}
		out = append(out, concept(rows[start:end]))
		start = end
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Plays > out[j].Plays })
	return out
}

func concept(rows []tags.ConceptRow) Concept {
	c := Concept{SetName: rows[0].SetName, Concept: rows[0].Concept, Family: rows[0].Family, Plays: rows[0].Plays}
	for start := 0; start < len(rows); {
		end, n := start, 0
		for end < len(rows) && rows[end].Side == rows[start].Side && rows[end].Number == rows[start].Number && rows[end].Back == rows[start].Back {
			n += rows[end].N
			end++
		}
		if 2*n >= c.Plays {
			c.Receivers = append(c.Receivers, receiver(rows[start:end], c.Receivers))
		}
		start = end
	}
	var parts []string
	for i := range c.Receivers {
		parts = append(parts, c.Receivers[i].notation())
	}
	c.Routes = strings.Join(parts, ", ")
	return c
}

func receiver(rows []tags.ConceptRow, before []Receiver) Receiver {
	top := &rows[0] // the store orders by how often
	r := Receiver{Route: top.Route, N: top.N, Known: top.Known, Median: top.Median, Lower: top.Lower, Upper: top.Upper}
	switch {
	case top.Back:
		r.Name, r.farBack = "back", top.Side != "play"
		for i := range before {
			if strings.HasPrefix(before[i].Name, "back") {
				r.Name = "back2"
			}
		}
	case top.Side == "play":
		r.Name = fmt.Sprint("P", top.Number)
	default:
		r.Name = fmt.Sprint("B", top.Number)
	}
	for _, o := range rows[1:] {
		r.Others = append(r.Others, fmt.Sprintf("%s %d", o.Route, o.N))
	}
	return r
}

// notation writes the receiver as the engine reads it; without a known depth
// the route's usual depth is left to the engine.
func (r *Receiver) notation() string {
	s := r.Name + " " + r.Route
	if rt, err := picture.LookupRoute(r.Route); err == nil && r.Median != nil && !rt.Vertical && !rt.Block {
		s += fmt.Sprintf("@%g", math.Round(*r.Median*2)/2)
	}
	if r.farBack {
		s += " to the B side"
	}
	return s
}
