package tendency

import "math"

// A Met is how often plays of one kind succeeded: what somebody ran on one kind of down.
type Met struct {
	Who, What, Down string // opponent, concept ("" unknown), and down with distance
	Won, Known      int    // of so many plays whose success is known
}

// A Prior is how many plays the level above counts for: everybody's for an opponent's own
// level, an opponent's level for what he does with one concept or in one situation.
type Prior struct{ Overall, Within float64 }

// Priors until opponents enough are there to tell. Professional data give about 400 plays
// and 300 (pooled seasons, what one season says of the next). High-school teams differ more;
// how much more is assumed.
var (
	Professional = Prior{400, 300}
	Amateur      = Prior{45, 100}
)

const (
	// toLearn opponents allow an estimate of how far they lie apart.
	toLearn = 6
	// smoothing is how many plays at everybody's rate a thin down is mixed with. Assumed.
	smoothing = 20
	// no estimate makes opponents less alike than plays of leastWorth, nor more than mostWorth
	leastWorth, mostWorth = 20, 2000
)

// A Pool is what the results of several opponents say of each: by how much more often than
// the others on the same downs he succeeds, whatever he faces, and with a concept beyond
// that. Each is drawn toward the level above by so many plays as its prior is worth.
type Pool struct {
	Prior   Prior
	Learned bool // the prior was estimated from these opponents
	Plays   int  // whose success is known, of everybody
	base    map[string]float64
	level   map[string]*excess
	common  map[string]*excess // of a concept, over all who run it
	own     map[[2]string]*excess
}

// An excess is by how many plays more were won than expected.
type excess struct{ won, n, variance float64 }

func (e *excess) shrunk(worth float64) float64 {
	if e == nil || e.n == 0 {
		return 0
	}
	return e.won / (e.n + worth)
}

// NewPool learns from the plays of all opponents. From six of them on the prior is what they
// say themselves, else it is the one given.
func NewPool(all []Met, prior Prior) *Pool {
	p := &Pool{Prior: prior, level: map[string]*excess{}, common: map[string]*excess{}, own: map[[2]string]*excess{}}
	p.downs(all)
	for i := range all {
		gather(p.level, all[i].Who, &all[i], p.base[all[i].Down])
	}
	if len(p.level) >= toLearn {
		p.Prior.Overall, p.Learned = worthOf(p.level), true
	}
	for i := range all {
		if m := &all[i]; m.What != "" {
			gather(p.common, m.What, m, p.expected(m))
		}
	}
	for i := range all {
		if m := &all[i]; m.What != "" {
			gather(p.own, [2]string{m.Who, m.What}, m, p.expected(m)+p.common[m.What].shrunk(p.Prior.Within))
		}
	}
	if p.Learned {
		p.Prior.Within = worthOf(p.own)
	}
	return p
}

// downs is how often everybody succeeds on each kind of down, a thin one near all of them.
func (p *Pool) downs(all []Met) {
	won, n := map[string]float64{}, map[string]float64{}
	sum, known := 0.0, 0.0
	for _, m := range all {
		won[m.Down] += float64(m.Won)
		n[m.Down] += float64(m.Known)
		sum, known = sum+float64(m.Won), known+float64(m.Known)
	}
	p.Plays, p.base = int(known), map[string]float64{}
	for d := range n {
		p.base[d] = (won[d] + smoothing*sum/max(1, known)) / (n[d] + smoothing)
	}
}

// expected is the chance that a play of this kind succeeds, by the down and the opponent.
func (p *Pool) expected(m *Met) float64 { return p.base[m.Down] + p.Level(m.Who) }

func gather[K comparable](into map[K]*excess, key K, m *Met, expected float64) {
	e := into[key]
	if e == nil {
		e = &excess{}
		into[key] = e
	}
	e.won += float64(m.Won) - float64(m.Known)*expected
	e.n += float64(m.Known)
	e.variance += float64(m.Known) * max(0, expected*(1-expected))
}

// worthOf estimates by moments how many plays the level above counts for (DerSimonian and
// Laird 1986: how far groups lie apart beyond chance): the variance of one play over that
// of the groups' true rates.
func worthOf[K comparable](of map[K]*excess) float64 {
	var k, w, w2, mean, one, n, q float64
	for _, e := range of {
		if e.n == 0 || e.variance == 0 {
			continue
		}
		x := e.n * e.n / e.variance // one over the variance of its rate
		k, w, w2, mean = k+1, w+x, w2+x*x, mean+x*e.won/e.n
		one, n = one+e.variance, n+e.n
	}
	if k < 2 {
		return mostWorth
	}
	for _, e := range of {
		if e.n > 0 && e.variance > 0 {
			d := e.won/e.n - mean/w
			q += e.n * e.n / e.variance * d * d
		}
	}
	between := (q - (k - 1)) / (w - w2/w)
	if between <= 0 || math.IsNaN(between) {
		return mostWorth
	}
	return max(leastWorth, min(mostWorth, one/n/between))
}

// Level is by how much more often an opponent succeeds than everybody on the same downs.
func (p *Pool) Level(who string) float64 { return p.level[who].shrunk(p.Prior.Overall) }

// Known is how many plays of an opponent speak for his level.
func (p *Pool) Known(who string) int {
	if e := p.level[who]; e != nil {
		return int(e.n)
	}
	return 0
}

// With is by how much more often he succeeds with a concept than his level and the concept
// say.
func (p *Pool) With(who, what string) float64 {
	return p.own[[2]string{who, what}].shrunk(p.Prior.Within)
}

// In is the same of a situation: the plays of it, beyond his level and what he runs there.
func (p *Pool) In(there []Met) float64 {
	e := map[string]*excess{}
	for i := range there {
		m := &there[i]
		gather(e, "", m, p.expected(m)+p.common[m.What].shrunk(p.Prior.Within)+p.With(m.Who, m.What))
	}
	return e[""].shrunk(p.Prior.Within)
}
