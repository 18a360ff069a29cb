package stress

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// Check finds what is wrong with a call before it is saved: what call.Plan.Check
// finds in the rules by themselves, and any eligible whom nobody owes when one
// of the standard sets goes vertical, or stops short. It fails only when ctx ends.
func Check(ctx context.Context, p *call.Plan) ([]call.Complaint, error) {
	out, err := p.Check(ctx)
	if err != nil {
		return nil, err
	}
	speed := field.Speed{Max: 7.8, Tau: 0.7}
	for _, name := range picture.SetNames() {
		for what, route := range map[string]string{"goes vertical": "go", "stops at 5 yards": "hitch@5"} {
			set, _ := picture.LookupSet(name)
			pic, err := picture.New(picture.Spec{Set: name, Family: "dropback", Routes: everybody(set, route), Receiver: speed, Back: speed})
			if err != nil {
				continue
			}
			s := duty.New(p, pic, 1, p.Call.Vertical)
			for i := range pic.Receivers {
				if r := &pic.Receivers[i]; !r.Blocks() && duty.Owner(s, i) < 0 {
					out = append(out, call.Complaint{Defender: "call", Message: fmt.Sprintf("from %s nobody owes %s when everybody %s", name, r.Name, what)})
				}
			}
		}
	}
	sortComplaints(out)
	return out, nil
}

func everybody(set *picture.Set, route string) string {
	s := ""
	for i := range set.Play {
		s += fmt.Sprintf("P%d %s, ", i+1, route)
	}
	for i := range set.Back {
		s += fmt.Sprintf("B%d %s, ", i+1, route)
	}
	return s
}

// sortComplaints puts them in one order, whatever order the sets were tried in.
func sortComplaints(cs []call.Complaint) {
	slices.SortStableFunc(cs, func(a, b call.Complaint) int {
		return cmp.Or(cmp.Compare(a.Defender, b.Defender), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Message, b.Message))
	})
}
