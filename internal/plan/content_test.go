package plan

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"overhang/internal/tags"
)

// made is a board with stresses made up by a generator: calls named a, b, ... against
// concepts run so often.
func made(r *rand.Rand, calls int, counts ...int) Board {
	b := Board{NeedYd: 6, LeftOut: map[string]int{}}
	for k, n := range counts {
		b.Concepts = append(b.Concepts, Concept{SetName: []string{"2x2", "3x1"}[k%2], Concept: string(rune('p' + k)),
			Family: "dropback", Plays: n, Routes: "P1 go"})
		b.Covered += n
	}
	b.Plays = b.Covered + 3
	for i := range calls {
		row := Row{Call: string(rune('a' + i)), Cells: []Cell{}}
		for k := range counts {
			f := Finding{Defender: "corner", ShortYd: r.Float64(), TwoWay: true}
			c := Cell{Call: row.Call, Concept: k, Stress: r.Float64(), Findings: []Finding{f}}
			c.Points = c.Stress - 0.5
			row.Cells = append(row.Cells, c)
		}
		b.weigh(&row)
		b.Rows = append(b.Rows, row)
	}
	for i := range b.Rows {
		b.Rows[i].Group = 1
	}
	b.mix(nil)
	return b
}

// ranked is a board made so, in order and in groups as Build leaves it.
func ranked(r *rand.Rand, calls int, counts ...int) Board {
	b := made(r, calls, counts...)
	slices.SortStableFunc(b.Rows, func(x, y Row) int { return int(math.Copysign(1, x.Points-y.Points)) })
	if err := b.group(context.Background(), nil); err != nil {
		panic(err)
	}
	b.mix(nil)
	return b
}

// TestPrice: by hand. Two calls, concepts run 30 and 10 times. Half and half gives
// up (0.2+0.6)/2 = 0.4 to the first and (0.9+0.1)/2 = 0.5 to the second: as observed
// (30*0.4+10*0.5)/40 = 0.425. Shares of 0.3 and 0.3 leave 0.4 open: the same.
func TestPrice(t *testing.T) {
	s := Situation{Behind: 40, Concepts: []Observed{{Plays: 30}, {Plays: 10}},
		Calls: []Predicted{{Call: "a", Against: []float64{.2, .9}}, {Call: "b", Against: []float64{.6, .1}}}}
	for _, each := range []float64{.5, .3} {
		s.Choice.Calls = []Chosen{{"a", each}, {"b", each}}
		p := s.Own()
		if math.Abs(p.Observed-.425) > 1e-12 || math.Abs(p.Worst-.5) > 1e-12 || p.WorstAt != 1 ||
			!(p.Low < .425 && .425 < p.High) {
			t.Errorf("half and half (%v each): %+v; want 0.425 observed, 0.5 against the second", each, p)
		}
	}
	s.Choice.Calls = []Chosen{{"a", 1}}
	if p := s.Own(); math.Abs(p.Observed-.375) > 1e-12 || p.Worst != .9 || p.WorstAt != 1 { // (30*0.2+10*0.9)/40
		t.Errorf("only a: %+v; want 0.375 and 0.9 against the second", p)
	}
	for _, none := range [][]Chosen{nil, {{"a", 0}}} {
		if s.Choice.Calls = none; s.Own() != nil {
			t.Errorf("%v has a price: %+v", none, s.Own())
		}
	}
	if (&Situation{Calls: []Predicted{{Call: "a", Share: 1}}}).Recommended() != nil {
		t.Error("a mix against no concept has a price")
	}
}

// TestPriceOfTheMix: the recommended mix gives up its value to what hurts it most, and no
// other mix of its calls gives up less to what hurts that one (von Neumann 1928: the value
// of a matrix game; the mix is a minimax strategy). It holds few calls, none of which is
// worse beyond doubt without a concept it is better against.
func TestPriceOfTheMix(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 9))
		b := ranked(r, 2+r.IntN(6), 20, 9, 4, 1)
		s := Take("1st and 7-10", nil, &b, false)
		if p := s.Recommended(); math.Abs(p.Worst-*s.MixValue) > 1e-9 {
			t.Fatalf("seed %d: the mix gives up %v at worst, its value is %v", seed, p.Worst, *s.MixValue)
		}
		var in []int
		for i := range b.Rows {
			if b.Rows[i].Share > 0 {
				in = append(in, i)
			}
			if b.Rows[i].Share > 0 && (b.Rows[i].For == "" || b.Rows[i].Group > 1 && !b.answers(i)) {
				t.Fatalf("seed %d: %q is in the mix for %q", seed, b.Rows[i].Call, b.Rows[i].For)
			}
		}
		if len(in) > mostCalls {
			t.Fatalf("seed %d: %d calls in the mix", seed, len(in))
		}
		if v := b.worst(in, func(i int) float64 { return b.Rows[i].Share }); math.Abs(v-*b.MixPoints) > 1e-9 {
			t.Fatalf("seed %d: the mix gives up %v points, says %v", seed, v, *b.MixPoints)
		}
		for range 20 {
			w := map[int]float64{}
			for _, i := range in {
				w[i] = r.ExpFloat64()
			}
			if v := b.worst(in, func(i int) float64 { return w[i] }); v < *b.MixPoints-1e-9 {
				t.Fatalf("seed %d: %v gives up %v at worst, less than the value %v", seed, w, v, *b.MixPoints)
			}
		}
	}
}

