package plan

import (
	"encoding/json"
	"strings"
	"testing"

	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// TestGroupSeesAHole: against hitches alone an empty deep middle costs nothing, so the counts
// cannot tell it from the call it was made of. Held against what every offense has as well it
// gives up more by then; ten plays say so within some .07 points, so that the group of hole and
// call may be one. Two calls that differ in one man are surer apart than two that differ in all.
func TestGroupSeesAHole(t *testing.T) {
	good := must(call.Lookup("cover 3 spot"))
	raw := must(json.Marshal(good.Call))
	hole := strings.Replace(string(raw), "zone middle third", "zone hook", 1)
	bad := must(call.Compile(must(call.Decode(strings.NewReader(hole)))))
	calls := []Named{{Name: "good", Compiled: good}, {Name: "hole", Compiled: bad},
		{Name: "man", Compiled: must(call.Lookup("cover 1"))}}
	const plays = 4
	hitches := []tags.ConceptRow{row("2x2", "hitches", plays, "play", 1, false, "hitch", plays, ptr(6.0)),
		row("2x2", "hitches", plays, "play", 2, false, "hitch", plays, ptr(6.0)),
		row("2x2", "hitches", plays, "back", 1, false, "hitch", plays, ptr(6.0)),
		row("2x2", "hitches", plays, "back", 2, false, "hitch", plays, ptr(6.0))}
	b := must(Build(t.Context(), calls, Concepts(hitches), plays, field.HighSchool, Terms{Setting: stress.Usual}))
	at := map[string]*Row{}
	for i := range b.Rows {
		at[b.Rows[i].Call] = &b.Rows[i]
	}
	if d := at["hole"].Points - at["good"].Points; d > 0.05 || at["hole"].Group < at["good"].Group {
		t.Errorf("to hitches the hole gives up %.3f more, group %d; want nearly nothing", d, at["hole"].Group)
	}
	others := must(b.everybody())
	cells := must(others.cells(t.Context(), playables(calls)))
	full, empty := held{}, held{}
	full.add(&at["good"].Cells[0], &b.Concepts[0])
	empty.add(&at["hole"].Cells[0], &b.Concepts[0])
	for i := range others.Concepts {
		for k, h := range []*held{&full, &empty} {
			h.add(&cells[k][i], &others.Concepts[i])
		}
	}
	if d, half := empty.apart(&full); d < 0.04 || half > 0.1 {
		t.Errorf("with what everybody has the hole gives up %.3f more within %.3f", d, half)
	}
	x, y, z := at["good"].Cells[0].places, at["hole"].Cells[0].places, at["man"].Cells[0].places
	if near, far := x.alike(y), x.alike(z); near < 0.8 || near >= 1 || far >= near || x.alike(x) != 1 {
		t.Errorf("alike: with the hole %.2f, with man %.2f, with itself %.2f", near, far, x.alike(x))
	}
}
