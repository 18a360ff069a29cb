package pages

import (
	"bytes"
	"cmp"
	"html/template"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/reports/drawing"
	"overhang/internal/tags"
)

// A Board is the page of our calls against what they run: the question stands in its
// address, the conflicts that matter come first, each with its fix.
type Board struct {
	Opponent   tags.Opponent
	Base, Home string // where the opponent's and the program's pages are
	Selects    []Select
	Filters    []Chosen
	Board      *plan.Board
	Cases      []BoardCase
	query      url.Values
}

// A BoardCase is a conflict with its drawing and its fix.
type BoardCase struct {
	*plan.Shown
	Drawing template.HTML
	Link    string
	Answers string // where its fixes are asked for
}

// boardFilters are the dimensions a board is asked by.
var boardFilters = []string{"down", "distance_band", "field_zone", "personnel", "set_name"}

// NewBoard reads the question of an address; personnel and sets are what the opponent
// was seen with.
func NewBoard(o tags.Opponent, base, home string, q url.Values, set *tags.Settings, seen map[string][]string) *Board {
	b := &Board{Opponent: o, Base: base, Home: home, query: url.Values{}}
	for _, d := range append(slices.Clone(tags.Dimensions), "last_games") {
		if v := q.Get(d); v != "" && d != "opponent" {
			b.query.Set(d, v)
		}
	}
	values := map[string][]string{"down": {"1", "2", "3", "4"}, "distance_band": tags.BandNames(set.DistanceBands),
		"field_zone": tags.BandNames(set.FieldZones), "personnel": seen["personnel"], "set_name": seen["set_name"]}
	for _, d := range boardFilters {
		b.Selects = append(b.Selects, Select{Dimension: d, Value: q.Get(d), Values: values[d]})
	}
	b.Selects = append(b.Selects, Select{Dimension: "last_games", Value: q.Get("last_games"),
		Values: []string{"1", "2", "3", "5"}})
	b.Filters = chosen(b.query, func(without url.Values) string { return b.Base + "/board?" + without.Encode() })
	return b
}

// Fill puts the answer on the page.
func (b *Board) Fill(a *ask.FirstAnswer) {
	b.Board = &a.Board
	for i := range a.First {
		c := &a.First[i]
		scene := drawing.Finding(c.Result, c.Found, drawing.Options{})
		var out bytes.Buffer
		scene.List(100).SVG(&out) // a buffer takes all, and the writer escapes every text
		k, n := c.At()
		link := b.Cell(plan.Cell{Call: c.Call, Concept: k}) + "&finding=" + strconv.Itoa(n+1)
		_, query, _ := strings.Cut(link, "?")
		b.Cases = append(b.Cases, BoardCase{c, template.HTML(out.String()), link,
			"/v1" + b.Base + "/answers?per_kind=1&" + query})
	}
}

// A Pick is a call to make here, and why.
type Pick struct {
	*plan.Row
	Worst string // the concept that hurts it most
	At    float64
}

// Picks are the calls of the mix, most often first; without a mix the first row.
func (b *Board) Picks() (out []Pick) {
	for i := range b.Board.Rows {
		if r := &b.Board.Rows[i]; r.Share > 0 {
			out = append(out, b.pick(r))
		}
	}
	slices.SortStableFunc(out, func(x, y Pick) int { return cmp.Compare(y.Share, x.Share) })
	if len(out) == 0 && len(b.Board.Rows) > 0 {
		out = []Pick{b.pick(&b.Board.Rows[0])}
	}
	return out
}

func (b *Board) pick(r *plan.Row) Pick {
	p := Pick{Row: r}
	if r.Worst >= 0 && r.Worst < len(r.Cells) {
		p.Worst, p.At = b.Board.Concepts[r.Worst].Concept+" from "+b.Board.Concepts[r.Worst].SetName, r.Cells[r.Worst].Points
	}
	return p
}

// Snaps is where the plays of the board's question are listed, each with its film.
func (b *Board) Snaps() string { return b.Base + "/snaps?" + b.query.Encode() }

// Hidden are the filters that the form does not show.
func (b *Board) Hidden() (out [][2]string) {
	for _, d := range slices.Sorted(keysOf(b.query)) {
		if !slices.Contains(boardFilters, d) && d != "last_games" {
			out = append(out, [2]string{d, b.query.Get(d)})
		}
	}
	return out
}

// Cell is where a cell of the board is shown, under the same filters.
func (b *Board) Cell(c plan.Cell) string {
	k := &b.Board.Concepts[c.Concept]
	q := url.Values{}
	for d, v := range b.query {
		q[d] = v
	}
	q.Set("call", c.Call)
	q.Set("concept", k.Concept)
	q.Set("set_name", k.SetName)
	q.Set("family", k.Family)
	if k.Family == "dropback" {
		q.Set("family", "dropback,(unknown)") // an untagged family is read as one
	}
	return b.Base + "/cell?" + q.Encode()
}

// Apart reports whether row i is the first than which another is better beyond doubt.
func (b *Board) Apart(i int) bool {
	return i > 0 && b.Board.Rows[i].Group == 2 && b.Board.Rows[i-1].Group == 1
}

// Asked is the board as a request or a drawing of the API, under the same filters.
func (b *Board) Asked(format string) string {
	q := url.Values{}
	for d, v := range b.query {
		q[d] = v
	}
	if format != "" {
		q.Set("format", format)
	}
	return "/v1" + b.Base + "/stress?" + q.Encode()
}
