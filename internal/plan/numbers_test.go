package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress"
	"overhang/internal/stress/field"
	"overhang/internal/stress/points"
	"overhang/internal/tags"
)

// TestScored: means, difference and its interval by hand (CALC: came less forecast 1, -1, 3: mean 1,
// standard error sqrt((11/3 - 1)/2)); one play says nothing.
func TestScored(t *testing.T) {
	t.Parallel()
	var s scores
	s.add(1, 2)
	if s.scored() != nil {
		t.Error("one play is held against its forecast")
	}
	s.add(2, 1)
	s.add(0, 3)
	half := 1.96 * math.Sqrt((11.0/3-1)/2)
	got := s.scored()
	if got.Plays != 3 || !equal(got.Forecast, 1) || !equal(got.Came, 2) || !equal(got.Difference, 1) ||
		!equal(got.Low, 1-half) ||
		!equal(got.High, 1+half) {
		t.Errorf("%+v", got)
	}
	even := scores{[]float64{1, 2}, []float64{3, 4}}
	if x := even.scored(); x.Low != x.High || x.Low != 2 {
		t.Errorf("always off by two: %+v", x)
	}
	chance := scores{[]float64{0.9, 0.2, 0.5}, []float64{1, 0, 1}} // CALC: (.01 + .04 + .25) / 3 (Brier 1950)
	if b := chance.chances().Brier; !equal(*b, 0.1) {
		t.Errorf("Brier score %v, want .1", *b)
	}
}

// TestScoredChances: the interval of a chance is Wilson's less the forecast (Newcombe 1998, Stat. Med.
// 17:857, Table I, method 3, MEM+CALC: 0 of 20 is 0 to .1611; 1 of 29 is .0061 to .1718); that none came is
// no proof.
func TestScoredChances(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		came, of  int
		low, high float64
	}{{0, 20, 0, .1611}, {1, 29, .0061, .1718}} {
		var s scores
		for i := range tt.of {
			got := 0.0
			if i < tt.came {
				got = 1
			}
			s.add(.05, got)
		}
		x := s.chances()
		if math.Abs(x.Low+.05-tt.low) > 5e-5 || math.Abs(x.High+.05-tt.high) > 5e-5 {
			t.Errorf("%d of %d, forecast .05: %.4f to %.4f", tt.came, tt.of, x.Low, x.High)
		}
	}
	var one scores
	if one.add(.5, 1); one.chances() != nil {
		t.Error("one play is held against its forecast")
	}
}

// TestChancesHold: of 20,000 seasons drawn from forecasts of explosive plays that are right the interval
// holds 0 in 94 to 98%: by the squares it held 85 to 93% (by definition 95; Wilson's is a little
// long for chances that differ from play to play).
func TestChancesHold(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(16, 402))
	const seasons = 20000
	for _, plays := range []int{25, 60, 160} {
		held := 0
		for range seasons {
			var s scores
			for i := range plays {
				chance, got := []float64{.02, .05, .09, .16}[i%4], 0.0
				if rng.Float64() < chance {
					got = 1
				}
				s.add(chance, got)
			}
			if x := s.chances(); x.Low <= 0 && x.High >= 0 {
				held++
			}
		}
		share := 100 * float64(held) / seasons
		t.Logf("%d plays: the interval holds %.1f%%", plays, share)
		if share < 94 || share > 98 {
			t.Errorf("%d plays: the interval holds %.1f%% of right forecasts, want 94 to 98", plays, share)
		}
	}
}

