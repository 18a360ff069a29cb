package plan

import (
	"cmp"
	"context"
	"slices"
	"time"

	"github.com/google/uuid"

	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Review holds a plan against what happened in our games: what they ran, what we
// called, what the stress was worth as a forecast, and which threats they found.
type Review struct {
	Plays int `json:"plays"` // of our games, reviewed
	// tagged before the plan was made, so that it predicted from them: left out, unless asked for
	Earlier     int        `json:"earlier"`
	WithEarlier bool       `json:"with_earlier"`
	Elsewhere   int        `json:"elsewhere"`  // of Plays, in no situation of the plan
	Situations  []Reviewed `json:"situations"` // those of the plan in which there was a play, in its order
	Calibration Calibrated `json:"calibration"`
	Threats     Threats    `json:"threats"`
}

// Reviewed is one situation of a plan. A play may be of several.
type Reviewed struct {
	Name   string `json:"situation"`
	Plays  int    `json:"plays"`
	Whole  bool   `json:"from_all_plays"` // predicted from all their plays: too few were in the situation
	Behind int    `json:"plays_behind"`   // the prediction
	// of those behind, and of those they ran, with routes or a set that nobody saw
	AssumedBehind int          `json:"assumed_behind,omitempty"`
	AssumedRan    int          `json:"assumed_ran,omitempty"`
	Ran           int          `json:"ran"`      // of Plays, tagged with what a concept picture needs
	Thin          bool         `json:"thin"`     // Ran is few
	Concepts      []ConceptRun `json:"concepts"` // most often run first, then most often predicted
	Test          Compared     `json:"test"`
	Known         int          `json:"calls_known"` // of Plays, with a coverage
	Chosen        bool         `json:"chosen"`      // the coordinator chose; else the recommendation stood
	Kept          Fraction     `json:"kept"`        // of Known, a call that was chosen, or else one of the recommended mix
	Calls         []CallRun    `json:"calls"`       // most often made first, then most often meant
}

// AssumedText says how many plays of both sides have routes that nobody saw, "" for none.
func (x *Reviewed) AssumedText() string {
	return joined(prefixed("predicted: ", AssumedText(x.AssumedBehind, x.Behind)),
		prefixed("run: ", AssumedText(x.AssumedRan, x.Ran)))
}

func prefixed(by, said string) string {
	if said == "" {
		return ""
	}
	return by + said
}

func joined(a, b string) string {
	if a != "" && b != "" {
		return a + "; " + b
	}
	return a + b
}

// A ConceptRun is a concept, from whatever set: how often predicted, how often run.
type ConceptRun struct {
	Concept    string   `json:"concept"`
	Predicted  Fraction `json:"predicted"`
	Ran        Fraction `json:"ran"`
	Difference float64  `json:"difference"` // run less predicted, with its 95% interval
	Low        float64  `json:"difference_low"`
	High       float64  `json:"difference_high"`
}

// Compared says whether what they ran differs from what was predicted by more than
// chance: the plays behind the prediction and those they ran as the two rows of a table.
type Compared struct {
	Method   string  `json:"method"` // as of Tells; none: too few to test
	Effect   float64 `json:"cramers_v"`
	P        float64 `json:"p"`
	Adjusted float64 `json:"p_adjusted"` // for all situations asked about
	Stands   bool    `json:"stands"`
}

// A CallRun is a call: how often it was meant, and how often it was made.
type CallRun struct {
	Call        string   `json:"call"`                // of the plan; else the coverage, as tagged
	Own         *float64 `json:"own_share,omitempty"` // chosen by the coordinator; absent: not chosen
	Recommended *float64 `json:"mix_share,omitempty"` // absent: no call of the plan
	Made        Fraction `json:"made"`                // of the plays whose call is known
	Outside     bool     `json:"outside"`             // what was meant lies outside the interval of what was made
}

// falsely is the share of false ones accepted among differences that stand: usual.
const falsely = 0.05

// OurPlays are plays of our games, and what it takes to play them again.
type OurPlays struct {
	Plays    []tags.Play
	Within   []map[uuid.UUID]bool // for each situation of a plan, the plays that are of it
	Book     Callbook
	Level    field.Level
	Settings tags.Settings // what a success is
}

// NewReview holds a plan against plays of our games. With earlier, plays tagged before the
// plan was made count too. It fails only when ctx ends.
func NewReview(ctx context.Context, c *Content, of OurPlays, earlier bool) (Review, error) {
	r := Review{Situations: []Reviewed{}, WithEarlier: earlier}
	var later []tags.Play
	for _, p := range of.Plays {
		before := madeBefore(p.ID, c.MadeAt)
		if before {
			r.Earlier++
		}
		if !before || earlier {
			later = append(later, asStored(p))
		}
	}
	r.Plays, of.Plays = len(later), later
	var questions []tendency.Question
	for i := range c.Situations {
		var in []tags.Play
		for _, p := range later {
			if of.Within[i][p.ID] {
				in = append(in, p)
			}
		}
		if len(in) == 0 {
			continue
		}
		x := reviewed(&c.Situations[i], in, of.Book)
		questions = append(questions, x.question())
		r.Situations = append(r.Situations, x)
	}
	for _, t := range tendency.Tells(questions, falsely) {
		i := slices.IndexFunc(r.Situations, func(x Reviewed) bool { return x.Name == t.Question })
		r.Situations[i].Test = Compared{t.Method, t.Effect, t.P, t.Adjusted, t.Stands}
	}
	r.calibrate(c, &of)
	var err error
	r.Threats, err = findThreats(ctx, &of)
	return r, err
}

// asStored is a play with what is assumed beside assumed routes, as the store counts plays for the
// forecast: a dropback, to the side that such routes are drawn to.
func asStored(p tags.Play) tags.Play {
	if !p.RoutesAssumed || len(p.Routes) == 0 {
		return p
	}
	side, family := tags.AssumedSide(&p), picture.Dropback.String()
	if p.PlaySide == nil {
		p.PlaySide = &side
	}
	if p.Family == nil {
		p.Family = &family
	}
	return p
}

// madeBefore says whether a row was made before a moment, by its identity (RFC 9562,
// UUIDv7); of another kind of identity nobody knows, and it was not.
func madeBefore(id uuid.UUID, at time.Time) bool {
	if id.Version() != 7 {
		return false
	}
	return time.Unix(id.Time().UnixTime()).Before(at)
}

// reviewed sets one situation against its plays.
func reviewed(s *Situation, plays []tags.Play, book Callbook) Reviewed {
	x := Reviewed{Name: s.Name, Plays: len(plays), Whole: s.Whole, Behind: s.Behind, AssumedBehind: s.Assumed,
		Chosen: len(s.Choice.Calls) > 0, Concepts: []ConceptRun{}, Calls: []CallRun{}}
	ran := map[string]int{}
	for i := range plays {
		if c, _, why := asRun(&plays[i]); why == "" {
			ran[c.Concept]++
			x.Ran++
			if plays[i].RoutesAssumed {
				x.AssumedRan++
			}
		}
	}
	x.Thin = x.Ran < tendency.Thin
	predicted := map[string]int{}
	for _, o := range s.Concepts {
		predicted[o.Concept] += o.Plays
	}
	for _, name := range both(ran, predicted) {
		x.Concepts = append(x.Concepts, conceptRun(name, Of(predicted[name], s.Behind), Of(ran[name], x.Ran)))
	}
	x.call(s, plays, book)
	return x
}

// Telling says that a concept is worth a line: they ran it, or a tenth of the plays was to be it.
func (k *ConceptRun) Telling() bool { return k.Ran.X > 0 || 10*k.Predicted.X >= k.Predicted.N }

// conceptRun sets what was predicted beside what they ran, with the interval of the difference.
func conceptRun(name string, predicted, ran Fraction) ConceptRun {
	k := ConceptRun{Concept: name, Predicted: predicted, Ran: ran, Difference: ran.Share - predicted.Share}
	k.Low, k.High = tendency.Difference(ran.X, ran.N, predicted.X, predicted.N)
	return k
}

// both lists the names of two counts, those of the larger first count first, then of
// the larger second one.
func both(first, second map[string]int) []string {
	var out []string
	for n := range first {
		out = append(out, n)
	}
	for n := range second {
		if _, there := first[n]; !there {
			out = append(out, n)
		}
	}
	slices.SortFunc(out, func(a, b string) int {
		return cmp.Or(first[b]-first[a], second[b]-second[a], cmp.Compare(a, b))
	})
	return out
}

func (x *Reviewed) question() tendency.Question {
	q := tendency.Question{Name: x.Name, Rows: []string{"predicted", "ran"}, Counts: [][]int{{}, {}}}
	for _, k := range x.Concepts {
		q.Cols = append(q.Cols, k.Concept)
		q.Counts[0], q.Counts[1] = append(q.Counts[0], k.Predicted.X), append(q.Counts[1], k.Ran.X)
	}
	return q
}

// call counts the calls that were made, and sets them beside those that were meant:
// the coordinator's own, or the recommended mix where none was chosen.
func (x *Reviewed) call(s *Situation, plays []tags.Play, book Callbook) {
	made := map[string]int{}
	for i := range plays {
		if w := plays[i].Coverage; w != nil {
			made[nameOfCall(*w, book)]++
			x.Known++
		}
	}
	own, mix := map[string]float64{}, map[string]float64{}
	for _, k := range s.Choice.Calls {
		own[k.Call] = k.Share
		made[k.Call] += 0
	}
	for _, p := range s.Calls {
		if mix[p.Call] = p.Share; p.Share > 0 {
			made[p.Call] += 0
		}
	}
	kept := 0
	for name, n := range made {
		k := CallRun{Call: name, Made: Of(n, x.Known), Own: at(own, name), Recommended: at(mix, name)}
		share := k.meant(x.Chosen)
		if share != nil && (*share > 0 || x.Chosen) {
			kept += n
		}
		k.Outside = x.Known > 0 && (value(share) < k.Made.Low || value(share) > k.Made.High)
		x.Calls = append(x.Calls, k)
	}
	slices.SortFunc(x.Calls, func(a, b CallRun) int {
		return cmp.Or(b.Made.X-a.Made.X, cmp.Compare(value(b.meant(x.Chosen)), value(a.meant(x.Chosen))),
			cmp.Compare(a.Call, b.Call))
	})
	x.Kept = Of(kept, x.Known)
}

// meant is how often the call was meant, nil for not at all.
func (k *CallRun) meant(chosen bool) *float64 {
	if chosen {
		return k.Own
	}
	return k.Recommended
}

func at(m map[string]float64, name string) *float64 {
	if v, ok := m[name]; ok {
		return &v
	}
	return nil
}

func value(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// nameOfCall is the call that a coverage means, else the coverage itself.
func nameOfCall(coverage string, book Callbook) string {
	if c := book.Call(coverage); c != nil {
		return c.Name
	}
	return coverage
}
