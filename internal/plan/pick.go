package plan

import (
	"slices"
	"strings"
)

// A Pick is a call worth calling in a situation.
type Pick struct {
	Call   string  `json:"call"`
	Stress float64 `json:"stress"` // weighted over the board's concepts
	Low    float64 `json:"stress_low"`
	High   float64 `json:"stress_high"`
	// Points is what it gives up; nil in a plan that was kept before there were points.
	Points *float64 `json:"gives_up_points,omitempty"`
	Share  float64  `json:"mix_share"`
	Reason string   `json:"reason"` // five words at most
	// Own is the coordinator's share, of a call that was chosen.
	Own *float64 `json:"own_share,omitempty"`
}

// An Alert says that from one set another call gives up clearly less than the
// first pick.
type Alert struct {
	SetName string  `json:"set_name"`
	Plays   int     `json:"plays"`
	Call    string  `json:"call"`
	Stress  float64 `json:"stress"` // of that call from this set
	First   float64 `json:"first_pick_stress"`
	// The same in points; nil in a plan that was kept before there were points.
	Points      *float64 `json:"gives_up_points,omitempty"`
	FirstPoints *float64 `json:"first_pick_gives_up_points,omitempty"`
}

// Gain is by how much another call must be better for an alert: what a staff will
// change its call for. An assumption, no source.
const Gain = 0.05

// Picks returns the n calls that give up least, each with the concept it does most
// for compared with our other calls, by how often they run it. None when no concept
// is on the board.
func (b *Board) Picks(n int) []Pick {
	if len(b.Concepts) == 0 {
		return []Pick{}
	}
	var rows []int
	for i := range b.Rows[:min(n, len(b.Rows))] { // least stressed first
		rows = append(rows, i)
	}
	return b.picks(rows, "gives up least overall")
}

// picks says of rows what they do most for; of one that does most for nothing else, what
// is given.
func (b *Board) picks(rows []int, otherwise string) []Pick {
	out := []Pick{}
	var told []int
	for _, i := range rows {
		r := &b.Rows[i]
		p := Pick{Call: r.Call, Stress: r.Stress, Low: r.Low, High: r.High, Share: r.Share, Reason: otherwise,
			Points: &r.Points}
		best := 0.0
		at := -1
		for k, c := range r.Cells {
			if gain := float64(b.Concepts[k].Plays) * (b.mean(k) - c.Stress); gain > best && !slices.Contains(told, k) {
				best, at = gain, k
			}
		}
		if at >= 0 {
			told = append(told, at)
			words := strings.Fields(b.Concepts[at].Concept)
			p.Reason = "best vs " + strings.Join(words[:min(3, len(words))], " ")
		}
		out = append(out, p)
	}
	return out
}

// A Watch is what hurts the least stressed call most: the two-way threat that is
// worst by how often it is run times the yards.
type Watch struct {
	Concept  string  `json:"concept"`
	SetName  string  `json:"set_name"`
	Plays    int     `json:"plays"`
	Assumed  int     `json:"assumed_plays,omitempty"` // of these, with routes or a set that nobody saw
	Defender string  `json:"defender"`
	ShortYd  float64 `json:"short_yd"`
}

// Watch returns what to watch in the first pick, nil when nothing puts a man of it
// between two threats.
func (b *Board) Watch() *Watch {
	if len(b.Rows) == 0 {
		return nil
	}
	return b.watch(0)
}

// watch is Watch for call i.
func (b *Board) watch(i int) *Watch {
	var out *Watch
	for k, cell := range b.Rows[i].Cells {
		c := &b.Concepts[k]
		for _, f := range cell.Findings {
			if f.TwoWay && (out == nil || float64(c.Plays)*f.ShortYd > float64(out.Plays)*out.ShortYd) {
				out = &Watch{c.Concept, c.SetName, c.Plays, c.Assumed, f.Defender, f.ShortYd}
			}
		}
	}
	return out
}

// mean is what our calls give up to concept k on average.
func (b *Board) mean(k int) float64 {
	s := 0.0
	for i := range b.Rows {
		s += b.Rows[i].Cells[k].Stress
	}
	return s / float64(len(b.Rows))
}

// Alerts returns the sets from which another call is better than the least stressed
// one by Gain at least, the most frequent first.
func (b *Board) Alerts() []Alert {
	if len(b.Rows) == 0 {
		return []Alert{}
	}
	return b.alerts(0)
}

// alerts is Alerts for call i.
func (b *Board) alerts(i int) []Alert {
	out := []Alert{}
	var sets []string
	for i := range b.Concepts {
		if s := b.Concepts[i].SetName; !slices.Contains(sets, s) {
			sets = append(sets, s)
		}
	}
	for _, s := range sets {
		first, points, n := b.from(i, s)
		a := Alert{SetName: s, Plays: n, Stress: first, First: first, FirstPoints: &points}
		for k := range b.Rows {
			if x, p, _ := b.from(k, s); x < a.Stress {
				a.Call, a.Stress, a.Points = b.Rows[k].Call, x, &p
			}
		}
		if a.First-a.Stress >= Gain {
			out = append(out, a)
		}
	}
	slices.SortStableFunc(out, func(a, b Alert) int { return b.Plays - a.Plays })
	return out
}

// from is what call i gives up from one set, and the plays behind it.
func (b *Board) from(i int, set string) (stress, points float64, plays int) {
	for k := range b.Concepts {
		if c := &b.Concepts[k]; c.SetName == set {
			stress += float64(c.Plays) * b.Rows[i].Cells[k].Stress
			points += float64(c.Plays) * b.Rows[i].Cells[k].Points
			plays += c.Plays
		}
	}
	n := float64(max(plays, 1))
	return stress / n, points / n, plays
}