// TestWon: a touchdown is worth seven less what the down was, a lost ball what the other side then
// has; nothing is said of a play whose down, distance or gain is not tagged.
func TestWon(t *testing.T) {
	t.Parallel()
	set := tags.DefaultSettings()
	table := worth(&set)
	play := func(change func(*tags.Play)) *tags.Play {
		p := &tags.Play{Down: ptr(2), DistanceYd: ptr(8), YardsToGoal: ptr(40), GainYd: ptr(5), Result: ptr("complete")}
		change(p)
		return p
	}
	before := table.Of(2, 8, 40)
	for _, tt := range []struct {
		name   string
		change func(*tags.Play)
		want   float64
	}{
		{"a gain", func(*tags.Play) {}, table.After(2, 8, 40, 5) - before},
		{"a touchdown", func(p *tags.Play) { p.Touchdown = true }, points.Touchdown - before},
		{"a touchdown, its gain not tagged", func(p *tags.Play) { p.Touchdown, p.GainYd = true, nil },
			points.Touchdown - before},
		{"intercepted", func(p *tags.Play) { p.Result = ptr("intercepted") }, table.Lost(40) - before},
		{"a fumble", func(p *tags.Play) { p.Result = ptr("fumble_lost") }, table.Lost(40) - before},
		{"no spot", func(p *tags.Play) { p.YardsToGoal = nil }, table.After(2, 8, 60, 5) - table.Of(2, 8, 60)},
		{"goal to go", func(p *tags.Play) { p.YardsToGoal = ptr(4) }, table.After(2, 4, 4, 5) - table.Of(2, 4, 4)},
	} {
		if got, known := won(play(tt.change), &set); !known || !equal(got, tt.want) {
			t.Errorf("%s: %v, %v; want %v", tt.name, got, known, tt.want)
		}
	}
	more, _ := won(play(func(p *tags.Play) { p.GainYd = ptr(9) }), &set)
	if less, _ := won(play(func(*tags.Play) {}), &set); less >= more {
		t.Errorf("nine yards are worth %v, five %v", more, less)
	}
	for what, change := range map[string]func(*tags.Play){"down": func(p *tags.Play) { p.Down = nil },
		"distance": func(p *tags.Play) { p.DistanceYd = nil }, "gain": func(p *tags.Play) { p.GainYd = nil }} {
		if _, known := won(play(change), &set); known {
			t.Errorf("no %s, and what it was worth is known", what)
		}
	}
}

// TestExploded: by the program's own yards, the boundary counts; unknown where call or gain is.
func TestExploded(t *testing.T) {
	t.Parallel()
	set := tags.Settings{ExplosiveRunYd: 10, ExplosivePassYd: 20}
	for _, tt := range []struct {
		called string
		gain   int
		want   float64
	}{{"run", 9, 0}, {"run", 10, 1}, {"pass", 19, 0}, {"pass", 20, 1}, {"run", -5, 0}} {
		if got, known := exploded(&tags.Play{Called: &tt.called, GainYd: &tt.gain}, &set); !known || got != tt.want {
			t.Errorf("a %s of %d: %v, %v", tt.called, tt.gain, got, known)
		}
	}
	for _, p := range []*tags.Play{{GainYd: ptr(30)}, {Called: ptr("run")}} {
		if _, known := exploded(p, &set); known {
			t.Errorf("%+v is known", p)
		}
	}
}

