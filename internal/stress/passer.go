package stress

import (
	"math"
	"slices"

	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// Passer is how a passer chooses: the log of a throw's share grows with its worth.
type Passer struct {
	Taste float64 // how much he prefers the better throw
	Far   float64 // what a yard downfield is worth beside a catch
	Wait  float64 // by how much a second later is worth less, in the log
	Watch float64 // the same for a man who sees the ball right at the catch
	Near  float64 // yards: how near he must be
	Line  float64 // by how much more a throw is worth that makes the line to gain, a yard the line is further than usual
}

// DefaultPasser holds the choices made on three seasons; see the package documentation.
var DefaultPasser = Passer{Taste: 2.5, Far: 0.1, Wait: 0.6, Watch: 0.4, Near: 5, Line: 0.08}

// A rating is what the passer makes of one receiver, no matter what the down asks for: how much each
// of his moments weighs beside his best one.
type rating struct {
	worth  float64 // of the best moment
	total  float64 // of the weights
	weighs []weighed
}

// A weighed is one moment of a receiver.
type weighed struct {
	k                int
	weight, complete float64 // its weight is at first its worth
	depth            field.Yards
}

// A rater rates the receivers of one play; its room is used again for the next.
type rater struct {
	done    bool
	best    []Throw // each receiver's best moment for the passer
	ratings []rating
	weighs  []weighed
	moments []Moment
	rushes  map[rush][]float64
}

// again is one for the next play.
func (x *rater) again() rater {
	return rater{best: x.best[:0], ratings: x.ratings[:0], weighs: x.weighs[:0], moments: x.moments[:0],
		rushes: x.rushes}
}

// rate rates every receiver at his best moment, with how often he is thrown to.
func (x *rater) rate(g *motion.Rep) {
	x.done = true
	x.best, x.ratings = slices.Grow(x.best, g.Run), slices.Grow(x.ratings, g.Run)
	moments := g.Run * len(g.Releases)
	x.weighs, x.moments = slices.Grow(x.weighs, moments), slices.Grow(x.moments, moments)
	curve, total, rush := DefaultCurve.table(), 0.0, x.underRush(g)
	for i := range g.Run {
		t, r := x.moment(g, i, rush, &curve)
		if r.worth == 0 {
			continue
		}
		t.Separation = g.Separation(i, t.K)
		x.soften(&t, &r)
		t.Share = math.Pow(r.worth, DefaultPasser.Taste)
		total += t.Share
		x.best, x.ratings = append(x.best, t), append(x.ratings, r)
	}
	for n := range x.best {
		x.best[n].Share /= total
	}
}

// moment finds a receiver's best moment for the passer; its worth is 0 when he can never be
// thrown to. The moment itself is soft: its neighbors, nearly as good, are nearly as likely,
// so that a hair's breadth decides nothing. The rush is by release. He chooses by where men
// usually are, and what he has chosen is caught as on the days when he throws it.
func (x *rater) moment(g *motion.Rep, i int, rush []float64, curve *tabled) (best Throw, r rating) {
	of, from := g.Of(i), len(x.weighs)
	var room [11][]field.Yards
	var torns [11]float64
	rows := g.GapsTo(room[:0], i)
	for k := range of {
		if !of[k].Live || g.Releases[k] < g.Clock.Rhythm-1e-9 {
			continue
		}
		t := Throw{Receiver: i, K: k, Release: g.Releases[k], Flight: of[k].Flight, At: of[k].At, Depth: of[k].At.Y}
		odds := curve.covered(t.Depth) + rush[k]
		t.Complete = curve.among(rows, k, t.Flight, odds, nil)
		w := DefaultPasser.worth(g, rows, &t)
		if read := torn(g, i, k, &torns); read != nil {
			t.Complete = curve.among(rows, k, t.Flight, odds, read)
		}
		if w > r.worth || len(x.weighs) == from {
			best, r.worth = t, w
		}
		x.weighs = append(x.weighs, weighed{k, w, t.Complete, t.Depth})
	}
	r.weighs = x.weighs[from:]
	return best, r
}

// soften weighs the moments beside the best one, and keeps those that matter.
func (x *rater) soften(best *Throw, r *rating) {
	for n := range r.weighs {
		m := &r.weighs[n]
		w := m.weight / r.worth
		w *= w * w
		w *= w
		w *= w // to the twelfth
		m.weight, r.total = w, r.total+w
	}
	from := len(x.moments)
	for n := range r.weighs {
		if m := &r.weighs[n]; m.weight > 0.02*r.total {
			x.moments = append(x.moments, Moment{m.k, m.weight / r.total})
		}
	}
	best.Moments = x.moments[from:len(x.moments):len(x.moments)]
}

// best are the receivers' best moments, no matter what the down asks for.
func (r *Result) best() []Throw {
	if !r.rater.done {
		r.rater.rate(r.Rep)
	}
	return r.rater.best
}

// throws are the same with the chance of what the down asks for.
func (r *Result) throws(sit ToGain) []Throw {
	out := r.best()
	for n := range out {
		x, success := &r.rater.ratings[n], 0.0
		for _, m := range x.weighs {
			success += m.weight * (m.complete * sit.enough(m.depth))
		}
		out[n].Success = success / x.total
	}
	return out
}

// worth is what a throw is worth to the passer: the chance of the catch, what it gains,
// the time he must wait, the men near the catch who see the ball, and on long downs whether
// it makes the line to gain.
func (p *Passer) worth(g *motion.Rep, rows [][]field.Yards, t *Throw) float64 {
	watched := 0.0
	for n, j := range g.Cover {
		if d := rows[n][t.K]; d < p.Near {
			watched += (1 - d/p.Near) * g.Sight(j, t.K)
		}
	}
	worth := t.Complete * (1 + p.Far*max(t.Depth, 0)) * math.Exp(-p.Wait*t.Release-p.Watch*watched)
	if far := g.Line() - Usual.ToGain.Need; far > 0 {
		worth *= 1 + p.Line*far*ToGain{Need: g.Line()}.enough(t.Depth)
	}
	return worth
}
