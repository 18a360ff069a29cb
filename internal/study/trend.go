package study

import (
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Change is how often one outcome came before and after.
type Change struct {
	Outcome     string  `json:"outcome"`
	BeforeX     int     `json:"before_x"`
	Before      int     `json:"before_plays"`
	ShareBefore float64 `json:"share_before"`
	AfterX      int     `json:"after_x"`
	After       int     `json:"after_plays"`
	ShareAfter  float64 `json:"share_after"`
	Difference  float64 `json:"difference"`
	Low         float64 `json:"difference_low"`
	High        float64 `json:"difference_high"`
	P           float64 `json:"p"`
	Adjusted    float64 `json:"p_adjusted"`
	Stands      bool    `json:"stands"`
}

// A Trend is what changed between two spans of games.
type Trend struct {
	Of      string   `json:"of"`
	Before  int      `json:"before_plays"` // with a known outcome
	After   int      `json:"after_plays"`
	LeftOut int      `json:"left_out"` // plays of both spans with an unknown outcome
	Changes []Change `json:"changes"`  // what stands first
}

// FindTrend compares the counts of one dimension in two spans.
func FindTrend(of string, before, after []tags.Count, rate float64) Trend {
	out := Trend{Of: of, Changes: []Change{}}
	var outcomes []string
	at := map[string]int{}
	for _, c := range append(append([]tags.Count(nil), before...), after...) {
		if c.Keys[0] != nil {
			outcomes = place(at, outcomes, *c.Keys[0])
		}
	}
	tally := func(counts []tags.Count, total *int) []int {
		ns := make([]int, len(outcomes))
		for _, c := range counts {
			if c.Keys[0] == nil {
				out.LeftOut += c.Plays
				continue
			}
			ns[at[*c.Keys[0]]] += c.Plays
			*total += c.Plays
		}
		return ns
	}
	b, a := tally(before, &out.Before), tally(after, &out.After)
	for _, c := range tendency.Trend(outcomes, b, a, rate) {
		out.Changes = append(out.Changes, Change{Outcome: c.Outcome, BeforeX: c.Before.X, Before: c.Before.N,
			ShareBefore: c.Before.Share(),
			AfterX:      c.After.X, After: c.After.N, ShareAfter: c.After.Share(), Difference: c.Difference, Low: c.Low,
			High: c.High,
			P:    c.P, Adjusted: c.Adjusted, Stands: c.Stands})
	}
	return out
}
