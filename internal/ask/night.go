package ask

import (
	"cmp"
	"maps"
	"slices"

	"overhang/internal/plan"
	"overhang/internal/tags"
)

// A Night is what a staff taps on the night of the game: the plan by situation.
type Night struct {
	Bands      []tags.Band `json:"bands"`
	Situations []NightOf   `json:"situations"`
	Calls      []string    `json:"calls"`    // of the plan, most often meant first
	Concepts   []string    `json:"concepts"` // most often run first
}

// NightOf is one situation: which plays are of it, and what was meant to be called.
type NightOf struct {
	Name  string            `json:"name"`
	Where map[string]string `json:"where"`
	Meant []plan.Chosen     `json:"meant"` // the coordinator's own, else the recommended mix
}

// NightOfPlan makes what is tapped of a plan.
func NightOfPlan(p tags.Plan, set *tags.Settings) (*Night, error) {
	content, err := plan.Read(p.Content)
	if err != nil {
		return nil, err
	}
	out := &Night{Bands: set.DistanceBands, Situations: []NightOf{}, Calls: []string{}, Concepts: []string{}}
	calls, concepts := map[string]float64{}, map[string]int{}
	for i := range content.Situations {
		s := &content.Situations[i]
		n := NightOf{Name: s.Name, Where: s.Where, Meant: meant(s)}
		for k := range s.Calls {
			calls[s.Calls[k].Call] += 0
		}
		for _, m := range n.Meant {
			calls[m.Call] += m.Share * float64(s.Plays)
		}
		for _, o := range s.Concepts {
			concepts[o.Concept] = max(concepts[o.Concept], o.Plays)
		}
		out.Situations = append(out.Situations, n)
	}
	out.Calls, out.Concepts = mostFirst(calls), mostFirst(concepts)
	return out, nil
}

// meant are the calls a situation is to be played with: the staff's choice, else the mix.
func meant(s *plan.Situation) []plan.Chosen {
	out := slices.Clone(s.Choice.Calls)
	for k := range s.Calls {
		if c := &s.Calls[k]; len(s.Choice.Calls) == 0 && c.Mixed() {
			out = append(out, plan.Chosen{Call: c.Call, Share: c.Share})
		}
	}
	return out
}

// mostFirst are the names of a count, the largest first.
func mostFirst[N cmp.Ordered](counts map[string]N) []string {
	out := slices.AppendSeq([]string{}, maps.Keys(counts))
	slices.SortFunc(out, func(a, b string) int { return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b)) })
	return out
}
