package stress

import (
	"math"

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

// A rating is what the passer makes of one receiver, no matter what the down asks for: his
// best moment, and how much each of his moments weighs beside it.
type rating struct {
	best   Throw
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

// ratings rates every receiver at his best moment, with how often he is thrown to.
func ratings(g *motion.Rep) []rating {
	out, room := make([]rating, 0, g.Run), make([]weighed, 0, g.Run*len(g.Releases))
	curve, total, rush := DefaultCurve.table(), 0.0, underRush(g)
	for i := range g.Run {
		x := rating{weighs: room[len(room):]}
		x.rate(g, i, rush, &curve)
		if x.worth == 0 {
			continue
		}
		room = room[:len(room)+len(x.weighs)]
		x.best.Share = math.Pow(x.worth, DefaultPasser.Taste)
		total += x.best.Share
		out = append(out, x)
	}
	for n := range out {
		out[n].best.Share /= total
	}
	return out
}

// rate finds a receiver's best moment for the passer; its worth is 0 when he can never be
// thrown to. The moment itself is soft: its neighbors, nearly as good, are nearly as likely,
// so that a hair's breadth decides nothing. The rush is by release. He chooses by where men
// usually are, and what he has chosen is caught as on the days when he throws it.
func (x *rating) rate(g *motion.Rep, i int, rush []float64, curve *tabled) {
	of, first := g.Of(i), true
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
		x.weighs = append(x.weighs, weighed{k, w, t.Complete, t.Depth})
		if w > x.worth || first {
			x.best, x.worth, first = t, w, false
		}
	}
	if x.worth == 0 {
		return
	}
	x.best.Separation = g.Separation(i, x.best.K)
	x.soften()
}

// soften weighs the moments beside the best one, and keeps those that matter.
func (x *rating) soften() {
	likely := 0
	for n := range x.weighs {
		m := &x.weighs[n]
		w := m.weight / x.worth
		w *= w * w
		w *= w
		w *= w // to the twelfth
		m.weight, x.total = w, x.total+w
	}
	for n := range x.weighs {
		if x.weighs[n].weight > 0.02*x.total {
			likely++
		}
	}
	x.best.Moments = make([]Moment, 0, likely)
	for n := range x.weighs {
		if m := &x.weighs[n]; m.weight > 0.02*x.total {
			x.best.Moments = append(x.best.Moments, Moment{m.k, m.weight / x.total})
		}
	}
}

// best are the receivers' best moments, no matter what the down asks for.
func (r *Result) best() []Throw {
	if r.rated == nil {
		r.rated = ratings(r.Rep)
	}
	if len(r.rated) == 0 {
		return nil
	}
	out := make([]Throw, len(r.rated))
	for n := range r.rated {
		out[n] = r.rated[n].best
	}
	return out
}

// throws are the same with the chance of what the down asks for.
func (r *Result) throws(sit ToGain) []Throw {
	out := r.best()
	for n := range out {
		success := 0.0
		for _, m := range r.rated[n].weighs {
			success += m.weight * (m.complete * sit.enough(m.depth))
		}
		out[n].Success = success / r.rated[n].total
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
