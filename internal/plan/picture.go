package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"overhang/internal/stress/picture"
	"overhang/internal/tags"
)

// A Receiver is what one eligible does in a concept picture.
type Receiver struct {
	Name  string `json:"receiver"` // P1, B2, back
	Route string `json:"route"`
	N     int    `json:"plays"` // plays in which he ran it
	// plays in which he ran any route; in the others he stayed in, or nobody tagged him
	Ran     int      `json:"any_plays"`
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
	SetName string `json:"set_name"`
	Concept string `json:"concept"`
	Family  string `json:"family"`
	Plays   int    `json:"plays"`
	Assumed int    `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	// Drawn is the set the picture is drawn from, assumed, where nobody knows SetName.
	Drawn     string     `json:"drawn_as,omitempty"`
	Receivers []Receiver `json:"receivers"`
	Seldom    []Receiver `json:"seldom,omitempty"` // ran a route in less than half of the plays: not in the picture
	Routes    string     `json:"picture"`          // in the short notation
	// Results are what they add by their own results; nil: nobody counted them.
	Results *Results `json:"results,omitempty"`
	// Faced are the downs of its plays.
	Faced []tags.Faced `json:"-"`
	away  bool         // run away from the strength: the P side is not the play side
}

// AssumedText says how many of its plays are assumed and the set it is drawn from where
// nobody knows it, "" where all was seen.
func (c *Concept) AssumedText() string {
	return joined(AssumedText(c.Assumed, c.Plays), prefixed("set drawn as ", c.Drawn))
}

// nobodyOut is the picture of a run: all stay in and block, as its concept says.
const nobodyOut = "B1 block"

// Runs reports whether the concept is a run.
func (c *Concept) Runs() bool { return c.Family == picture.Run.String() }

// Concepts makes concept pictures from the store's counts, most frequent first.
// The route of an eligible is the one he ran most; he counts as releasing when
// he did so in half of the plays at least. A back is one man, whichever side he
// releases to, unless backs released more often than there were plays.
func Concepts(rows []tags.ConceptRow) []Concept {
	var out []Concept
	for _, group := range chunks(rows, func(r *tags.ConceptRow) any { return [3]string{r.SetName, r.Concept, r.Family} }) {
		out = append(out, concept(group))
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Plays > out[j].Plays })
	return out
}

// chunks cuts rows where their key changes.
func chunks(rows []tags.ConceptRow, key func(*tags.ConceptRow) any) [][]tags.ConceptRow {
	var out [][]tags.ConceptRow
	start := 0
	for i := range rows {
		if i+1 == len(rows) || key(&rows[i]) != key(&rows[i+1]) {
			out = append(out, rows[start:i+1])
			start = i + 1
		}
	}
	return out
}

func concept(rows []tags.ConceptRow) Concept {
	c := Concept{SetName: rows[0].SetName, Concept: rows[0].Concept, Family: rows[0].Family, Plays: rows[0].Plays,
		Assumed: rows[0].Assumed, Drawn: rows[0].Drawn, Faced: rows[0].Faced}
	if c.Drawn != "" {
		c.Assumed = c.Plays
	}
	if rows[0].Route == "" { // a run: nobody runs a route
		c.Receivers, c.Routes = []Receiver{}, nobodyOut
		return c
	}
	var line, backs []tags.ConceptRow
	released := 0
	for _, r := range rows {
		if !r.Back {
			line = append(line, r)
			continue
		}
		backs = append(backs, r)
		released += r.N
	}
	men := chunks(line, who)
	if released <= c.Plays && len(backs) > 0 {
		sort.SliceStable(backs, func(i, j int) bool { return backs[i].N > backs[j].N })
		men = append(men, backs)
	} else {
		men = append(men, chunks(backs, who)...)
	}
	for _, m := range men {
		r := receiver(m, c.Receivers)
		if 2*r.Ran < c.Plays {
			c.Seldom = append(c.Seldom, r)
			continue
		}
		c.Receivers = append(c.Receivers, r)
	}
	c.fit()
	var parts []string
	for i := range c.Receivers {
		parts = append(parts, c.Receivers[i].notation())
	}
	c.Routes = strings.Join(parts, ", ")
	return c
}

// fit names the receivers as their set has them. A set's P side is its strong one: a play run away
// from it has its sides exchanged. Whom the set has on neither side (a slip of the tagger, or plays
// run both ways) is of no picture.
func (c *Concept) fit() {
	set, err := picture.LookupSet(cmp.Or(c.Drawn, c.SetName))
	if err != nil {
		return
	}
	if has := c.missing(set); has > 0 {
		c.exchange()
		if c.missing(set) >= has {
			c.exchange()
		}
	}
	c.Receivers = slices.DeleteFunc(c.Receivers, func(r Receiver) bool {
		if !r.in(set) {
			c.Seldom = append(c.Seldom, r)
		}
		return !r.in(set)
	})
}

// missing is how many of the receivers a set has not.
func (c *Concept) missing(set *picture.Set) (n int) {
	for i := range c.Receivers {
		if !c.Receivers[i].in(set) {
			n++
		}
	}
	return n
}

// in says that a set has the receiver; backs are of every one.
func (r *Receiver) in(set *picture.Set) bool {
	men := len(set.Play)
	if strings.HasPrefix(r.Name, "B") {
		men = len(set.Back)
	}
	n, err := strconv.Atoi(r.Name[1:])
	return err != nil || n <= men
}

// exchange turns the sides of all receivers.
func (c *Concept) exchange() {
	for _, rs := range [][]Receiver{c.Receivers, c.Seldom} {
		for i := range rs {
			rs[i].Name = turned(rs[i].Name)
			rs[i].farBack = rs[i].farBack != strings.HasPrefix(rs[i].Name, "back")
		}
	}
	c.away = !c.away
}

// turned is a receiver's name with the sides exchanged; a back is on neither.
func turned(name string) string {
	switch name[0] {
	case 'P':
		return "B" + name[1:]
	case 'B':
		return "P" + name[1:]
	}
	return name
}

func who(r *tags.ConceptRow) any {
	return struct {
		side   string
		number int
	}{r.Side, r.Number}
}

// receiver sums up one man's rows, the most frequent first.
func receiver(rows []tags.ConceptRow, before []Receiver) Receiver {
	top := &rows[0]
	r := Receiver{Route: top.Route, N: top.N, Known: top.Known, Median: top.Median, Lower: top.Lower, Upper: top.Upper}
	switch {
	case top.Back:
		r.Name, r.farBack = "back", top.Side != "play"
		if slices.ContainsFunc(before, func(x Receiver) bool { return strings.HasPrefix(x.Name, "back") }) {
			r.Name = "back2"
		}
	case top.Side == "play":
		r.Name = fmt.Sprint("P", top.Number)
	default:
		r.Name = fmt.Sprint("B", top.Number)
	}
	r.Ran = top.N
	for _, x := range rows[1:] {
		r.Ran += x.N
		o := x.Route
		if x.Side != top.Side {
			o += " to the other side"
		}
		r.Others = append(r.Others, fmt.Sprintf("%s %d", o, x.N))
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