// TestUsual: down and distance together, the hash by itself, the side from that hash; what is not
// tagged counts as a play and nowhere else; of equals the first in the alphabet.
func TestUsual(t *testing.T) {
	t.Parallel()
	cell := func(n int, keys ...string) tags.Cell {
		c := tags.Cell{Plays: n}
		for _, k := range keys {
			if k == "" {
				c.Keys = append(c.Keys, nil)
			} else {
				c.Keys = append(c.Keys, &k)
			}
		}
		return c
	}
	us := Usages(tags.Tendency{Cells: []tags.Cell{
		cell(3, "2x2", "smash", "3", "7-10", "RED", "left", "right"),
		cell(2, "2x2", "smash", "1", "7-10", "", "right", "left"),
		cell(2, "2x2", "smash", "1", "7-10", "", "right", "right"),
		cell(5, "2x2", "smash", "", "7-10", "", "", "right"),
		cell(9, "3x1", "smash", "2", "1-3", "", "middle", "left"),
	}})
	if want := (Usage{"2x2", "smash", "3", "7-10", "RED", "left", "right", 3}); us[0] != want {
		t.Errorf("read as %+v, want %+v", us[0], want)
	}
	// CALC: 12 plays; 1st and 7-10 four times, 3rd three; right hash four, left three; from the right
	// hash two to each side, and "left" is first in the alphabet.
	if got, want := UsualOf(us, "2x2", "smash"), (Usual{12, "1", "7-10", 4, "right", 4, "left", 2}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got := UsualOf(us, "2x2", "mesh"); got != (Usual{}) {
		t.Errorf("never run: %+v", got)
	}
	none := UsualOf(us[3:4], "2x2", "smash") // no hash: the side from any
	if none.Hash != "" || none.Side != "right" || none.SidePlays != 5 || none.Down != "" || none.Plays != 5 {
		t.Errorf("no hash tagged: %+v", none)
	}
}

// TestSpotOn: hashes of the rule books from the middle (trade notes 5.1: a sixth of the width;
// 60 ft and 70 ft 9 in from a sideline of 160 ft).
func TestSpotOn(t *testing.T) {
	t.Parallel()
	for level, feet := range map[field.Level]float64{field.HighSchool: 160.0 / 6, field.College: 20, field.Pro: 9.25} {
		for hash, want := range map[string]float64{"left": -feet / 3, "right": feet / 3, "middle": 0, "": 0} {
			if got := SpotOn(level, hash); !equal(got.FromMiddle, want) || got.Level != level {
				t.Errorf("%v, %q: %v from the middle, want %v", level, hash, got.FromMiddle, want)
			}
		}
	}
}

// TestTermsOf: a down asks for its share of its own distance, and never more than the goal line;
// one whose distance nobody tagged asks for the situation's.
func TestTermsOf(t *testing.T) {
	t.Parallel()
	terms := Terms{stress.Usual, [3]int{40, 60, 100}}
	terms.ToGain = stress.ToGain{Need: 5, Down: 3, Distance: 5}
	for _, tt := range []struct {
		faced                 tags.Faced
		need, distance, toEnd float64
		down                  int
	}{
		{tags.Faced{Down: 1, DistanceYd: 10}, 4, 10, 0, 1}, {tags.Faced{Down: 2, DistanceYd: 10}, 6, 10, 0, 2},
		{tags.Faced{Down: 3, DistanceYd: 7}, 7, 7, 0, 3}, {tags.Faced{Down: 4, DistanceYd: 1}, 1, 1, 0, 4},
		{tags.Faced{Down: 2, DistanceYd: 7}, 5, 7, 0, 2}, // 4.2 yards is five
		{tags.Faced{Down: 3, DistanceYd: 9, YardsToGoal: 4}, 4, 4, 4, 3},
		{tags.Faced{}, 5, 5, 0, 3}, {tags.Faced{Down: 1}, 5, 5, 0, 3}, {tags.Faced{YardsToGoal: 3}, 3, 3, 3, 3},
	} {
		got := terms.of(tt.faced)
		if got.Need != tt.need || got.Distance != tt.distance || got.YardsToGoal != tt.toEnd || got.Down != tt.down {
			t.Errorf("%+v: %+v", tt.faced, got)
		}
	}
	cs := []Concept{{Faced: []tags.Faced{{Down: 1, DistanceYd: 10, Plays: 3}, {Down: 3, DistanceYd: 8, Plays: 1}}}}
	if got := terms.need(cs); got != 5 { // CALC: (3 x 4 + 8) / 4
		t.Errorf("they need %v on average, want 5", got)
	}
	if got := terms.need([]Concept{{Plays: 4}}); got != 5 {
		t.Errorf("nobody knows their downs: they need %v, want the situation's 5", got)
	}
}

// TestStretches: plays are sorted by where on the field they were, the stretch with most plays
// first, no play lost; without a down it is the whole field.
func TestStretches(t *testing.T) {
	t.Parallel()
	for yards, want := range map[int]int{0: 4, 1: 0, 5: 0, 6: 1, 10: 1, 11: 2, 20: 2, 21: 3, 30: 3, 31: 4, 99: 4} {
		if got := stretchOf(yards); got != want {
			t.Errorf("%d yards out: stretch %d, want %d", yards, got, want)
		}
	}
	terms := Terms{stress.Usual, [3]int{40, 60, 100}}
	if got := terms.stretches(&Concept{Plays: 7}); len(got) != 1 || got[0].plays != 7 || got[0].yardsToGoal != 0 {
		t.Errorf("no down is known: %+v", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		c := Concept{}
		for range rapid.IntRange(1, 12).Draw(t, "downs") {
			f := tags.Faced{Down: rapid.IntRange(1, 4).Draw(t, "down"), DistanceYd: rapid.IntRange(1, 15).Draw(t, "distance"),
				YardsToGoal: rapid.IntRange(0, 99).Draw(t, "spot"), Plays: rapid.IntRange(1, 9).Draw(t, "plays")}
			c.Faced, c.Plays = append(c.Faced, f), c.Plays+f.Plays
		}
		sum, last := 0, math.MaxInt
		for _, s := range terms.stretches(&c) {
			downs := 0.0
			for _, d := range s.downs {
				downs += d.Plays
			}
			if s.plays > last || s.plays == 0 || downs != float64(s.plays) {
				t.Fatalf("%+v", s)
			}
			sum, last = sum+s.plays, s.plays
		}
		if sum != c.Plays {
			t.Fatalf("%d plays of %d", sum, c.Plays)
		}
	})
}

// TestWords: what a run meets, what is assumed, in words; nothing of nothing.
func TestWords(t *testing.T) {
	t.Parallel()
	for want, m := range map[string]RunMeet{
		"7 in the box; the B gap is filled; nobody is the extra man.": {Gap: "B", InBox: 7, LateYd: 0.05},
		"6 in the box; the C gap is 1.3 yards late; the extra man is the free safety.": {Gap: "C", InBox: 6, LateYd: 1.26,
			Extra: "free safety"},
	} {
		if got := m.Told(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for want, c := range map[string]Concept{"": {Plays: 9}, "routes or set of 3 of 9 assumed": {Plays: 9, Assumed: 3},
		"routes or set of 9 of 9 assumed; set drawn as 2x2": {Plays: 9, Assumed: 9, Drawn: "2x2"},
		"set drawn as 3x1": {Drawn: "3x1"}} {
		if got := c.AssumedText(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for r, want := range map[*Results]float64{nil: 0, {Level: .02, With: -.05, In: .01}: -.02} {
		if got := r.lift(); !equal(got, want) {
			t.Errorf("%+v add %v, want %v", r, got, want)
		}
	}
	if (&Board{}).Opponent() != nil {
		t.Error("an empty board has results")
	}
}

// TestLimitsSaid: the limits of a call, how many calls may be in a mix, and what a share stands at.
func TestLimitsSaid(t *testing.T) {
	t.Parallel()
	at := func(call string, low, high float64) Bound { return Bound{call, &low, &high} }
	l := &Limits{Shares: []Bound{at("a", .2, .5), at("b", 0, .3), {Call: "c", AtLeast: ptr(.1)}, {Call: "d"}}}
	only := &Limits{Only: true, Shares: l.Shares}
	for _, tt := range []struct {
		l         *Limits
		call      string
		low, high float64
	}{{nil, "a", 0, 1}, {l, "a", .2, .5}, {l, "b", 0, .3}, {l, "c", .1, 1}, {l, "d", 0, 1}, {l, "other", 0, 1}, {only,
		"other", 0, 0},
		{only, "d", 0, 1}} {
		if low, high := tt.l.of(tt.call); low != tt.low || high != tt.high {
			t.Errorf("%s is called from %v to %v, want %v to %v", tt.call, low, high, tt.low, tt.high)
		}
	}
	for n, l := range map[int]*Limits{3: nil, 2: {AtMost: 2}, 1: {AtMost: 1},
		4: {AtMost: 1, Shares: []Bound{at("a", .1, 1),
			at("b", .1, 1), at("c", .1, 1), at("d", .1, 1)}}} {
		if got := l.most(); got != n {
			t.Errorf("%+v: %d calls, want %d", l, got, n)
		}
	}
	for _, tt := range []struct {
		call  string
		share float64
		want  string
	}{{"a", .2, "floor of 20%"}, {"a", .5, "ceiling of 50%"}, {"a", .3, ""}, {"b", 0, ""}, {"b", .3, "ceiling of 30%"},
		{"d", 1, ""}} {
		if got := l.held(tt.call, tt.share); got != "" && tt.want == "" || !strings.Contains(got, tt.want) {
			t.Errorf("%s at %v: %q, want %q", tt.call, tt.share, got, tt.want)
		}
	}
	for _, tt := range []struct {
		l    *Limits
		none bool
	}{{nil, true}, {&Limits{}, true}, {&Limits{Only: true}, false}, {&Limits{AtMost: 2}, false},
		{&Limits{Shares: []Bound{{}}}, false}} {
		if tt.l.none() != tt.none {
			t.Errorf("%+v asks nothing: %v", tt.l, tt.l.none())
		}
	}
}

// TestRoom: how much of the snaps the calls that may be in the mix can take together.
func TestRoom(t *testing.T) {
	t.Parallel()
	s := &Situation{Calls: []Predicted{{Call: "a"}, {Call: "b"}, {Call: "c"}, {Call: "d"}}}
	for _, tt := range []struct {
		l    Limits
		want float64
	}{
		{Limits{AtMost: 1}, 1},
		{Limits{AtMost: 1, Only: true, Shares: []Bound{{Call: "a", AtMost: ptr(.6)}, {Call: "b", AtMost: ptr(.3)}}}, .6},
		{Limits{AtMost: 2, Only: true, Shares: []Bound{{Call: "a", AtMost: ptr(.6)}, {Call: "b", AtMost: ptr(.3)}}}, .9},
		{Limits{AtMost: 1, Only: true, Shares: []Bound{{Call: "b", AtLeast: ptr(.1), AtMost: ptr(.3)}, {Call: "a",
			AtMost: ptr(.6)}}}, .3},
	} {
		if got := tt.l.room(s); !equal(got, tt.want) {
			t.Errorf("%+v: room for %v, want %v", tt.l, got, tt.want)
		}
	}
}

// TestRenamed: what was tagged by a former name is the call of today, a former name of no call is
// none.
func TestRenamed(t *testing.T) {
	t.Parallel()
	b := NewCallbook(tags.NewVocabulary(nil), []Named{{Name: "Palms"}, {Name: "sky"}, {Name: "PALMS",
		Doubts: []string{"the second"}}})
	b.Renamed(map[string]string{"Two Read": "palms", "rain": "no such call"})
	for said, want := range map[string]string{"two  read": "Palms",
		" PALMS ": "Palms", "sky": "sky", "rain": "", "no such call": ""} {
		got := b.Call(said)
		if (got == nil) != (want == "") || got != nil && (got.Name != want || got.Doubts != nil) {
			t.Errorf("%q means %+v, want %q", said, got, want)
		}
	}
}

// TestAlike: two calls whose men stand alike are wholly alike, apart by half of three yards half,
// further not at all; a man too many counts against them, whichever is named first.
func TestAlike(t *testing.T) {
	t.Parallel()
	men := func(xs ...float64) (out places) {
		for _, x := range xs {
			out = append(out, [2]field.Point{{X: x}, {X: x, Y: 9}})
		}
		return out
	}
	for _, tt := range []struct {
		a, b places
		want float64
	}{
		{nil, nil, 0}, {men(0), nil, 0}, {men(0, 10), men(0, 10), 1}, {men(0, 10), men(10, 0), 1}, {men(0), men(1.5), .5},
		{men(0), men(3), 0}, {men(0, 10), men(0, 20), .5}, {men(0, 10), men(0), .5}, {men(0, 0.3), men(0, 30), .5},
	} {
		if got := tt.a.alike(tt.b); !equal(got, tt.want) || !equal(got, tt.b.alike(tt.a)) {
			t.Errorf("%v and %v are alike by %v and %v, want %v", tt.a, tt.b, got, tt.b.alike(tt.a), tt.want)
		}
	}
	moved := places{{{X: 0}, {X: 0, Y: 9}}, {{X: 10}, {X: 16, Y: 9}}} // alike at first, apart at last
	if got := men(0, 10).alike(moved); got != .5 {
		t.Errorf("one of two ends elsewhere: alike by %v", got)
	}
}

// TestApart: how much more one call gives up than another is the other's less, as sure both ways;
// a call beside itself is nothing, and somebody is never beaten.
func TestApart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		concepts := make([]Concept, rapid.IntRange(1, 4).Draw(t, "concepts"))
		for k := range concepts {
			concepts[k].Plays = rapid.IntRange(0, 30).Draw(t, "plays")
		}
		all := make([]held, rapid.IntRange(1, 5).Draw(t, "calls"))
		for i := range all {
			for k := range concepts {
				x := rapid.Float64Range(-10, 10).Draw(t, "x")
				all[i].add(&Cell{GivesUp: GivesUp{Points: rapid.Float64Range(-1, 1).Draw(t, "points")},
					places: places{{{X: x}, {X: x}}}}, &concepts[k])
			}
		}
		a, b := &all[0], &all[len(all)-1]
		d, half := a.apart(b)
		back, same := b.apart(a)
		if math.Abs(d+back) > 1e-9 || math.Abs(half-same) > 1e-9 || half < 0 {
			t.Fatalf("%v +- %v, the other way %v +- %v", d, half, back, same)
		}
		if d, half := a.apart(a); d != 0 || half > 1e-9 {
			t.Fatalf("beside itself: %v +- %v", d, half)
		}
		if len(unbeaten(all)) == 0 {
			t.Fatal("everybody is beaten")
		}
	})
}

// TestRowValue: a row is the mean of its cells by plays; how sure, by hand (CALC for two concepts
// of 3 and 2 plays: two plays are of one concept with chance (3 x 2 + 2) / (5 x 4) = .4, at least
// 1/2 with two concepts).
func TestRowValue(t *testing.T) {
	t.Parallel()
	b := &Board{Concepts: []Concept{{Plays: 3}, {Plays: 2}}, Covered: 5}
	row := Row{Cells: []Cell{{Stress: .2, GivesUp: GivesUp{Points: .1, Explosive: .2, MeanGain: 5}},
		{Concept: 1, Stress: .7, GivesUp: GivesUp{Points: .6, Explosive: 0, MeanGain: 10}}}}
	b.weigh(&row)
	if !equal(row.Points, .3) || !equal(row.Explosive, .12) || !equal(row.MeanGain, 7) || !equal(row.Stress, .4) ||
		row.Worst != 1 {
		t.Errorf("%+v", row)
	}
	variance := (.6*.01+.4*.36-.09)/6 + (1.93*.06)*(1.93*.06)/2
	if half := 1.96 * math.Sqrt(variance); !equal(row.PointsLow, .3-half) || !equal(row.PointsHigh, .3+half) {
		t.Errorf("from %v to %v, want %v to either side", row.PointsLow, row.PointsHigh, half)
	}
	rapid.Check(t, func(t *rapid.T) {
		b, n := &Board{}, 0
		for range rapid.IntRange(1, 6).Draw(t, "concepts") {
			b.Concepts = append(b.Concepts, Concept{Plays: rapid.IntRange(1, 20).Draw(t, "plays")})
			n += b.Concepts[len(b.Concepts)-1].Plays
		}
		if e := b.evenness(float64(n)); e < 1/float64(len(b.Concepts)) || e > 1 {
			t.Fatalf("two plays are of one concept with chance %v (Simpson 1949)", e)
		}
	})
}

// TestUnknownRow: a row that was held against nothing writes null, not nothing given up.
func TestUnknownRow(t *testing.T) {
	t.Parallel()
	for _, cells := range []int{0, 1} {
		raw, err := json.Marshal(Row{Call: "a", Cells: make([]Cell, cells)})
		if err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(raw, &got); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"stress", "stress_low", "stress_high",
			"gives_up_points", "gives_up_low", "gives_up_high",
			"success", "explosive", "touchdown", "turnover", "mean_gain_yd"} {
			if v, there := got[name]; !there || (v == nil) != (cells == 0) {
				t.Errorf("%d cells: %s is %v", cells, name, v)
			}
		}
		if got["call"] != "a" {
			t.Errorf("%d cells: the call is %v", cells, got["call"])
		}
	}
}

// TestTooFew: eight plays with a picture at least, and a third of all.
func TestTooFew(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		covered, plays int
		says           string
	}{{7, 7, "8 are needed"}, {8, 8, ""}, {8, 24, ""}, {8, 25, "under a third"}, {0, 0, "8 are needed"}} {
		got := (&Board{Covered: tt.covered, Plays: tt.plays}).tooFew()
		if (got == "") != (tt.says == "") || !strings.Contains(got, tt.says) {
			t.Errorf("%d of %d: %q", tt.covered, tt.plays, got)
		}
	}
}

