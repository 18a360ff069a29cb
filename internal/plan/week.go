package plan

import (
	"context"
	"slices"

	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// A Week is our calls played against the pictures an opponent shows, with what the
// engine found kept: what a staff teaches from.
type Week struct {
	Plays    int // counted plays, with routes or not
	Level    field.Level
	Terms    Terms
	Calls    []Named
	Concepts []Concept // those the engine can read, most frequent first, at most as many as on a board
	Results  [][]*stress.Result
	Run      *Repertoire // the concepts ready to be played again
}

// NewWeek plays every call against every concept, as Build does. It fails only when ctx ends.
func NewWeek(ctx context.Context, calls []Named, concepts []Concept, total int, level field.Level,
	terms Terms) (*Week, error) {
	w := &Week{Plays: total, Level: level, Terms: terms, Calls: calls, Results: make([][]*stress.Result, len(calls)),
		Run: NewRepertoire(level, terms)}
	for _, c := range concepts {
		if len(w.Run.Concepts) == most || w.Run.Add(c, c.spec(level)) != nil {
			continue // a board counts who is left out
		}
		k := len(w.Run.Concepts) - 1
		for i := range calls {
			r, err := w.Run.Play(ctx, calls[i], k)
			if err != nil {
				return nil, err
			}
			w.Results[i] = append(w.Results[i], r)
		}
	}
	w.Concepts = w.Run.Concepts
	return w, nil
}

// Least returns the call that is best against concept k, -1 without calls.
func (w *Week) Least(k int) int {
	best := -1
	for i := range w.Calls {
		if best < 0 || w.Results[i][k].Value.Points < w.Results[best][k].Value.Points {
			best = i
		}
	}
	return best
}

// Help returns the man other than the one of a finding who gets nearest to its open
// throw when it is worst, and how far from the catch; -1 when he is alone.
func Help(r *stress.Result, f *stress.Finding) (man int, short field.Yards) {
	g := r.Rep
	k := slices.Index(g.Releases, f.At)
	man = -1
	for j := range g.Setup.Men {
		if j == f.Man || motion.Rushes(&g.Setup.Men[j]) {
			continue
		}
		if w := g.Gap[j][f.Open][k]; man < 0 || w < short {
			man, short = j, w
		}
	}
	return man, short
}