// worst is what a mix of rows gives up when they turn to what hurts it most.
func (b *Board) worst(in []int, share func(int) float64) float64 {
	most, sum := math.Inf(-1), 0.0
	for _, i := range in {
		sum += share(i)
	}
	for k := range b.Concepts {
		v := 0.0
		for _, i := range in {
			v += share(i) / sum * b.turned(i, k)
		}
		most = max(most, v)
	}
	return most
}

// TestMixHolds: a play more of any concept leaves the mix as good as the new one within
// two hundredths of a point.
func TestMixHolds(t *testing.T) {
	for seed := range uint64(100) {
		was := ranked(rand.New(rand.NewPCG(seed, 11)), 6, 20, 14, 9, 5)
		for k := range 4 {
			counts := []int{20, 14, 9, 5}
			counts[k]++
			is := ranked(rand.New(rand.NewPCG(seed, 11)), 6, counts...)
			share, in := map[string]float64{}, []int{}
			for i := range was.Rows {
				share[was.Rows[i].Call] = was.Rows[i].Share
			}
			for i := range is.Rows {
				in = append(in, i)
			}
			old := is.worst(in, func(i int) float64 { return share[is.Rows[i].Call] })
			if old > *is.MixPoints+0.02 {
				t.Errorf("seed %d, a play more of %d: the mix before gives up %.3f, the new one %.3f", seed, k, old, *is.MixPoints)
			}
		}
	}
}

// TestSnapshot: the snapshot of a board says what the board says, also after it was kept.
func TestSnapshot(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	b := made(r, 5, 20, 9, 4, 1)
	c := Content{Situations: []Situation{Take("RED", map[string]string{"field_zone": "RED"}, &b, true)}}
	chosen := Choice{Calls: []Chosen{{"b", 1. / 3}, {"a", .5}}, Note: "wet field"}
	if err := c.Choose([]ChoiceIn{{"RED", chosen}}); err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	back, err := Read(raw)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(c, back); diff != "" {
		t.Errorf("kept and read (-made +read):\n%s", diff)
	}
	s := &back.Situations[0]
	again := s.Board()
	if diff := cmp.Diff(b.Picks(3), again.Picks(3)); diff != "" {
		t.Errorf("picks (-board +snapshot):\n%s", diff)
	}
	if diff := cmp.Diff(b.Alerts(), again.Alerts()); diff != "" {
		t.Errorf("alerts (-board +snapshot):\n%s", diff)
	}
	if diff := cmp.Diff(b.Watch(), s.Calls[0].Watch); diff != "" || s.Calls[0].Watch == nil {
		t.Errorf("watch (-board +snapshot):\n%s", diff)
	}
	// 9 of 34: the score interval by Wilson's formula (1927), worked out apart in Python: 0.1460 to 0.4312, CALC.
	if o := s.Concepts[1]; o.Plays != 9 || math.Abs(o.Share-9./34) > 1e-12 || math.Abs(o.Low-.1460) > 5e-5 ||
		math.Abs(o.High-.4312) > 5e-5 {
		t.Errorf("9 of 34: %+v", o)
	}
	if s.Plays != 37 || s.Behind != 34 || !s.Whole || s.NeedYd != 6 {
		t.Errorf("the situation: %+v", s)
	}
}