// TestWorst: two-way threats by how often times how short, two of a cell at most, n in all.
func TestWorst(t *testing.T) {
	t.Parallel()
	b := &Board{Concepts: []Concept{{Concept: "rare", Plays: 2}, {Concept: "usual", Plays: 10, Assumed: 4}},
		Rows: []Row{{Call: "a",
			Cells: []Cell{{Findings: []Finding{{Defender: "far", ShortYd: 6, TwoWay: true}}},
				{Concept: 1, Findings: []Finding{{Defender: "alone", ShortYd: 9}, {Defender: "near", ShortYd: 2, TwoWay: true},
					{Defender: "third", ShortYd: 9, TwoWay: true}}}}}}}
	var got []string
	for _, c := range Worst(b, 9) {
		k, f := c.At()
		got = append(got, fmt.Sprint(c.Finding.Defender, " ", c.Concept, " ", k, f, " ", c.AssumedText()))
	}
	// CALC: 10 x 2 before 2 x 6
	if want := []string{"near usual 1 1 routes or set of 4 of 10 assumed",
		"far rare 0 0 "}; !reflect.DeepEqual(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if n := len(Worst(b, 1)); n != 1 {
		t.Errorf("%d of one", n)
	}
}

// TestSpread: everything as often as it is counted, and evenly: after any part of the script each
// has had his share of it, to the half that rounding each of them moves.
func TestSpread(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		counts := rapid.SliceOfN(rapid.IntRange(0, 9), 1, 6).Draw(t, "counts")
		out, had := spread(counts), make([]int, len(counts))
		for i, k := range out {
			had[k]++
			for j := range counts {
				share := float64(counts[j]) * float64(i+1) / float64(len(out))
				if math.Abs(float64(had[j])-share) > 1+float64(counts[j])/float64(len(out))*float64(len(counts))/2 {
					t.Fatalf("%v: after %d of %v, %d had %d of %v", counts, i+1, out, j, had[j], share)
				}
			}
		}
		if !slices.Equal(had, counts) {
			t.Fatalf("%v became %v", counts, had)
		}
	})
}

