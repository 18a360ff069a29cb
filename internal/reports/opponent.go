package reports

import (
	"cmp"
	"slices"
	"strconv"

	"overhang/internal/plan"
	"overhang/internal/stress/field"
	"overhang/internal/study"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// An OpponentReport is what an opponent's offence does in the plays under some
// filters.
type OpponentReport struct {
	Program    string         `json:"program"`
	Invented   bool           `json:"invented"`
	Opponent   string         `json:"opponent"`
	Situation  string         `json:"situation"`
	Plays      int            `json:"plays"` // counted plays under the filters
	Breakdowns []Breakdown    `json:"breakdowns"`
	Pictures   []plan.Concept `json:"pictures"` // what most plays of a frequent concept have in common
	Tells      study.Tells    `json:"tells"`    // of what comes, in all that can be read before the snap
	Trends     []Trend        `json:"trends"`   // none where the filters choose games
	code       string
	level      field.Level
}

// A Trend is what changed in the last games.
type Trend struct {
	Recent int `json:"recent"` // games
	study.Trend
}

// Asked are the dimensions that tells and trends are asked about; a trend for each
// of Recents.
var (
	Asked   = []string{"called", "concept"}
	Recents = []int{1, 3}
)

// A Breakdown is all plays of a report by some dimensions.
type Breakdown struct {
	Kind
	Groups []Group `json:"groups"` // most frequent first, unless the kind has an order of its own; unknown keys last
}

// A Kind of breakdown.
type Kind struct {
	Name string   `json:"name"`
	By   []string `json:"by"` // dimensions
}

var situations = Kind{"situations", []string{"down", "distance_band"}}

// Kinds are the breakdowns of an opponent report.
var Kinds = []Kind{{"personnel", []string{"personnel"}}, {"sets", []string{"set_name"}}, situations,
	{"concepts", []string{"concept"}}, {"coverages", []string{"coverage"}}, {"games", []string{"games_ago", "game"}}}

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

// Break makes a breakdown: groups is counted by the kind's dimensions, within by
// those and the concept.
func (k Kind) Break(p tags.Program, groups, within tags.Tendency) Breakdown {
	out := Breakdown{Kind: k, Groups: []Group{}}
	tops := map[string][]Top{}
	for i := range within.Cells {
		c := &within.Cells[i] // most frequent first
		n := len(c.Keys) - 1
		if at := joined(c.Keys[:n]); c.Keys[n] != nil && len(tops[at]) < topConcepts {
			tops[at] = append(tops[at], Top{Concept: *c.Keys[n], Plays: c.Plays})
		}
	}
	for i := range groups.Cells {
		g := group(&groups.Cells[i], groups.Total)
		for _, t := range tops[joined(g.Keys)] {
			t.Share = tendency.Share(t.Plays, g.Plays)
			t.Low, t.High = tendency.Wilson(t.Plays, g.Plays)
			g.Top = append(g.Top, t)
		}
		out.Groups = append(out.Groups, g)
	}
	slices.SortStableFunc(out.Groups, func(a, b Group) int { return k.order(p, a.Keys, b.Keys) })
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
func (k Kind) order(p tags.Program, a, b []*string) int {
	for i, d := range k.By {
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
	g := Group{Keys: c.Keys, Plays: c.Plays, Share: tendency.Share(c.Plays, total), RunKnown: c.Runs + c.Passes, Explosives: c.Explosives,
		Thin: c.Plays < tendency.Thin, Top: []Top{}}
	g.Low, g.High = tendency.Wilson(c.Plays, total)
	g.RunShare = tendency.Share(c.Runs, g.RunKnown)
	g.RunLow, g.RunHigh = tendency.Wilson(c.Runs, g.RunKnown)
	if c.SuccessKnown > 0 {
		r := tendency.Share(c.Successes, c.SuccessKnown)
		g.SuccessRate = &r
	}
	if c.GainKnown > 0 {
		m := float64(c.GainSum) / float64(c.GainKnown)
		g.MeanGainYd = &m
	}
	if n := c.ExplosiveKnown; n > 0 {
		r := tendency.Share(c.Explosives, n)
		low, high := tendency.Wilson(c.Explosives, n)
		g.ExplosiveRate, g.ExplosiveLow, g.ExplosiveHigh = &r, &low, &high
	}
	return g
}

// Pictures is how many concept pictures an opponent report draws.
const Pictures = 10

// BuildOpponent starts an opponent report; filters are those of its plays.
func BuildOpponent(p tags.Program, o tags.Opponent, level field.Level, filters map[string][]string, concepts []plan.Concept) OpponentReport {
	return OpponentReport{Program: p.Name, Invented: p.Invented, Opponent: o.Name, Situation: situationWords(filters), Breakdowns: []Breakdown{},
		Pictures: append([]plan.Concept{}, concepts[:min(len(concepts), Pictures)]...), Trends: []Trend{}, code: o.Code, level: level}
}

// Add adds a breakdown: groups is counted by the kind's dimensions, within by those
// and the concept.
func (r *OpponentReport) Add(p tags.Program, k Kind, groups, within tags.Tendency) {
	r.Plays = groups.Total
	r.Breakdowns = append(r.Breakdowns, k.Break(p, groups, within))
}
