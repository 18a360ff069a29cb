package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// near is the distance up to which a picture is worth suggesting: two routes of
// three the same. A staff estimate, no source.
const near = 0.35

// A Suggestion is what a play with routes and no concept looks most like. A
// person decides; nothing is tagged by it.
type Suggestion struct {
	PlayID   string `json:"play_id"`
	GameID   string `json:"game_id"`
	Number   int    `json:"number"`
	SetName  string `json:"set_name,omitempty"`
	PlaySide string `json:"play_side"` // as tagged, else the side that fits better
	Routes   string `json:"picture"`   // what was tagged, in the short notation
	Nearest  *Match `json:"nearest,omitempty"`
	Next     *Match `json:"next,omitempty"` // the nearest of another concept
}

// A Match is a concept picture and how far a play is from it.
type Match struct {
	Concept string  `json:"concept"`
	SetName string  `json:"set_name"`
	From    string  `json:"from"`  // opponent: their own tagged plays; library: the built-in pictures
	Plays   int     `json:"plays"` // behind the picture; 0 in the library
	Routes  string  `json:"picture"`
	Apart   float64 `json:"apart"` // 0 the same routes at the same depths, 1 nothing in common
	Near    bool    `json:"near"`  // near enough to suggest
}

// A candidate is a picture to compare with.
type candidate struct {
	Match
	men map[string]man
}

// A man is what one eligible does; depth is NaN when it is not known.
type man struct {
	route string
	depth float64
}

// Suggest finds the nearest picture for every play: the opponent's own first,
// the library's where it is nearer.
func Suggest(plays []tags.Play, own []Concept, level field.Level) ([]Suggestion, error) {
	var all []candidate
	for _, c := range own {
		if c.Runs() {
			continue // routes look like no run
		}
		all = append(all, candidate{Match{Concept: c.Concept, SetName: c.SetName, From: "opponent", Plays: c.Plays,
			Routes: c.Routes}, menRan(&c)})
	}
	library, err := fromLibrary(level)
	if err != nil {
		return nil, err
	}
	all = append(all, library...)
	out := make([]Suggestion, len(plays))
	for i := range plays {
		out[i] = suggest(&plays[i], all)
	}
	return out, nil
}

// menRan are the men of an opponent's concept with the routes they ran most and their median depth.
func menRan(c *Concept) map[string]man {
	men := map[string]man{}
	for _, r := range c.Receivers {
		m := man{r.Route, math.NaN()}
		if r.Median != nil {
			m.depth = *r.Median
		}
		men[r.Name] = m
	}
	return men
}

func fromLibrary(level field.Level) ([]candidate, error) {
	params := motion.Defaults(level)
	var out []candidate
	for _, e := range picture.Library() {
		p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Spot: field.Spot{Level: level},
			Receiver: params.Receiver, Back: params.Back})
		if err != nil {
			return nil, fmt.Errorf("library, %s: %w", e.Concept, err)
		}
		c := candidate{Match{Concept: e.Concept, SetName: e.Set, From: "library", Routes: e.Routes}, map[string]man{}}
		for k := range p.Receivers {
			if r := &p.Receivers[k]; r.Named {
				m := man{r.Route.Name, math.NaN()}
				if !r.Route.Vertical && !r.Route.Block {
					m.depth = float64(r.Depth)
				}
				c.men[r.Name] = m
			}
		}
		out = append(out, c)
	}
	return out, nil
}

func suggest(p *tags.Play, all []candidate) Suggestion {
	out := Suggestion{PlayID: p.ID.String(), GameID: p.GameID.String(), Number: p.Number}
	if p.SetName != nil {
		out.SetName = *p.SetName
	}
	sides := []string{"left", "right"}
	if p.PlaySide != nil {
		sides = []string{*p.PlaySide}
	}
	var found []Match
	best := math.Inf(1)
	for _, side := range sides {
		men, notation := menOf(p, side)
		var here []Match
		for i := range all {
			m := all[i].Match
			m.Apart = apart(men, all[i].men)
			if out.SetName != "" && out.SetName != m.SetName {
				m.Apart = min(1, m.Apart+otherSet)
			}
			m.Near = m.Apart <= near
			here = append(here, m)
		}
		slices.SortStableFunc(here, func(a, b Match) int {
			return cmp.Or(cmp.Compare(a.Apart, b.Apart),
				cmp.Compare(b.Plays, a.Plays))
		})
		if len(here) > 0 && here[0].Apart < best {
			best, found, out.PlaySide, out.Routes = here[0].Apart, here, side, notation
		}
	}
	if len(found) > 0 {
		out.Nearest = &found[0]
		if i := slices.IndexFunc(found, func(m Match) bool { return m.Concept != found[0].Concept }); i > 0 {
			out.Next = &found[i]
		}
	}
	return out
}

// menOf names a play's eligibles as pictures do, given the side it is run to.
func menOf(p *tags.Play, side string) (map[string]man, string) {
	men := map[string]man{}
	var parts []string
	for _, r := range p.Routes {
		name := manIn(&r, side)
		if _, there := men[name]; there && r.Eligible == "back" {
			name = "back2"
		}
		m, text := man{r.Route, math.NaN()}, name+" "+r.Route
		if r.BreakDepthYd != nil {
			m.depth = *r.BreakDepthYd
			text += fmt.Sprintf("@%g", m.depth)
		}
		men[name] = m
		parts = append(parts, text)
	}
	slices.SortFunc(parts, func(a, b string) int { // P1, P2, B1, back
		return cmp.Or(cmp.Compare(strings.IndexByte("PBb", a[0]), strings.IndexByte("PBb", b[0])), cmp.Compare(a, b))
	})
	return men, strings.Join(parts, ", ")
}

// manIn is a man's name seen from the passing strength: P1 stands outside on it, B1 on the other side.
func manIn(r *tags.Route, side string) string {
	switch {
	case r.Eligible == "back":
		return "back"
	case r.Side == side:
		return fmt.Sprint("P", r.Number)
	}
	return fmt.Sprint("B", r.Number)
}

const (
	otherSet = 0.2 // what another set adds: the same routes from it are the same idea, less surely
	backless = 0.5 // a back counts half: his release often waits for the rush, and is often not charted
)

// apart is the mean over all eligibles of either side of how unlike their routes
// are: 0 the same at the same depth, up to a half for the same route ten yards off, 1
// another route or none.
func apart(a, b map[string]man) float64 {
	sum, weight := 0.0, 0.0
	add := func(name string, x float64) {
		w := 1.0
		if strings.HasPrefix(name, "back") {
			w = backless
		}
		sum, weight = sum+w*x, weight+w
	}
	for _, name := range []string{"P1", "P2", "P3", "P4", "P5", "B1", "B2", "B3", "B4", "B5", "back", "back2"} {
		x, inA := a[name]
		y, inB := b[name]
		switch {
		case inA && inB && x.route != y.route, inA != inB:
			add(name, 1)
		case inA && inB:
			add(name, depthApart(x.depth, y.depth))
		}
	}
	if weight == 0 {
		return 1
	}
	return sum / weight
}

// depthApart is how unlike the same route is at two depths; where one is unknown, the route says all.
func depthApart(a, b field.Yards) float64 {
	off := math.Abs(a - b)
	if math.IsNaN(off) {
		return 0
	}
	return min(0.5, off/20)
}
