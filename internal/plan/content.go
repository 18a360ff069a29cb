package plan

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Content is what a plan says: for each situation what was counted, predicted and
// recommended when the snapshot was taken, and what the coordinator chose. It is
// kept as JSON (tags.Plan); Read gives it back. Numbers are in full precision; a
// stress is the chance that a play succeeds against a call, 0 to 1, as the engine
// that took the snapshot saw it.
type Content struct {
	MadeAt     time.Time   `json:"made_at"` // when the snapshot was taken: plays tagged later are not in it
	Plays      int         `json:"plays"`   // counted plays of the opponent by then
	Situations []Situation `json:"situations"`
}

// A Situation is one that the program's bands defined when the snapshot was taken,
// and in which the opponent had been. A play may be of several: third and long,
// near the goal line.
type Situation struct {
	Name string `json:"situation"` // as it is printed, unlike the others of the plan
	// which plays are of it: dimensions (tags.Dimensions) with a value each
	Where  map[string]string `json:"where"`
	Plays  int               `json:"plays"`        // counted plays of the opponent in it, runs too
	Behind int               `json:"plays_behind"` // plays behind the numbers below: those in Concepts
	// of those behind, with routes or a set that nobody saw: the library's for the concept
	Assumed int `json:"assumed,omitempty"`
	// Behind are of all the opponent's plays: too few were in the situation
	Whole    bool        `json:"from_all_plays"`
	NeedYd   float64     `json:"need_yd"`  // what a success needs
	Concepts []Observed  `json:"concepts"` // most frequent first; none: nothing can be predicted
	Calls    []Predicted `json:"calls"`    // the calls active then, least stress first
	// what the recommended mix gives up to the concept that is worst for it; nil without a mix
	MixValue *float64 `json:"mix_value"`
	// MixPoints and Predictable as on the board; absent in plans kept before there were points.
	MixPoints   *float64 `json:"mix_gives_up_points,omitempty"`
	Predictable *float64 `json:"predictable_points,omitempty"`
	// LimitsCost is what the coordinator's limits make the mix give up more; nil without any.
	LimitsCost *float64 `json:"limits_cost_points,omitempty"`
	// MixMissing says why there is no mix, empty where there is one.
	MixMissing string `json:"mix_missing,omitempty"`
	TooFew     string `json:"too_few,omitempty"` // as on the board
	Choice     Choice `json:"choice"`
}

// AssumedText is as a board has it.
func (s *Situation) AssumedText() string { return AssumedText(s.Assumed, s.Behind) }

