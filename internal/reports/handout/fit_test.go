package handout

import (
	"slices"
	"strings"
	"testing"
)

// TestTheEdgeAway: who has the force sets the edge where the run comes; where it goes away he is told
// what can come back to him (common practice, no source). In the whole book, to either side.
func TestTheEdgeAway(t *testing.T) {
	t.Parallel()
	w := weekOf(whole(), withRuns())
	told := map[bool]int{}
	for i := range w.Calls {
		for k := range w.Run.Concepts {
			if !w.Run.Concepts[k].Runs() {
				continue
			}
			r := w.Results[i][k]
			f := r.RunFit()
			for j := range r.Rep.Setup.Men {
				said, to := fitSaid(r, j), r.Rep.Setup.Men[j].Side == r.Rep.Picture.Play
				if !slices.Contains(f.Force[:], j) {
					continue
				}
				told[to]++
				if strings.Contains(said, edge) != to || strings.Contains(said, "cutback, boot, reverse") == to {
					t.Errorf("%s, %s: the run to him %v, he is told %q", w.Calls[i].Name, w.Run.Concepts[k].Concept, to, said)
				}
			}
		}
	}
	if told[true] == 0 || told[false] == 0 {
		t.Errorf("who has the force, by whether the run comes: %v", told)
	}
}