// TestPeriods: what is for runs takes runs, and near the goal line only what is near it.
func TestPeriods(t *testing.T) {
	t.Parallel()
	run, pass := &Concept{Family: "run"}, &Concept{Family: "quick"}
	for of, want := range map[Kind][2]bool{Both: {true, true}, Runs: {true, false}, Passes: {false, true}} {
		p := Period{Of: of}
		if got := [2]bool{p.takes(run), p.takes(pass)}; got != want {
			t.Errorf("a period for %q takes runs and passes %v, want %v", of, got, want)
		}
	}
	for minutes, want := range map[float64]float64{0: 75, -3: 75, 40: 40, 75: 75, 3: 7} { // none under a minute
		sum := 0.0
		for _, p := range Scaled(UsualPeriods, minutes) {
			sum += p.Minutes
			if p.Minutes < 1 {
				t.Errorf("scaled to %v: %s has %v minutes", minutes, p.Name, p.Minutes)
			}
		}
		if sum != want && minutes != 3 || sum < want {
			t.Errorf("scaled to %v: %v minutes, want %v", minutes, sum, want)
		}
	}
}

// TestLeast: the call that is best against a concept, none of none.
func TestLeast(t *testing.T) {
	t.Parallel()
	gives := func(points float64) *stress.Result { return &stress.Result{Value: stress.Value{Points: points}} }
	w := &Week{Calls: []Named{{Name: "a"}, {Name: "b"}, {Name: "c"}},
		Results: [][]*stress.Result{{gives(.3), gives(-.2)}, {gives(.1), gives(0)}, {gives(.1), gives(.4)}}}
	if a, b := w.Least(0), w.Least(1); a != 1 || b != 0 {
		t.Errorf("best against the first %d, the second %d; want 1 (the first of equals) and 0", a, b)
	}
	if got := (&Week{}).Least(0); got != -1 {
		t.Errorf("without calls %d is best", got)
	}
}