// An Observed is a concept from a set as the opponent had run it.
type Observed struct {
	SetName string  `json:"set_name"`
	Concept string  `json:"concept"`
	Family  string  `json:"family"`
	Picture string  `json:"picture"` // in the short notation, as it was played against the calls
	Plays   int     `json:"plays"`
	Assumed int     `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	Drawn   string  `json:"drawn_as,omitempty"`      // as of a Concept
	Share   float64 `json:"share"`                   // of the plays behind, with its 95% Wilson interval
	Low     float64 `json:"share_low"`
	High    float64 `json:"share_high"`
}

// A Predicted is one of our calls.
type Predicted struct {
	Call   string  `json:"call"`
	Stress float64 `json:"stress"` // mean over the concepts by how often they run them, with the interval of Row
	Low    float64 `json:"stress_low"`
	High   float64 `json:"stress_high"`
	// GivesUp is in points what Stress is a part of; absent in plans that were kept before
	// there were points.
	GivesUp *GivesUp `json:"gives_up,omitempty"`
	Group   int      `json:"group,omitempty"` // as on the board; 0: kept before there were groups
	// in the recommended mix; the shares of a situation come to 1, or to 0 without a mix
	Share float64 `json:"mix_share"`
	For   string  `json:"mix_for,omitempty"` // what it is in the mix for
	// Against is the predicted stress against each of the situation's concepts, in
	// their order.
	Against []float64 `json:"stress_by_concept"`
	Points  []float64 `json:"gives_up_by_concept,omitempty"` // in the same order
	// Explosive is the predicted chance of an explosive play against each, in the same order;
	// absent in plans that were kept before it was said.
	Explosive []float64 `json:"explosive_by_concept,omitempty"`
	// what hurts the call most, nil when nothing puts a man of it between two threats
	Watch *Watch `json:"watch,omitempty"`
}

// Mixed says that the recommended mix calls it once in 200 times at least.
func (p *Predicted) Mixed() bool { return p.Share >= mixed }

// Mixed is Predicted.Mixed.
func (p *Pick) Mixed() bool { return p.Share >= mixed }

// mixed is the share in a mix below which a call is not worth a word: once in 200
// times is not once in a game. An assumption, no source.
const mixed = 0.005

// Take makes the snapshot of a situation from its board, with nothing chosen.
func Take(name string, where map[string]string, b *Board, whole bool) Situation {
	s := Situation{Name: name, Where: where, Plays: b.Plays, Behind: b.Covered, Assumed: b.Assumed,
		Whole: whole, NeedYd: b.NeedYd, MixMissing: b.MixMissing, TooFew: b.TooFew,
		Concepts: []Observed{}, Calls: []Predicted{}, Choice: Choice{Calls: []Chosen{}}}
	for i := range b.Concepts {
		c := &b.Concepts[i]
		r := tendency.RateOf(c.Plays, b.Covered)
		s.Concepts = append(s.Concepts, Observed{c.SetName, c.Concept, c.Family, c.Routes, c.Plays, c.Assumed, c.Drawn,
			r.Share, r.Low, r.High})
	}
	s.MixValue, s.MixPoints, s.Predictable = b.MixValue, b.MixPoints, b.Predictable
	for i := range b.Rows {
		s.Calls = append(s.Calls, b.predicted(i))
	}
	return s
}

// predicted is one row of the board as a plan keeps it.
func (b *Board) predicted(i int) Predicted {
	r := &b.Rows[i]
	p := Predicted{Call: r.Call, Stress: r.Stress, Low: r.Low, High: r.High, Group: r.Group,
		Share: r.Share, For: r.For, Against: []float64{}, Watch: b.watch(i)}
	if len(r.Cells) > 0 {
		p.GivesUp = &r.GivesUp
	}
	for _, cell := range r.Cells {
		p.Against, p.Points = append(p.Against, cell.Stress), append(p.Points, cell.Points)
		p.Explosive = append(p.Explosive, cell.Explosive)
	}
	return p
}

// Board is the board the snapshot was taken of, without findings.
func (s *Situation) Board() Board {
	b := Board{Plays: s.Plays, Covered: s.Behind, Assumed: s.Assumed, NeedYd: s.NeedYd,
		Concepts: []Concept{}, Rows: []Row{},
		MixMissing: s.MixMissing, TooFew: s.TooFew, LeftOut: map[string]int{}}
	for _, o := range s.Concepts {
		b.Concepts = append(b.Concepts, Concept{SetName: o.SetName, Concept: o.Concept, Family: o.Family, Plays: o.Plays,
			Assumed: o.Assumed, Drawn: o.Drawn, Routes: o.Picture})
	}
	for _, p := range s.Calls {
		r := Row{Call: p.Call, Group: p.Group, Share: p.Share, Cells: []Cell{}}
		for k, x := range p.Against {
			c := Cell{Call: p.Call, Concept: k, Stress: x}
			if k < len(p.Points) {
				c.Points = p.Points[k]
			}
			r.Cells = append(r.Cells, c)
		}
		b.weigh(&r)
		b.Rows = append(b.Rows, r)
	}
	return b
}

// Call returns one of the situation's calls, nil when it has none of that name.
func (s *Situation) Call(name string) *Predicted {
	if i := slices.IndexFunc(s.Calls, func(p Predicted) bool { return p.Call == name }); i >= 0 {
		return &s.Calls[i]
	}
	return nil
}

// Picks are the calls of the choice, the most meant first; without a choice those of
// the recommended mix, the most mixed first, and up to n in all that give up least. Of
// the first it says when another would be better and what to watch. None where nothing
// is chosen and nothing known.
func (s *Situation) Picks(n int) (picks []Pick, alerts []Alert, watch *Watch) {
	rows := s.recommended(n)
	chosen := slices.Clone(s.Choice.Calls)
	if len(chosen) > 0 {
		slices.SortStableFunc(chosen, func(a, b Chosen) int { return cmp.Compare(b.Share, a.Share) })
		rows = s.rowsOf(chosen)
	}
	if len(rows) == 0 {
		return []Pick{}, []Alert{}, nil
	}
	b := s.Board()
	picks = b.picks(rows, "")
	for i := range chosen {
		picks[i].Own = &chosen[i].Share
	}
	alerts = b.alerts(rows[0])
	if s.Calls[rows[0]].GivesUp == nil {
		pointless(picks, alerts)
	}
	return picks, alerts, s.Calls[rows[0]].Watch
}

// rowsOf are the rows of the chosen calls.
func (s *Situation) rowsOf(chosen []Chosen) (rows []int) {
	for _, x := range chosen {
		rows = append(rows, slices.IndexFunc(s.Calls, func(p Predicted) bool { return p.Call == x.Call }))
	}
	return rows
}

// pointless leaves the points out of what was kept before there were any.
func pointless(picks []Pick, alerts []Alert) {
	for i := range picks {
		picks[i].Points = nil
	}
	for i := range alerts {
		alerts[i].Points, alerts[i].FirstPoints = nil, nil
	}
}

// recommended are the places of the mix's calls, and of the least stressed up to n.
func (s *Situation) recommended(n int) (rows []int) {
	if len(s.Concepts) == 0 {
		return nil
	}
	for i := range s.Calls {
		if s.Calls[i].Mixed() {
			rows = append(rows, i)
		}
	}
	slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(s.Calls[b].Share, s.Calls[a].Share) })
	for i := range s.Calls {
		if len(rows) < n && !s.Calls[i].Mixed() {
			rows = append(rows, i)
		}
	}
	return rows
}

// Refreshed is a new snapshot with the choices of c. Conflict, naming what is in
// the way, where a choice has no place in it: its situation is there no more, or a
// call of it is not active.
func (c *Content) Refreshed(fresh Content) (Content, error) {
	err := fresh.Choose(c.Choices())
	if e := tags.As(err); e != nil {
		e.Kind, e.Msg = tags.Conflict, "a choice has no place in what would be recommended now: change it first"
		for i, x := range c.Choices() { // the caller gave no list: name the situation
			for k := range e.Fields {
				f := &e.Fields[k]
				if at := fmt.Sprintf("choices[%d].", i); len(f.Field) > len(at) && f.Field[:len(at)] == at {
					f.Field = x.Situation + ": " + f.Field[len(at):]
				}
			}
		}
	}
	return fresh, err
}

// Read reads the content of a stored plan; an error is a *tags.Error of kind
// Invalid that names the field. What Take and Choose made reads.
func Read(raw json.RawMessage) (Content, error) {
	var c Content
	if err := json.Unmarshal(raw, &c); err != nil {
		return c, tags.Fieldf(tags.Invalid, "content", "%v", err)
	}
	c.Situations = some(c.Situations)
	names := map[string]bool{}
	for i := range c.Situations {
		s, at := &c.Situations[i], fmt.Sprintf("content.situations[%d].", i)
		if s.Name == "" || names[s.Name] {
			return c, tags.Fieldf(tags.Invalid, at+"situation", "%q is empty or there twice", s.Name)
		}
		names[s.Name] = true
		if fs := s.wrong(at); len(fs) > 0 {
			return c, &tags.Error{Kind: tags.Invalid, Msg: "the plan cannot be read", Fields: fs}
		}
		s.fill()
	}
	return c, nil
}

// fill makes empty lists of those that are missing, as Take does, and unknown of the 0 that
// plans once kept of a mix that is not there.
func (s *Situation) fill() {
	s.Concepts, s.Calls, s.Choice.Calls = some(s.Concepts), some(s.Calls), some(s.Choice.Calls)
	for i := range s.Calls {
		s.Calls[i].Against = some(s.Calls[i].Against)
	}
	if s.Where == nil {
		s.Where = map[string]string{}
	}
	if s.MixMissing != "" || len(s.Concepts) == 0 || len(s.Calls) == 0 {
		s.MixValue, s.MixPoints, s.Predictable = nil, nil, nil
	}
}

func some[T any](xs []T) []T {
	if xs == nil {
		return []T{}
	}
	return xs
}

// wrong lists what is wrong with a situation.
func (s *Situation) wrong(at string) (fs []tags.FieldError) {
	add := func(field, format string, args ...any) {
		fs = append(fs, tags.FieldError{Field: at + field, Msg: fmt.Sprintf(format, args...)})
	}
	behind := 0
	for i := range s.Concepts {
		behind += s.Concepts[i].Plays
		if s.Concepts[i].Plays < 1 {
			add(fmt.Sprintf("concepts[%d].plays", i), "%d is less than 1", s.Concepts[i].Plays)
		}
	}
	if behind != s.Behind || s.Plays < 0 {
		add("plays_behind", "%d is not what the concepts come to, %d", s.Behind, behind)
	}
	seen := map[string]bool{}
	for i := range s.Calls {
		p := &s.Calls[i]
		if p.Call == "" || seen[p.Call] {
			add(fmt.Sprintf("calls[%d].call", i), "%q is empty or there twice", p.Call)
		}
		seen[p.Call] = true
		if len(p.Against) != len(s.Concepts) {
			add(fmt.Sprintf("calls[%d].stress_by_concept", i), "%d of them for %d concepts", len(p.Against), len(s.Concepts))
		}
		if slices.ContainsFunc(append([]float64{p.Stress, p.Share}, p.Against...),
			func(v float64) bool { return !(v >= -slack && v <= 1+slack) }) {
			add(fmt.Sprintf("calls[%d]", i), "holds what is not from 0 to 1")
		}
	}
	return append(fs, s.Choice.wrong(s, at+"choice.")...)
}

// Rename brings the calls of a plan to the names of now: former ones, each with today's.
func (c *Content) Rename(former map[string]string) {
	now := func(name *string) {
		if is, ok := former[*name]; ok {
			*name = is
		}
	}
	for i := range c.Situations {
		s := &c.Situations[i]
		for k := range s.Calls {
			now(&s.Calls[k].Call)
		}
		for k := range s.Choice.Calls {
			now(&s.Choice.Calls[k].Call)
		}
	}
}

// Reword brings the sets and concepts of a plan to the words of now: a word that was
// merged into another since is that one on the plays.
func (c *Content) Reword(v *tags.Vocabulary) {
	now := func(field string, w *string) {
		if known, ok := v.Lookup(field, *w); ok {
			*w = known
		}
	}
	for i := range c.Situations {
		for k := range c.Situations[i].Concepts {
			o := &c.Situations[i].Concepts[k]
			now("set_name", &o.SetName)
			now("concept", &o.Concept)
		}
	}
}
