package picture

import (
	"testing"

	"overhang/internal/stress/field"
)

// TestNarrowed: numbers count from the sideline in (trade notes 0.1), so on any hash
// #1 stays outside of #2 and so on; all stay in bounds, and in the middle of the field
// every set stands as sets.json has it.
func TestNarrowed(t *testing.T) {
	for _, name := range SetNames() {
		set, _ := LookupSet(name)
		for _, level := range []field.Level{field.HighSchool, field.College, field.Pro} {
			for _, from := range []field.Yards{-level.HashSpot(), 0, level.HashSpot()} {
				for _, left := range []bool{false, true} {
					p, err := New(Spec{Set: name, Family: "dropback", Left: left, Spot: field.Spot{Level: level, FromMiddle: from},
						Receiver: testSpeed, Back: testSpeed})
					if err != nil {
						t.Fatal(err)
					}
					wide := map[int]field.Yards{}
					for i := range p.Receivers {
						r := &p.Receivers[i]
						if r.Back {
							continue
						}
						out, edge := float64(r.Side)*r.At.X, p.Spot.Sideline(r.Side)
						if last, ok := wide[r.Side]; ok && out >= last || out > edge-4+1e-9 {
							t.Errorf("%s, level %v, ball at %.1f, left %v: %s is %.1f out; the man outside him %.1f, the sideline %.1f",
								name, level, from, left, r.Name, out, wide[r.Side], edge)
						}
						wide[r.Side] = out
						want := set.Play
						if r.Side != p.Play {
							want = set.Back
						}
						if from == 0 && out != want[r.Number-1] {
							t.Errorf("%s in the middle: %s stands %.1f out, the set says %.1f", name, r.Name, out, want[r.Number-1])
						}
					}
				}
			}
		}
	}
}
