package plan

import (
	"cmp"
	"slices"
)

// A Contact is how hard men meet in a period.
type Contact string

// Contact levels. Thud and live both count as full contact (national high-school
// guidance of 2014, trade notes 7).
const (
	NoContact  Contact = "none"
	Equipment  Contact = "equipment only"
	Controlled Contact = "controlled"
	Full       Contact = "full"
)

// Contacts are the levels in order.
var Contacts = []Contact{NoContact, Equipment, Controlled, Full}

// A Period is one stretch of a practice.
type Period struct {
	Name    string
	Minutes float64
	Contact Contact
	RepS    float64  // seconds a rep takes
	Downs   []string // plays from these downs only, empty: all
	Near    bool     // plays from the field zones near the goal line only
	Of      Kind     // their runs or their passes only
	// HalfLine is a drill of one side of the line against the runs to it.
	HalfLine bool
}

// A Kind of play a period is for.
type Kind string

// The kinds of plays.
const (
	Both   Kind = ""
	Runs   Kind = "run"
	Passes Kind = "pass"
)

// takes says that a concept belongs into a period.
func (p *Period) takes(c *Concept) bool { return p.Of == Both || (p.Of == Runs) == c.Runs() }

// UsualPeriods are a usual day of the week, 75 minutes, none of it full contact. Common
// practice, no source; a staff scales it.
var UsualPeriods = []Period{
	{Name: "Walk-through", Minutes: 10, Contact: NoContact, RepS: 60},
	{Name: "Half line", Minutes: 10, Contact: Controlled, RepS: 60, Of: Runs, HalfLine: true},
	{Name: "7-on-7", Minutes: 15, Contact: NoContact, RepS: 75, Of: Passes},
	{Name: "Inside run", Minutes: 10, Contact: Controlled, RepS: 75, Of: Runs},
	{Name: "Team – 1st and 2nd down", Minutes: 15, Contact: Controlled, RepS: 90, Downs: []string{"1", "2"}},
	{Name: "Team – 3rd down", Minutes: 9, Contact: Controlled, RepS: 90, Downs: []string{"3", "4"}},
	{Name: "Team – goal line", Minutes: 6, Contact: Controlled, RepS: 90, Near: true},
}

// Scaled makes periods last so many minutes in all, in whole minutes, none less than
// one; 0 leaves them as they are.
func Scaled(ps []Period, minutes float64) []Period {
	out := slices.Clone(ps)
	total := 0.0
	for i := range ps {
		total += ps[i].Minutes
	}
	if minutes <= 0 || total == 0 {
		return out
	}
	weights := make([]float64, len(ps))
	for i := range ps {
		weights[i] = ps[i].Minutes
	}
	for i, n := range Apportion(int(minutes), weights) {
		out[i].Minutes = max(1, float64(n))
	}
	return out
}

// In keeps the usages of a period; near names the field zones near the goal line.
func (p *Period) In(us []Usage, near []string) []Usage {
	var out []Usage
	for _, u := range us {
		if (len(p.Downs) == 0 || slices.Contains(p.Downs, u.Down)) && (!p.Near || slices.Contains(near, u.Zone)) {
			out = append(out, u)
		}
	}
	return out
}

// A Rep is one snap of a script.
type Rep struct {
	Concept int   // index into the board's concepts
	Usual   Usual // where it is run most in this period
	Hash    string
	Side    string // it is run to most from that hash
	Call    int    // index into the board's rows
}

// Script fills a period from the board and the usages of its plays with as many reps
// as its minutes hold: concepts by how often they run them times how often they succeed
// against our first call, spread evenly; hashes as they have them, our three first calls
// in turn. Empty without concepts or calls.
func Script(p Period, b *Board, us []Usage) []Rep {
	const picks = 3
	n := int(p.Minutes * 60 / p.RepS)
	if len(b.Concepts) == 0 || len(b.Rows) == 0 || n == 0 {
		return []Rep{}
	}
	weights := make([]float64, len(b.Concepts))
	for k := range b.Concepts {
		if p.takes(&b.Concepts[k]) {
			weights[k] = float64(b.Concepts[k].Plays) * b.Rows[0].Cells[k].Stress
		}
	}
	counts := Apportion(n, weights)
	var out []Rep
	for _, k := range spread(counts) {
		out = append(out, Rep{Concept: k})
	}
	nth := make([]int, len(b.Concepts))
	hashes := make([][]string, len(b.Concepts))
	for i := range out {
		r := &out[i]
		k := r.Concept
		c := &b.Concepts[k]
		if nth[k] == 0 {
			hashes[k] = hashesOf(us, c, counts[k])
		}
		r.Usual = UsualOf(us, c.SetName, c.Concept)
		r.Hash = hashes[k][nth[k]]
		r.Side, _ = sideFrom(us, c.SetName, c.Concept, r.Hash)
		r.Call = nth[k] % min(picks, len(b.Rows))
		nth[k]++
	}
	return out
}

// hashesOf shares n reps over the hashes a concept was run from, "" when none was tagged.
func hashesOf(us []Usage, c *Concept, n int) []string {
	names := []string{"left", "middle", "right"}
	weights := make([]float64, len(names))
	for i := range us {
		if u := &us[i]; u.SetName == c.SetName && u.Concept == c.Concept {
			if k := slices.Index(names, u.Hash); k >= 0 {
				weights[k] += float64(u.Plays)
			}
		}
	}
	var out []string
	for _, k := range spread(Apportion(n, weights)) {
		out = append(out, names[k])
	}
	for len(out) < n {
		out = append(out, "")
	}
	return out
}

// Apportion shares n among weights by the largest remainder (Hamilton 1792); of
// equal remainders the first counts. All zero when no weight is above zero.
func Apportion(n int, weights []float64) []int {
	out := make([]int, len(weights))
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	if sum <= 0 {
		return out
	}
	order := make([]int, len(weights))
	rest := make([]float64, len(weights))
	left := n
	for i, w := range weights {
		exact := float64(n) * w / sum
		out[i] = int(exact)
		rest[i], order[i] = exact-float64(out[i]), i
		left -= out[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rest[b], rest[a]) })
	for _, i := range order[:max(0, min(left, len(order)))] {
		out[i]++
	}
	return out
}

// spread puts each index as often as it is counted, evenly over the whole.
func spread(counts []int) []int {
	type at struct {
		place float64
		index int
	}
	var all []at
	for i, n := range counts {
		for k := range n {
			all = append(all, at{(float64(k) + 0.5) / float64(n), i})
		}
	}
	slices.SortStableFunc(all, func(a, b at) int { return cmp.Compare(a.place, b.place) })
	out := make([]int, len(all))
	for i := range all {
		out[i] = all[i].index
	}
	return out
}