// TestChoose: each mistake is named by its place, and then nothing is changed.
func TestChoose(t *testing.T) {
	b := made(rand.New(rand.NewPCG(2, 2)), 3, 10, 5)
	c := Content{Situations: []Situation{Take("1st", nil, &b, false), Take("2nd", nil, &b, false)}}
	ok := []ChoiceIn{{"2nd", Choice{Calls: []Chosen{{"a", .3333}, {"b", .3333}, {"c", .3334}}, Note: ""}}}
	if err := c.Choose(ok); err != nil {
		t.Fatal(err)
	}
	if got := c.Choices(); len(got) != 1 || got[0].Situation != "2nd" || len(got[0].Calls) != 3 {
		t.Errorf("choices: %+v", got)
	}
	for name, x := range map[string]struct {
		in    []ChoiceIn
		field string
	}{
		"no situation of the plan": {[]ChoiceIn{{Situation: "3rd"}}, "choices[0].situation"},
		"a situation twice":        {[]ChoiceIn{{Situation: "1st"}, {Situation: "1st"}}, "choices[1].situation"},
		"an unknown call": {[]ChoiceIn{{"1st", Choice{Calls: []Chosen{{"a", .5}, {"z", .5}}}}},
			"choices[0].calls[1].call"},
		"a call twice": {[]ChoiceIn{{"1st", Choice{Calls: []Chosen{{"a", .5}, {"a", .5}}}}},
			"choices[0].calls[1].call"},
		"a share below 0": {[]ChoiceIn{{"1st", Choice{Calls: []Chosen{{"a", -.1}}}}}, "choices[0].calls[0].share"},
		"a share that is none": {[]ChoiceIn{{"1st", Choice{Calls: []Chosen{{"a", math.NaN()}}}}},
			"choices[0].calls[0].share"},
		"shares over 1": {[]ChoiceIn{{"1st", Choice{Calls: []Chosen{{"a", .6}, {"b", .5}}}}}, "choices[0].calls"},
		"a long note":   {[]ChoiceIn{{"1st", Choice{Note: strings.Repeat("x", 2001)}}}, "choices[0].note"},
		"a NUL":         {[]ChoiceIn{{"1st", Choice{Note: "\x00"}}}, "choices[0].note"},
	} {
		e := tags.As(c.Choose(x.in))
		if e == nil || e.Kind != tags.Invalid || len(e.Fields) != 1 || e.Fields[0].Field != x.field {
			t.Errorf("%s: %+v; want %s", name, e, x.field)
		}
		if diff := cmp.Diff(ok, c.Choices()); diff != "" {
			t.Errorf("%s: the choices changed:\n%s", name, diff)
		}
	}
	if err := c.Choose(nil); err != nil || len(c.Choices()) != 0 {
		t.Errorf("nothing chosen: %v, %+v", err, c.Choices())
	}
}

// TestRefreshed: choices move to a new snapshot; one that has no place there is named.
func TestRefreshed(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	b, fewer := made(r, 3, 10, 5), made(r, 2, 12, 5)
	old := Content{Situations: []Situation{Take("1st", nil, &b, false), Take("2nd", nil, &b, false)}}
	if err := old.Choose([]ChoiceIn{{"1st", Choice{Calls: []Chosen{{"b", 1}}, Note: "n"}},
		{"2nd", Choice{Calls: []Chosen{{"c", .5}}, Note: ""}}}); err != nil {
		t.Fatal(err)
	}
	now, err := old.Refreshed(Content{Situations: []Situation{Take("2nd", nil, &b, false), Take("1st", nil, &fewer,
		false)}})
	if err != nil || now.Situations[1].Choice.Note != "n" || now.Situations[1].Behind != 17 ||
		now.Situations[0].Choice.Calls[0].Share != .5 {
		t.Errorf("refreshed: %+v, %v", now, err)
	}
	for want, fresh := range map[string]Content{
		"2nd: calls[0].call": {Situations: []Situation{Take("1st", nil, &b, false), Take("2nd", nil, &fewer, false)}},
		"2nd: situation":     {Situations: []Situation{Take("1st", nil, &b, false)}},
	} {
		_, err := old.Refreshed(fresh)
		if e := tags.As(err); e == nil || e.Kind != tags.Conflict || len(e.Fields) != 1 || e.Fields[0].Field != want {
			t.Errorf("%v; want a conflict at %s", err, want)
		}
	}
}

