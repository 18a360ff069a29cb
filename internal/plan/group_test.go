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
// cannot tell it from the call it was made of. What every offense has can, while they are few
// plays; and two calls that differ in one man are surer apart than two that differ in all.
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
	if d := at["hole"].Points - at["good"].Points; d > 0.05 || at["hole"].Group != 2 {
		t.Errorf("to hitches the hole gives up %.3f more, group %d; want nearly nothing, and 2", d, at["hole"].Group)
	}
	x, y, z := at["good"].Cells[0].places, at["hole"].Cells[0].places, at["man"].Cells[0].places
	if near, far := x.alike(y), x.alike(z); near < 0.8 || near >= 1 || far >= near || x.alike(x) != 1 {
		t.Errorf("alike: with the hole %.2f, with man %.2f, with itself %.2f", near, far, x.alike(x))
	}
}
