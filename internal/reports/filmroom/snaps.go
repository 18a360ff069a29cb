package filmroom

import (
	"cmp"
	"net/url"
	"slices"
	"strconv"

	"overhang/internal/tags"
)

// Snaps is the list of a game's snaps: those that have tags and those that so
// far are only clips.
type Snaps struct {
	Head
	Rows    []Row
	Total   int // snaps of the game, before the filter
	Whole   int // of those, with nothing missing
	Filter  Filter
	Broken  int     // snaps that cannot follow the one before
	Missing []Count // how many snaps lack each tag, most first
	// Unsaid are active calls that the vocabulary has no coverage for, so that a game of
	// ours cannot be tagged with them; MayTeach: the visitor may put them there.
	Unsaid   []string
	MayTeach bool
	// MaySettle: the visitor may see what was tagged blind, and say who is right.
	MaySettle bool
	Plans     []tags.PlanHead // that our own game can be held against
}

// A Row is one snap.
type Row struct {
	Number  int
	Clips   int
	Play    *tags.Play // nil: not tagged at all
	Missing []string   // fields
	Breaks  []string   // why it cannot follow the snap before it
}

// A Filter narrows the list; the zero value shows everything.
type Filter struct {
	// "untagged": snaps with something missing; "bare": without any tag; "broken": that cannot follow
	// the one before
	Only    string
	Missing string // a field that is missing
	Down    string
}

// A Count is how many snaps lack a field.
type Count struct {
	Field string
	N     int
}

// Filters are the choices of the first filter, with what each is called.
func (s *Snaps) Filters() [][2]string {
	return [][2]string{{"", "every snap"}, {"untagged", "something missing"}, {"bare", "no tag at all"},
		{"broken", "not following the snap before"}}
}

// Review is where a plan is held against the game, or against a half of it.
func (s *Snaps) Review(p tags.PlanHead, half string) string {
	q := url.Values{"format": {"html"}}
	if half != "" {
		q.Set("half", half)
	}
	if p.GameID == nil {
		q.Set("game", s.Game.Label)
	}
	return "/v1/programs/" + url.PathEscape(s.Program.Code) + "/plans/" + p.ID.String() + "/review?" + q.Encode()
}

// perBlock is how many snaps stand in one block: a browser lays out only the blocks it shows.
const perBlock = 50

// Blocks are the rows in stretches, so that a season's clips scroll as a game's do.
func (s *Snaps) Blocks() [][]Row { return slices.Collect(slices.Chunk(s.Rows, perBlock)) }

// NewSnaps lists plays and the snaps of clips (number to count) in the order of
// the game. Missing counts only snaps that have tags; in our own game one without
// a coverage lacks our call.
func NewSnaps(h Head, ps []tags.Play, clips map[int]int, f Filter) *Snaps {
	s := &Snaps{Head: h, Filter: f}
	rows := map[int]*Row{}
	for n, c := range clips {
		rows[n] = &Row{Number: n, Clips: c}
	}
	lacking := map[string]int{}
	for i := range ps {
		p := &ps[i]
		r := rows[p.Number]
		if r == nil {
			r = &Row{Number: p.Number}
			rows[p.Number] = r
		}
		r.Play, r.Missing = p, p.Lacks()
		if h.Game.Ours && p.Status == "counted" && p.Coverage == nil {
			r.Missing = append(r.Missing, "coverage")
		}
		for _, m := range r.Missing {
			lacking[m]++
		}
		if len(r.Missing) == 0 {
			s.Whole++
		}
	}
	for _, b := range tags.CheckChain(ps).Breaks {
		rows[b.Second.Number].Breaks = append(rows[b.Second.Number].Breaks, b.Message)
		s.Broken++
	}
	s.Total = len(rows)
	for _, r := range rows {
		if f.shows(r) {
			s.Rows = append(s.Rows, *r)
		}
	}
	slices.SortFunc(s.Rows, func(a, b Row) int { return a.Number - b.Number })
	for m, n := range lacking {
		s.Missing = append(s.Missing, Count{m, n})
	}
	slices.SortFunc(s.Missing, func(a, b Count) int { return cmp.Or(b.N-a.N, cmp.Compare(a.Field, b.Field)) })
	return s
}

func (f Filter) shows(r *Row) bool {
	switch {
	case f.Only == "untagged" && r.Play != nil && len(r.Missing) == 0,
		f.Only == "bare" && r.Play != nil,
		f.Only == "broken" && len(r.Breaks) == 0,
		f.Missing != "" && !slices.Contains(r.Missing, f.Missing),
		f.Down != "" && (r.Play == nil || r.Play.Down == nil || strconv.Itoa(*r.Play.Down) != f.Down):
		return false
	}
	return true
}