// TestReadRefuses: what a program could not show or review is not taken.
func TestReadRefuses(t *testing.T) {
	b := made(rand.New(rand.NewPCG(4, 4)), 2, 10, 5)
	for field, change := range map[string]func(*Content){
		"situations[1].situation":                  func(c *Content) { c.Situations = append(c.Situations, c.Situations[0]) },
		"situations[0].plays_behind":               func(c *Content) { c.Situations[0].Behind = 99 },
		"situations[0].calls[1].call":              func(c *Content) { c.Situations[0].Calls[1].Call = "a" },
		"situations[0].calls[0].stress_by_concept": func(c *Content) { c.Situations[0].Calls[0].Against = []float64{.5} },
		"situations[0].calls[0]":                   func(c *Content) { c.Situations[0].Calls[0].Against[0] = 1.5 },
		"situations[0].concepts[0].plays": func(c *Content) {
			c.Situations[0].Concepts[0].Plays = 0
			c.Situations[0].Behind = 5
		},
		"situations[0].choice.calls[0].call": func(c *Content) { c.Situations[0].Choice.Calls = []Chosen{{"z", 1}} },
	} {
		c := Content{Situations: []Situation{Take("1st", nil, &b, false)}}
		change(&c)
		raw, _ := json.Marshal(c)
		_, err := Read(raw)
		if e := tags.As(err); e == nil || e.Kind != tags.Invalid || e.Fields[0].Field != "content."+field {
			t.Errorf("%v; want content.%s", err, field)
		}
	}
	if _, err := Read(json.RawMessage(`{"situations": 7}`)); tags.As(err) == nil {
		t.Errorf("a number of situations: %v", err)
	}
	// What is missing is nothing: empty on the wire, never null but of the mix that is not there.
	bare, err := Read(json.RawMessage(`{"situations": [{"situation": "1st", "calls": [{"call": "a"}]}]}`))
	if raw, _ := json.Marshal(bare); err != nil || strings.Count(string(raw), "null") != 1 {
		t.Errorf("a bare situation: %s, %v", raw, err)
	}
}

// FuzzRead: whatever is read can be shown: priced, picked from and laid on a board,
// with shares and chances that are some.
func FuzzRead(f *testing.F) {
	for seed := range uint64(3) {
		b := made(rand.New(rand.NewPCG(seed, 6)), int(seed), []int{7, 3}[:seed%3]...)
		c := Content{Situations: []Situation{Take("1st", map[string]string{"down": "1"}, &b, false)}}
		if seed > 0 {
			c.Situations[0].Choice.Calls = []Chosen{{"a", .5}}
		}
		raw, err := json.Marshal(c)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		c, err := Read(raw)
		if err != nil {
			if tags.As(err) == nil {
				t.Errorf("an error that is ours: %v", err)
			}
			return
		}
		for i := range c.Situations {
			s := &c.Situations[i]
			for _, p := range []*Price{s.Recommended(), s.Own()} {
				if p != nil && !(p.Observed >= -slack && p.Observed <= 1+slack && p.Worst >= p.Observed-slack &&
					p.WorstAt < len(s.Concepts)) {
					t.Errorf("%s: a price of %+v", raw, p)
				}
			}
			if picks, _, _ := s.Picks(3); len(s.Choice.Calls) > 0 && len(picks) != len(s.Choice.Calls) {
				t.Errorf("%s: %d picks of %d choices", raw, len(picks), len(s.Choice.Calls))
			}
		}
		again := c
		if err := again.Choose(c.Choices()); err != nil {
			t.Errorf("%s: what was read cannot be chosen: %v", raw, err)
		}
	})
}

// TestNoMixIsNotZero: a situation without a mix, for too few plays, no concept or no call, says
// null of what the mix gives up, as its board does, and so does one that an older plan kept with 0.
func TestNoMixIsNotZero(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 1))
	full, few := ranked(r, 3, 20, 9), ranked(r, 3, 20, 9)
	few.TooFew = "too few"
	few.mix(nil)
	for name, b := range map[string]Board{"too few": few, "no call": {Concepts: full.Concepts}, "no concept": {}} {
		s := Take("1st and 7-10", nil, &b, false)
		s.remix()
		for what, x := range map[string]any{"situation": s, "board": b} {
			raw, err := json.Marshal(x)
			if err != nil || !strings.Contains(string(raw), `"mix_value":null`) ||
				strings.Contains(string(raw), `"mix_gives_up_points":0`) {
				t.Errorf("%s, the %s: %s, %v", name, what, raw, err)
			}
		}
	}
	if s := Take("1st and 7-10", nil, &full, false); s.MixValue == nil || *s.MixValue != *full.MixValue {
		t.Errorf("with a mix: %v, want %v", s.MixValue, full.MixValue)
	}
	old, err := Read([]byte(`{"situations":[{"situation":"1st and 7-10","mix_value":0,"mix_missing":"too few"}]}`))
	if err != nil || old.Situations[0].MixValue != nil {
		t.Errorf("an older plan: %v, %v", old.Situations, err)
	}
}
