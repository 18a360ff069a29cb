package call

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// manyDepths is a call whose man tells so many depths of each of three receivers apart.
func manyDepths(t *testing.T, depths int) *Compiled {
	t.Helper()
	d := Defender{Name: "nickel", Side: "strong", Align: []Align{{On: "ball", Depth: 5}}}
	for n := range 3 {
		var atoms []string
		for k := range depths {
			atoms = append(atoms, fmt.Sprintf("#%d out before %g", n+1, 1+float64(k)/4))
		}
		for part := range slices.Chunk(atoms, 10) { // as long as a condition may be
			d.Rules = append(d.Rules, Rule{strings.Join(part, " or "), "hold"})
		}
	}
	d.Rules = append(d.Rules, Rule{"trips and twins and single and empty", "hold"}, Rule{"else", "hold"})
	p, err := Compile(&Call{Name: "deep", Defenders: []Defender{d}})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestManyDepths: fifteen depths had no end. Depths that no rule tells apart count
// once; what is too much to try is named, and nothing is said of it.
func TestManyDepths(t *testing.T) {
	for depths, tried := range map[int]bool{1: true, 5: true, 15: true, 35: false} {
		p := manyDepths(t, depths)
		if _, err := p.Check(t.Context()); err != nil {
			t.Fatal(err)
		}
		if un := p.Untried(); (len(un) == 0) != tried || !tried && un[0] != "nickel" {
			t.Errorf("%d depths: not tried %v, want tried %v", depths, un, tried)
		}
	}
	for _, p := range Book() {
		if un := p.Untried(); len(un) > 0 {
			t.Errorf("built-in %s: not tried %v", p.Call.Name, un)
		}
	}
}

// TestCheckStops: nobody waits, nothing is tried.
func TestCheckStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := manyDepths(t, 15).Check(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want that it was canceled", err)
	}
}

// TestApart holds the few sights that are tried against a fine grid of depths for every
// receiver: each of its points is judged by the rules as one of the few.
func TestApart(t *testing.T) {
	for _, whens := range [][]string{
		{"#1 out before 3", "#1 in before 5 or #2 vertical", "not #2 short", "#1 out and #2 out before 4"},
		{"#2 released", "#1 deep out", "#1 stop before 2 and #2 attached", "#2 out/in before 6"},
	} {
		d := Defender{Name: "man", Side: "strong", Align: []Align{{On: "ball"}}}
		for _, w := range append(slices.Clone(whens), "else") {
			d.Rules = append(d.Rules, Rule{w, "hold"})
		}
		p, err := Compile(&Call{Name: "x", Defenders: []Defender{d}})
		if err != nil {
			t.Fatal(err)
		}
		s := &p.Slots[0]
		few, _, err := s.reach(t.Context(), p.Call)
		if err != nil {
			t.Fatal(err)
		}
		all := make([]bool, len(s.Rules))
		for _, x := range grid(p.Call.Vertical) {
			for _, y := range grid(p.Call.Vertical) {
				k := slices.IndexFunc(s.Rules, func(r CompiledRule) bool {
					return judge(&r.When, map[Who]sight{{Number: 1}: x, {Number: 2}: y}, nil, 0)
				})
				all[k] = true
			}
		}
		if !slices.Equal(few, all) {
			t.Errorf("%q: %v, on the grid %v", whens, few, all)
		}
	}
}

func grid(vertical float64) (out []sight) {
	for _, st := range []State{Undeclared, Vertical, Vertical | DeepOut, Vertical | DeepIn, Vertical | DeepStop, TurnedUp,
		Blocks, Absent, Attached | Undeclared, Attached | Vertical, Attached | Blocks} {
		out = append(out, sight{st, 0})
	}
	for d := 0.5; d < vertical; d += 0.5 {
		for _, st := range []State{OutBreak, InBreak, InBreak | Slanted, StopBreak, Attached | OutBreak,
			Attached | InBreak, Attached | InBreak | Slanted, Attached | StopBreak} {
			out = append(out, sight{st, d})
		}
	}
	return out
}

// TestBounded: what is larger than anything taught is refused by name before it is laid out.
func TestBounded(t *testing.T) {
	man := func(rules int, when string) string {
		return `{"name":"x","defenders":[{"name":"end","side":"strong","align":[{"on":"ball","offset_yd":0,"depth_yd":1}],"rules":[` +
			strings.Repeat(`{"when":"`+when+`","then":"hold"},`, rules) + `{"when":"else","then":"hold"}]}]}`
	}
	for what, raw := range map[string]string{
		"rules":      man(41, "#1 out"),
		"conditions": man(39, "#1 out or #1 in or #1 stop or #2 out"),
		"bytes":      man(1, strings.Repeat("not ", 200)+"trips"),
		"men": `{"name":"x","defenders":[` + strings.TrimSuffix(strings.Repeat(`{"name":"a","side":"both"},`, 12),
			",") + `]}`,
		"alignments": `{"name":"x","defenders":[{"name":"a","side":"weak","align":[` +
			strings.TrimSuffix(strings.Repeat(`{"on":"ball"},`, 25), ",") + `]}]}`,
		"checks": `{"name":"x","checks":[` + strings.TrimSuffix(strings.Repeat(`{"name":"a"},`, 13), ",") + `]}`,
	} {
		if _, err := Decode(strings.NewReader(raw)); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
	for _, p := range Book() {
		raw, err := p.Call.Encode()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Decode(strings.NewReader(string(raw))); err != nil {
			t.Error(err)
		}
	}
}
