package plan

import (
	"context"
	"fmt"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tendency"
)

// A Finding is an engine's finding in the words of a report.
type Finding struct {
	Defender   string  `json:"defender"`
	Kind       string  `json:"kind"`
	Open       string  `json:"open"`
	Other      string  `json:"other,omitempty"`
	ShortYd    float64 `json:"short_yd"`  // how far open: from the catch to the nearest man
	BeyondYd   float64 `json:"beyond_yd"` // how much more than one good man would leave
	FromS      float64 `json:"from_s"`
	ToS        float64 `json:"to_s"`
	Rule       string  `json:"rule"`
	Sentence   string  `json:"sentence"`
	Instead    string  `json:"instead,omitempty"` // of run and pass: what becomes of the run when he plays the pass
	TwoWay     bool    `json:"two_way"`
	ReleaseS   float64 `json:"release_s"`
	OnPlaySide bool    `json:"on_play_side"`
	Weak       bool    `json:"weak,omitempty"` // open at a single moment, the last of the play
	Twin       bool    `json:"twin,omitempty"` // the same is true on the other side, and left out
}

// Told is the finding in words, with what becomes of the run when it is one of run and pass.
func (f *Finding) Told() string {
	if f.Instead == "" {
		return f.Sentence
	}
	return f.Sentence + " " + f.Instead
}

// A Cell is one call against one concept.
type Cell struct {
	Call    string  `json:"call"`
	Concept int     `json:"concept"` // index into the board's concepts
	Stress  float64 `json:"stress"`  // chance that the play succeeds, 0 to 1: the success of GivesUp
	GivesUp
	Run *RunMeet `json:"run,omitempty"` // of a run: what it meets
	// Even is what it would give up if every man of ours were even with his; absent where
	// that is no other number.
	Even     *float64  `json:"even_points,omitempty"`
	Findings []Finding `json:"findings"`
	Warnings []string  `json:"warnings"`
	places   places
}

// A Row is one call over all concepts.
type Row struct {
	Call   string  `json:"call"`
	Stress float64 `json:"stress"` // weighted by how often they run each concept
	Low    float64 `json:"stress_low"`
	High   float64 `json:"stress_high"`
	GivesUp
	PointsLow  float64 `json:"gives_up_low"`
	PointsHigh float64 `json:"gives_up_high"`
	// Group is 1 for calls than which none of the board is better beyond doubt, else 2.
	Group int     `json:"group"`
	Worst int     `json:"worst_concept"`     // by points, of those that are a twentieth of their plays at least, if any is
	Share float64 `json:"mix_share"`         // in the mix that is best against the worst answer
	For   string  `json:"mix_for,omitempty"` // what it is in the mix for
	Cells []Cell  `json:"cells"`
}

// A Board is our calls against an opponent's frequent concepts in a situation.
type Board struct {
	Plays   int `json:"plays"`   // counted plays in the situation
	Covered int `json:"covered"` // of those, in the concepts below
	// of these, with routes or a set that nobody saw: the library's for the concept
	Assumed  int       `json:"assumed,omitempty"`
	NeedYd   float64   `json:"need_yd"` // mean over those; each play is judged by its own
	Concepts []Concept `json:"concepts"`
	Rows     []Row     `json:"calls"` // group 1 before 2, in each least given up first
	// MixValue is the chance of success against the mix of what it does worst against; nil
	// without a mix, as are the next two.
	MixValue *float64 `json:"mix_value"`
	// MixPoints is what the mix gives up a snap when they turn to what hurts it as far as
	// the counts leave open; Predictable is what the first call alone gives up more then.
	MixPoints   *float64       `json:"mix_gives_up_points"`
	Predictable *float64       `json:"predictable_points"`
	LeftOut     map[string]int `json:"left_out"` // plays not in the board, by reason
	// MixMissing says why there is no mix, empty when there is one.
	MixMissing string `json:"mix_missing,omitempty"`
	// TooFew says why nothing is recommended, empty where there is enough to go by.
	TooFew string `json:"too_few,omitempty"`
	// Run is the concepts ready to be played again; nil for a board that was not built.
	Run *Repertoire `json:"-"`
}

