package plan

import (
	"context"
	"math"
	"strings"

	"overhang/internal/stress/call"
	"overhang/internal/stress/fix"
)

// A Fix is one change of a call that shrinks a conflict: what it wins there, and
// what it does to everything else they run. Lengths are yards, stress is the chance
// that the play succeeds, 0 to 1.
type Fix struct {
	Kind  string `json:"kind"`
	Words string `json:"words"`
	Rules []Rule `json:"rules"` // that are new
	Cures bool   `json:"cures"` // nothing that matters is left open in this picture
	// By how much the largest finding shrinks: in this picture, and in the mean over
	// everything they run (negative: it grows).
	GainYd float64 `json:"gain_yd"`
	NetYd  float64 `json:"net_yd"`
	// Of this picture: the chance, by how much more is open than one good man would leave,
	// and how far open the throw of the conflict is (absent: it cannot be thrown then).
	StressBefore float64  `json:"stress_before"`
	StressAfter  float64  `json:"stress_after"`
	WorstBefore  float64  `json:"worst_before_yd"`
	WorstAfter   float64  `json:"worst_after_yd"`
	OpenBefore   *float64 `json:"open_before_yd,omitempty"`
	OpenAfter    *float64 `json:"open_after_yd,omitempty"`
	Left         string   `json:"sentence_after,omitempty"` // the largest finding that is left
	// Over everything they run, by plays.
	AllStressBefore float64 `json:"all_stress_before"`
	AllStressAfter  float64 `json:"all_stress_after"`
	AllWorstBefore  float64 `json:"all_worst_before_yd"`
	AllWorstAfter   float64 `json:"all_worst_after_yd"`
	// What the call gives up in points a snap: to this picture, and over everything.
	PointsBefore    float64    `json:"gives_up_before"`
	PointsAfter     float64    `json:"gives_up_after"`
	AllPointsBefore float64    `json:"all_gives_up_before"`
	AllPointsAfter  float64    `json:"all_gives_up_after"`
	Hurts           *Hurt      `json:"hurts,omitempty"`
	Call            *call.Call `json:"call"` // changed, as it can be stored
}

// A Rule is one that a man would be taught, in the engine's words.
type Rule struct {
	Defender string `json:"defender"`
	When     string `json:"when"`
	Then     string `json:"then"`
}

// A Hurt is the picture whose largest finding grows most by a change.
type Hurt struct {
	SetName  string  `json:"set_name"`
	Concept  string  `json:"concept"`
	Plays    int     `json:"plays"`
	Assumed  int     `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	From     float64 `json:"from_yd"`
	To       float64 `json:"to_yd"`
	Sentence string  `json:"sentence"`
}

// Fixes looks for what would cure a finding of a call against concept k; found is
// its place among all findings of that result. Listed is what gives up less over
// everything they run, by more than rounding, and makes nothing worse by more than it wins
// in all; what wins most points comes first, and of each kind there are perKind at most.
// It fails only when ctx ends.
func (r *Repertoire) Fixes(ctx context.Context, n Named, k, found, perKind int) ([]Fix, error) {
	out, _, err := r.SearchFixes(ctx, n, k, found, perKind)
	return out, err
}

// SearchFixes is Fixes with how many changes were left out, because the call is so large that
// they are too much to try.
func (r *Repertoire) SearchFixes(ctx context.Context, n Named, k, found, perKind int) ([]Fix, int, error) {
	c := r.against(n)
	as, err := fix.Search(ctx, c, k, found, perKind)
	if err != nil {
		return nil, 0, err
	}
	out := []Fix{}
	for i := range as {
		out = append(out, r.tell(n.Name, &as[i]))
	}
	return out, c.NotTried, nil
}

// listed reports whether a fix wins more than rounding over everything they run, and makes
// no picture worse by more than that.
func listed(a *fix.Fix) bool { return a.Wins() >= fix.Rounding && a.Most <= a.Wins() }

func (r *Repertoire) tell(name string, a *fix.Fix) Fix {
	c := *a.Call
	c.Title = name + ", changed: " + a.Words
	c.Source = strings.TrimSuffix("changed from "+name+"; "+c.Source, "; ")
	out := Fix{Kind: string(a.Kind), Words: a.Words, Rules: []Rule{}, Cures: a.Cures(), GainYd: a.Gain(), NetYd: a.Net(),
		StressBefore: a.Before.Stress, StressAfter: a.After.Stress, WorstBefore: a.Before.Worst, WorstAfter: a.After.Worst,
		PointsBefore: a.Before.Points, PointsAfter: a.After.Points, AllPointsBefore: a.PointsBefore,
		AllPointsAfter: a.PointsAfter,
		OpenBefore:     finite(a.OpenBefore), OpenAfter: finite(a.OpenAfter), Left: a.After.Finding,
		AllStressBefore: a.StressBefore, AllStressAfter: a.StressAfter, AllWorstBefore: a.WorstBefore,
		AllWorstAfter: a.WorstAfter, Call: &c}
	for _, t := range a.Rules {
		out.Rules = append(out.Rules, Rule(t))
	}
	if a.Hurt >= 0 {
		k := &r.Concepts[a.Hurt]
		out.Hurts = &Hurt{k.SetName, k.Concept, k.Plays, k.Assumed, a.HurtBefore.Worst, a.HurtAfter.Worst, a.HurtAfter.Finding}
	}
	return out
}

// finite is nil for what is no number.
func finite(x float64) *float64 {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return nil
	}
	return &x
}
