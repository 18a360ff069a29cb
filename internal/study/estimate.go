package study

import (
	"slices"
	"strings"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// An Estimate is what a situation's shares are worth when its plays are few.
type Estimate struct {
	Keys     map[string]string `json:"keys"`
	Plays    int               `json:"plays"` // with a known outcome
	Thin     bool              `json:"thin"`
	Outcomes []Outcome         `json:"outcomes"` // most likely first
	From     []Source          `json:"from"`     // finest first; the weights add up to 1
}

// An Outcome is a share as counted, and as estimated.
type Outcome struct {
	Outcome  string  `json:"outcome"`
	Plays    int     `json:"plays"`
	Raw      float64 `json:"share"` // as counted; 0 without a play
	RawLow   float64 `json:"share_low"`
	RawHigh  float64 `json:"share_high"`
	Estimate float64 `json:"estimate"`
	Low      float64 `json:"estimate_low"`
	High     float64 `json:"estimate_high"`
}

// A Source says how much of an estimate came from where.
type Source struct {
	Level   string  `json:"level"`
	Plays   int     `json:"plays"`
	Weight  float64 `json:"weight"`
	Worth   float64 `json:"worth_plays"` // how many plays the next coarser level counts for here
	Learned bool    `json:"learned"`     // and that this was learned from like situations
}

// known are the counts of which every key is known, and how many plays the others have.
func known(counts []tags.Count) (out []tags.Count, leftOut int) {
	for _, c := range counts {
		if slices.Contains(c.Keys, nil) {
			leftOut += c.Plays
		} else {
			out = append(out, c)
		}
	}
	return out, leftOut
}

// Estimates shrinks situations along a chain: the first dimension of the chain
// is given up first, then the next, down to all plays together. The keys of a
// count are the chain's, then the outcome. only says which situations are asked
// about, nil for a dimension that is open; where it settles every dimension, the
// situations are estimated even if they never occurred. Plays with an unknown
// value are left out and counted.
func Estimates(chain []string, counts []tags.Count, only map[string][]string) ([]Estimate, int) {
	e := &estimator{chain: chain, at: map[string]int{}}
	known, leftOut := known(counts)
	for _, c := range known {
		e.outcomes = place(e.at, e.outcomes, *c.Keys[len(chain)])
	}
	e.count(known)
	var out []Estimate
	for _, keys := range e.asked(only) {
		out = append(out, e.estimate(keys))
	}
	return out, leftOut
}

// An estimator holds the counts of every level: levels[i] has those of the
// situations that keep chain[i:], by their joined values.
type estimator struct {
	chain    []string
	outcomes []string
	at       map[string]int
	levels   []map[string][]int
	order    [][]string                 // of each level, its situations as met
	above    []map[string][]string      // of each level, its situations by that of the level above
	kin      []map[string]*tendency.Kin // what those have told
}

func (e *estimator) count(known []tags.Count) {
	n := len(e.chain)
	e.levels, e.order = make([]map[string][]int, n+1), make([][]string, n+1)
	e.above, e.kin = make([]map[string][]string, n+1), make([]map[string]*tendency.Kin, n+1)
	for i := range e.levels {
		e.levels[i], e.above[i], e.kin[i] = map[string][]int{}, map[string][]string{}, map[string]*tendency.Kin{}
		for _, c := range known {
			k := joined(c.Keys[i:n])
			if e.levels[i][k] == nil {
				e.levels[i][k] = make([]int, len(e.outcomes))
				e.order[i] = append(e.order[i], k)
				_, rest, _ := strings.Cut(k, "\x00")
				e.above[i][rest] = append(e.above[i][rest], k)
			}
			e.levels[i][k][e.at[*c.Keys[n]]] += c.Plays
		}
	}
}

func joined(keys []*string) string {
	var b strings.Builder
	for _, k := range keys {
		b.WriteString(*k)
		b.WriteByte(0)
	}
	return b.String()
}

// asked lists the situations to estimate: those that occurred and are asked
// about, and those that are spelt out.
func (e *estimator) asked(only map[string][]string) [][]string {
	spelt := true
	for _, d := range e.chain {
		spelt = spelt && only[d] != nil
	}
	if !spelt {
		return e.among(only)
	}
	out := [][]string{nil}
	for _, d := range e.chain {
		var next [][]string
		for _, keys := range out {
			for _, v := range only[d] {
				next = append(next, append(slices.Clone(keys), v))
			}
		}
		out = next
	}
	return out
}

// among are the groups that were seen and that the filters leave.
func (e *estimator) among(only map[string][]string) (out [][]string) {
	for _, k := range e.order[0] {
		keys := strings.Split(strings.TrimSuffix(k, "\x00"), "\x00")
		ok := true
		for i, d := range e.chain {
			ok = ok && (only[d] == nil || slices.Contains(only[d], keys[i]))
		}
		if ok {
			out = append(out, keys)
		}
	}
	return out
}

func (e *estimator) estimate(keys []string) Estimate {
	out := Estimate{Keys: map[string]string{}, Outcomes: []Outcome{}, From: []Source{}}
	var levels []tendency.Level
	var kin []*tendency.Kin
	for i := range e.levels {
		own := e.levels[i][strings.Join(append(slices.Clone(keys[i:]), ""), "\x00")]
		if own == nil {
			own = make([]int, len(e.outcomes))
		}
		l := tendency.Level{Name: "all plays under the filters", Counts: own}
		if i < len(keys) {
			l.Name = e.name(keys, i)
			kin = append(kin, e.alike(i, strings.Join(append(slices.Clone(keys[i+1:]), ""), "\x00")))
		}
		levels = append(levels, l)
	}
	for i, d := range e.chain {
		out.Keys[d] = keys[i]
	}
	s := tendency.Shrink(levels, kin...)
	for _, n := range levels[0].Counts {
		out.Plays += n
	}
	out.Thin = out.Plays < tendency.Thin
	for j, p := range s.Shares {
		x := levels[0].Counts[j]
		o := Outcome{Outcome: e.outcomes[j], Plays: x, Estimate: p, Low: s.Low[j], High: s.High[j]}
		raw := tendency.RateOf(x, out.Plays)
		o.Raw, o.RawLow, o.RawHigh = raw.Share, raw.Low, raw.High
		out.Outcomes = append(out.Outcomes, o)
	}
	slices.SortStableFunc(out.Outcomes, func(a, b Outcome) int {
		switch {
		case a.Estimate > b.Estimate:
			return -1
		case a.Estimate < b.Estimate:
			return 1
		}
		return strings.Compare(a.Outcome, b.Outcome)
	})
	for _, f := range s.From {
		out.From = append(out.From, Source{f.Name, f.Plays, f.Weight, f.Worth, f.Learned})
	}
	return out
}

// alike is what the situations of a level tell that lie in one situation of the
// level above.
func (e *estimator) alike(level int, above string) *tendency.Kin {
	k := e.kin[level][above]
	if k == nil {
		var siblings [][]int
		for _, name := range e.above[level][above] {
			siblings = append(siblings, e.levels[level][name])
		}
		k = tendency.NewKin(siblings)
		e.kin[level][above] = k
	}
	return k
}

// name writes what a level keeps.
func (e *estimator) name(keys []string, i int) string {
	var parts []string
	for k := i; k < len(keys); k++ {
		parts = append(parts, e.chain[k]+"="+keys[k])
	}
	return strings.Join(parts, ", ")
}
