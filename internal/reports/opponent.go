package reports

import (
	"cmp"
	"slices"
	"strconv"

	"overhang/internal/ask"
	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/study"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// An OpponentReport is what an opponent's offense does in the plays under some
// filters.
type OpponentReport struct {
	Program    string            `json:"program"`
	Invented   bool              `json:"invented"`
	Opponent   string            `json:"opponent"`
	Situation  string            `json:"situation"`
	in         string            // the situation in a sentence
	Plays      int               `json:"plays"` // counted plays under the filters
	Breakdowns []Breakdown       `json:"breakdowns"`
	Pictures   []plan.Concept    `json:"pictures"` // what most plays of a frequent concept have in common
	Tells      study.Tells       `json:"tells"`    // of what comes, in all that can be read before the snap
	Trends     []ask.RecentTrend `json:"trends"`   // none where the filters choose games
	code       string
	level      field.Level
}

// A Breakdown is all plays of a report by some dimensions.
type Breakdown struct {
	ask.Grouping
	Groups []Group `json:"groups"` // most frequent first, unless the kind has an order of its own; unknown keys last
}

// topConcepts is how many concepts are named beside a group.
const topConcepts = 3

// A Group is the plays that share some keys, with what they did.
type Group struct {
	Keys          []*string `json:"keys"` // null: not tagged
	Plays         int       `json:"plays"`
	Share         float64   `json:"share"` // of the report's plays
	Low           float64   `json:"share_low"`
	High          float64   `json:"share_high"`
	RunKnown      int       `json:"call_known"`
	RunShare      float64   `json:"run_share"` // of those whose call is known
	RunLow        float64   `json:"run_low"`
	RunHigh       float64   `json:"run_high"`
	SuccessRate   *float64  `json:"success_rate,omitempty"`
	MeanGainYd    *float64  `json:"mean_gain_yd,omitempty"`
	Explosives    int       `json:"explosives"`
	ExplosiveRate *float64  `json:"explosive_rate,omitempty"` // of those whose call and gain are known
	ExplosiveLow  *float64  `json:"explosive_low,omitempty"`
	ExplosiveHigh *float64  `json:"explosive_high,omitempty"`
	Thin          bool      `json:"thin"`
	Top           []Top     `json:"top_concepts"` // none where the group is a concept
}

// breakdown lays counted plays out in the order of a reader.
func breakdown(p tags.Program, g *ask.Grouped) Breakdown {
	out := Breakdown{Grouping: g.Grouping, Groups: []Group{}}
	groups, within := &g.Groups, &g.Within
	tops := map[string][]Top{}
	for i := range within.Cells {
		c := &within.Cells[i] // most frequent first
		n := len(c.Keys) - 1
		if at := joined(c.Keys[:n]); c.Keys[n] != nil && len(tops[at]) < topConcepts {
			tops[at] = append(tops[at], Top{Concept: *c.Keys[n], Plays: c.Plays})
		}
	}
	for i := range groups.Cells {
		x := group(&groups.Cells[i], groups.Total)
		for _, t := range tops[joined(x.Keys)] {
			r := tendency.RateOf(t.Plays, x.Plays)
			t.Share, t.Low, t.High = r.Share, r.Low, r.High
			x.Top = append(x.Top, t)
		}
		out.Groups = append(out.Groups, x)
	}
	slices.SortStableFunc(out.Groups, func(a, b Group) int { return order(p, g.By, a.Keys, b.Keys) })
	return out
}

// joined makes one key of several, so that no two look alike.
func joined(keys []*string) string {
	out := ""
	for _, k := range keys {
		if k == nil {
			out += "?"
			continue
		}
		out += strconv.Quote(*k)
	}
	return out
}

// order compares the keys of two groups: unknown last; downs, bands, zones and games
// in their own order, what else there is as it was counted.
func order(p tags.Program, by []string, a, b []*string) int {
	for i, d := range by {
		if a[i] == nil || b[i] == nil {
			if a[i] != b[i] {
				return map[bool]int{true: 1, false: -1}[a[i] == nil]
			}
			continue
		}
		c := 0
		switch d {
		case "down":
			c = cmp.Compare(*a[i], *b[i])
		case "distance_band":
			band := func(name string) int {
				return slices.IndexFunc(p.Settings.DistanceBands, func(b tags.Band) bool { return b.Name == name })
			}
			c = cmp.Compare(band(*a[i]), band(*b[i]))
		case "field_zone":
			zone := func(name string) int {
				return slices.IndexFunc(p.Settings.FieldZones, func(b tags.Band) bool { return b.Name == name })
			}
			c = cmp.Compare(zone(*a[i]), zone(*b[i]))
		case "games_ago":
			x, _ := strconv.Atoi(*a[i]) // the store counts them
			y, _ := strconv.Atoi(*b[i])
			c = cmp.Compare(y, x)
		}
		if c != 0 {
			return c
		}
	}
	return 0
}

func group(c *tags.Cell, total int) Group {
	x := ask.Score(c, total)
	g := Group{Keys: c.Keys, Plays: c.Plays, Share: x.Share.Share, Low: x.Share.Low, High: x.Share.High,
		RunKnown: c.Runs + c.Passes, RunShare: x.Run.Share, RunLow: x.Run.Low, RunHigh: x.Run.High,
		MeanGainYd: x.MeanGain, Explosives: c.Explosives, Thin: x.Thin, Top: []Top{}}
	g.SuccessRate, _, _ = x.Success.Split()
	g.ExplosiveRate, g.ExplosiveLow, g.ExplosiveHigh = x.Explosive.Split()
	return g
}

// Pictures is how many concept pictures an opponent report draws.
const Pictures = 10

// BuildOpponent makes an opponent report of the answer.
func BuildOpponent(a *ask.OpponentAnswer) *OpponentReport {
	p, o := a.Program, a.Opponent
	r := &OpponentReport{Program: p.Name, Invented: p.Invented, Opponent: o.Name, Situation: situationWords(a.Filters),
		in:         inSituation(a.Filters),
		Breakdowns: []Breakdown{},
		Pictures:   append([]plan.Concept{}, a.Concepts[:min(len(a.Concepts), Pictures)]...), Tells: a.Tells,
		Trends: a.Trends,
		code:   o.Code, level: a.Level}
	for i := range a.Groups {
		r.Plays = a.Groups[i].Groups.Total
		r.Breakdowns = append(r.Breakdowns, breakdown(p, &a.Groups[i]))
	}
	return r
}
