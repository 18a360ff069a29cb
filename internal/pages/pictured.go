package pages

import (
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strings"

	"overhang/internal/ask"
	"overhang/internal/reports/drawing"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// Targets counts where they throw: where to by how deep.
type Targets struct {
	Columns []string
	Rows    []TargetRow
	Unknown *TargetRow // throws whose depth nobody tagged; nil: none
	Total   int
}

// depthUnknown asks for throws whose depth nobody tagged.
const depthUnknown = ask.Unknown

// A TargetRow is one band of depth, the deepest first.
type TargetRow struct {
	Name  string
	Cells []TargetCell
}

// A TargetCell is how many throws went there, of all.
type TargetCell struct {
	Plays int
	Share float64
	Snaps string
}

// Shade is the cell's step of the one scale.
func (c TargetCell) Shade() int { return drawing.Shade(0.2 + 2*c.Share) }

// A Zoned is what they do in a zone of the field.
type Zoned struct {
	Zone     string
	Plays    int
	RunShare float64
	Share    float64 // of all plays whose zone is known
	Only     string  // the page in that zone
	Snaps    string
}

// A Gamed is what they did in one game.
type Gamed struct {
	Game                              string
	Plays                             int
	RunShare, RunLow, RunHigh         float64
	Success, SuccessLow, SuccessHigh  float64
	HasRuns, HasSuccess, Thin, Latest bool
	Snaps                             string
}

// Gaps counts where they run, as the offense sees it.
type Gaps struct {
	Arrows  []GapArrow // from left to right
	Total   int        // runs with a gap
	Unknown int        // of these, runs whose side or gap nobody knows are left out
}

// A GapArrow is the runs to one gap.
type GapArrow struct {
	Gap, Side string
	Yards     float64 // from the center, negative to the left
	Plays     int
	Share     float64
	Concepts  string
	Snaps     string
}

// gapYards is how far from the center a gap lies. Common practice, no source: linemen
// stand about a yard and a half apart.
var gapYards = map[string]float64{"A": 0.75, "B": 2.25, "C": 3.75, "D": 6}

// TellSnaps is where the snaps of a tell are listed.
func (x *Explorer) TellSnaps(t Told) string { return x.snapsOf(t.Dimension, t.Value) }

// under is the page's filters with some more.
func (x *Explorer) under(more ...string) url.Values {
	q := url.Values{}
	for k, v := range x.query {
		q[k] = v
	}
	for i := 0; i+1 < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	return q
}

func (x *Explorer) snapsOf(more ...string) string {
	return x.Base + "/snaps?" + x.under(more...).Encode()
}

// Split reports whether runs and passes are both asked for: where only one of them is, a
// share of runs says nothing.
func (x *Explorer) Split() bool { return x.query.Get("called") == "" }

// TakeZones takes in the counts by field zone, in the order of the field.
func (x *Explorer) TakeZones(cells []ask.CellScored, set *tags.Settings) {
	total := 0
	for i := range cells {
		c := &cells[i]
		if z := c.Keys["field_zone"]; z != nil && c.Runs+c.Passes > 0 {
			x.Zones = append(x.Zones, Zoned{Zone: *z, Plays: c.Plays, RunShare: c.RunShare,
				Only: x.address([]string{"concept"}, x.under("field_zone", *z)), Snaps: x.snapsOf("field_zone", *z)})
			total += c.Plays
		}
	}
	for i := range x.Zones {
		x.Zones[i].Share = tendency.RateOf(x.Zones[i].Plays, total).Share
	}
	place := map[string]int{}
	for _, b := range set.FieldZones {
		place[b.Name] = -b.From
	}
	slices.SortFunc(x.Zones, func(a, b Zoned) int { return place[a.Zone] - place[b.Zone] })
}

// TakeTargets takes in the counts by throw depth and where to.
func (x *Explorer) TakeTargets(cells []ask.CellScored) {
	counts, total := map[[2]string]int{}, 0
	for i := range cells {
		to, depth := cells[i].Keys["target_area"], depthUnknown
		if d := cells[i].Keys["throw_depth_band"]; d != nil {
			depth = *d
		}
		if to != nil {
			counts[[2]string{depth, *to}] += cells[i].Plays
			total += cells[i].Plays
		}
	}
	if total == 0 {
		return
	}
	x.Targets = &Targets{Columns: tags.TargetAreas, Total: total}
	for _, depth := range slices.Backward(append([]string{depthUnknown}, tags.ThrowDepthBands...)) {
		r, n := TargetRow{Name: depth}, 0
		for _, to := range tags.TargetAreas {
			k := counts[[2]string{depth, to}]
			n += k
			r.Cells = append(r.Cells, TargetCell{k, tendency.RateOf(k, total).Share,
				x.snapsOf("throw_depth_band", depth, "target_area", to)})
		}
		if n == 0 && depth == depthUnknown {
			continue
		}
		if depth == depthUnknown {
			r.Name = "depth not tagged"
			x.Targets.Unknown = &r
			continue
		}
		x.Targets.Rows = append(x.Targets.Rows, r)
	}
}

// TakeRuns takes in the counts of runs by concept and side: the gap is the one that the
// library aims the concept at.
func (x *Explorer) TakeRuns(cells []ask.CellScored) {
	g := &Gaps{}
	for i := range cells {
		c := &cells[i]
		concept, side := c.Keys["concept"], c.Keys["play_side"]
		run, known := schemeOf(concept)
		if !known || side == nil {
			g.Unknown += c.Plays
			continue
		}
		g.add(run, *side, c.Plays)
	}
	if g.Total == 0 {
		return
	}
	for i := range g.Arrows {
		a := &g.Arrows[i]
		a.Share = tendency.RateOf(a.Plays, g.Total).Share
		concepts := strings.Split(a.Concepts, ",")
		a.Snaps = x.snapsOf("called", "run", "play_side", a.Side, "concept", a.Concepts)
		a.Concepts = strings.Join(concepts, ", ")
	}
	slices.SortFunc(g.Arrows, func(a, b GapArrow) int { return int(100 * (a.Yards - b.Yards)) })
	x.Gaps = g
}

func schemeOf(concept *string) (picture.Scheme, bool) {
	if concept == nil {
		return picture.Scheme{}, false
	}
	i := slices.IndexFunc(schemes, func(s picture.Scheme) bool { return strings.EqualFold(s.Concept, *concept) })
	if i < 0 {
		return picture.Scheme{}, false
	}
	return schemes[i], true
}

var schemes = picture.Runs()

func (g *Gaps) add(run picture.Scheme, side string, plays int) {
	at := gapYards[run.Gap] * float64(run.Side)
	if side == "left" {
		at = -at
	}
	g.Total += plays
	for i := range g.Arrows {
		if a := &g.Arrows[i]; a.Yards == at && a.Side == side {
			a.Plays += plays
			a.Concepts += "," + run.Concept
			return
		}
	}
	g.Arrows = append(g.Arrows, GapArrow{Gap: run.Gap, Side: side, Yards: at, Plays: plays, Concepts: run.Concept})
}

// Picture draws the runs through the line they go through, seen from behind the offense:
// the wider the arrow the more of them. Each leads to its snaps.
func (g *Gaps) Picture() template.HTML {
	const middle, yard, line = 320.0, 38.0, 150.0
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="gaps" viewBox="0 0 640 250" role="group" aria-label="Where they run">`+
		`<path class="scrimmage" d="M20 %gH620"/>`, line-16)
	for i := -2; i <= 2; i++ {
		fmt.Fprintf(&b, `<circle class="lineman" cx="%s" cy="%g" r="15"/>`, coord(middle+1.5*yard*float64(i)), line)
	}
	fmt.Fprintf(&b, `<circle class="lineman" cx="%g" cy="%g" r="15"/>`, middle, line+78)
	for i := range g.Arrows {
		a := &g.Arrows[i]
		x := middle + yard*a.Yards
		fmt.Fprintf(&b, `<a href="%s">`, template.HTMLEscapeString(a.Snaps))
		fmt.Fprintf(&b, `<path class="way" stroke-width="%s" d="M%g %gQ%s %g %s 78"/>`+
			`<path class="tip" d="M%s 60l-10 20h20z"/>`,
			coord(3+22*a.Share), middle, line+58, coord(x), line+44, coord(x), coord(x))
		fmt.Fprintf(&b, `<text x="%s" y="30"><tspan class="share">%.0f%%</tspan>`+
			`<tspan x="%s" dy="18">%s gap, n %d</tspan></text></a>`,
			coord(x), 100*a.Share, coord(x), a.Gap, a.Plays)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) // numbers and words of our own, addresses escaped
}

// TakeGames takes in the counts by game, the first game first.
func (x *Explorer) TakeGames(cells []ask.CellScored) {
	ago := func(c *ask.CellScored) (n int) {
		if k := c.Keys["games_ago"]; k != nil {
			_, _ = fmt.Sscan(*k, &n) // a whole number, as the store writes it
		}
		return n
	}
	slices.SortStableFunc(cells, func(a, b ask.CellScored) int { return ago(&b) - ago(&a) })
	for i := range cells {
		c := &cells[i]
		if c.Keys["game"] == nil {
			continue
		}
		g := Gamed{Game: *c.Keys["game"], Plays: c.Plays, RunShare: c.RunShare, RunLow: c.RunLow, RunHigh: c.RunHigh,
			HasRuns: c.Runs+c.Passes > 0, Thin: c.Thin, Latest: i == len(cells)-1,
			Snaps: x.snapsOf("game", *c.Keys["game"])}
		if c.SuccessRate != nil && c.SuccessLow != nil && c.SuccessHigh != nil {
			g.Success, g.SuccessLow, g.SuccessHigh, g.HasSuccess = *c.SuccessRate, *c.SuccessLow, *c.SuccessHigh, true
		}
		x.Games = append(x.Games, g)
	}
}