// Named is a call with the name a program gives it.
type Named struct {
	Name     string
	Compiled *call.Compiled
	// Even is the same with every man of ours even with his; nil where they are.
	Even *call.Compiled
	// Doubts says why a stored call would not be saved as it is, empty when it would.
	Doubts []string
}

// At most this many concepts stand on a board; rarer ones are left out, counted.
const most = 20

// A concept in fewer than one of so many plays does not make a call's worst picture.
const rare = 20

// AssumedText says how many of the board's plays have routes that nobody saw:
// "routes or set of 14 of 42 assumed"; "" where all were seen.
func (b *Board) AssumedText() string { return AssumedText(b.Assumed, b.Covered) }

// AssumedText says how many of some plays have routes that nobody saw, "" for none.
func AssumedText(n, of int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("routes or set of %d of %d assumed", n, of)
}

// Build plays every call against every concept. total is the number of counted
// plays in the situation, tagged with routes or not. It fails only when ctx ends.
func Build(ctx context.Context, calls []Named, concepts []Concept, total int, level field.Level,
	terms Terms) (Board, error) {
	b := Board{Plays: total, Rows: []Row{}, LeftOut: map[string]int{}, Run: NewRepertoire(level, terms)}
	withRoutes := 0
	for _, c := range concepts {
		withRoutes += c.Plays
		if len(b.Run.Concepts) == most {
			b.LeftOut["concepts run less often"] += c.Plays
		} else if err := b.Run.Add(c, c.spec(level)); err != nil {
			b.LeftOut["can't be drawn as tagged: "+err.Error()] += c.Plays
		} else {
			b.Covered += c.Plays
			b.Assumed += c.Assumed
		}
	}
	b.Concepts, b.NeedYd = b.Run.Concepts, terms.need(b.Run.Concepts)
	if n := total - withRoutes; n > 0 {
		b.LeftOut["no concept or set tagged, or a pass without play side or routes"] = n
	}
	err := b.play(ctx, calls)
	return b, err
}

// play sets every call against every concept of the board, and compares the calls.
func (b *Board) play(ctx context.Context, calls []Named) error {
	men := playables(calls)
	cells, err := b.Run.cells(ctx, men)
	if err != nil {
		return err
	}
	for i, c := range calls {
		b.Rows = append(b.Rows, Row{Call: c.Name, Cells: cells[i]})
	}
	for k := range b.Rows {
		b.weigh(&b.Rows[k])
	}
	if err := b.group(ctx, men); err != nil {
		return err
	}
	b.TooFew = b.tooFew()
	b.mix(nil)
	return nil
}

// Told returns which findings of a result a board tells, largest first: those on
// the receivers that the picture names, not on the go every picture carries
// along on the other side.
func Told(r *stress.Result) []int {
	var out []int
	for k := range r.Findings {
		if r.Named(r.Findings[k].Open) {
			out = append(out, k)
		}
	}
	return out
}

// Tell puts a finding into words and rounds nothing.
func Tell(r *stress.Result, f *stress.Finding) Finding {
	return Finding{Defender: r.Defender(f.Man), Kind: string(f.Kind), Open: r.Threat(f.Open), Other: r.Threat(f.Other),
		ShortYd: f.Size, BeyondYd: f.Over, Weak: f.Weak, Twin: f.Twin, FromS: f.From, ToS: f.To,
		ReleaseS: f.At, Rule: r.Rule(f), Sentence: r.Sentence(f), Instead: r.Instead(f),
		TwoWay: !f.Single, OnPlaySide: r.Playside(f)}
}

// weigh takes the mean over concepts by how often they run them. The interval
// says how far the weights could be off, not whether the engine is right.
func (b *Board) weigh(row *Row) {
	var values []float64
	var counts []int
	for i, c := range row.Cells {
		values, counts = append(values, c.Stress), append(counts, b.Concepts[i].Plays)
	}
	row.Stress, row.Low, row.High = tendency.Mean(values, counts)
	b.value(row)
	usual := func(i int) bool { return rare*b.Concepts[i].Plays >= b.Covered }
	for i, c := range row.Cells {
		w := row.Worst
		if usual(i) && !usual(w) || usual(i) == usual(w) && c.Points > row.Cells[w].Points {
			row.Worst = i
		}
	}
}
