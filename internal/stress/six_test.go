package stress

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// A drill is a man of a call, by name, and the picture that a coach would ask about him: one
// that he is part of.
type drill struct{ man, concept, set string }

// sixCalls are six calls, and for each man the picture against which he is moved: a throw into
// his ground, or a run at his gap. Common practice, no source; chosen before any was run, from the
// calls' rules and the concepts alone.
var sixCalls = []struct {
	call string
	men  []drill
}{
	{"cover 3 spot", []drill{{"corner", "pole", "2x2"}, {"free safety", "four verticals", "2x2"},
		{"overhang", "curl-flat", "2x2"}, {"strong hook", "stick", "3x1"}, {"weak hook", "shallow cross", "2x2"},
		{"end", "power", "2x1"}, {"tackle", "dive", "2x1"}}},
	{"cover 1", []drill{{"corner", "pole", "2x2"}, {"overhang", "fade-out", "2x2"},
		{"free safety", "double post", "2x2"}, {"linebacker", "rail", "2x2"}, {"hole", "mesh", "2x2"},
		{"end", "outside zone", "2x2"}, {"tackle", "duo", "2x1"}}},
	{"quarters match", []drill{{"corner", "dig", "2x2"}, {"safety", "mills", "2x2"},
		{"overhang", "curl-flat", "2x2"}, {"middle", "rpo stick", "3x1"}, {"weak hook", "rpo slant", "2x2"},
		{"end", "power", "2x1"}, {"tackle", "trap", "2x2"}}},
	{"cover 2 spot", []drill{{"corner", "smash", "2x2"}, {"half safety", "four verticals", "2x2"},
		{"hook", "levels", "2x2"}, {"middle", "texas", "2x1"}, {"end", "counter", "2x2"},
		{"tackle", "draw", "2x2"}}},
	{"palms", []drill{{"corner", "fade-out", "2x2"}, {"safety", "out-and-up", "2x2"},
		{"overhang", "slant-flat", "2x2"}, {"middle", "stick", "3x1"}, {"weak hook", "shallow cross", "2x2"},
		{"end", "power", "2x2"}, {"tackle", "trap", "2x2"}}},
	{"cover 3 sky", []drill{{"corner", "flood", "3x1"}, {"free safety", "four verticals", "2x2"},
		{"strong overhang", "double slants", "2x2"}, {"weak overhang", "rpo slant", "2x2"},
		{"strong hook", "curl-flat", "2x2"}, {"weak hook", "y-cross", "2x2"}, {"end", "power", "2x1"},
		{"tackle", "duo", "2x1"}}},
}

// aPlay prepares a concept of the library from its set, or a run.
func aPlay(t *testing.T, params *motion.Params, concept, set string) *motion.Play {
	t.Helper()
	for _, e := range picture.Library() {
		if e.Concept != concept || e.Set != set {
			continue
		}
		p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Concept: e.Concept, Routes: e.Routes,
			Receiver: params.Receiver, Back: params.Back})
		if err != nil {
			t.Fatal(err)
		}
		return Prepare(p, params)
	}
	return aRun(t, params, set, concept)
}

// stepped is a call whose man stands so many yards further out, whatever he lines up on.
func stepped(t *testing.T, c *call.Call, man int, by field.Yards) *call.Compiled {
	t.Helper()
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	var other call.Call
	if err := json.Unmarshal(raw, &other); err != nil {
		t.Fatal(err)
	}
	for i := range other.Defenders[man].Align {
		other.Defenders[man].Align[i].Offset += by
	}
	compiled, err := call.Compile(&other)
	if err != nil {
		t.Fatal(err)
	}
	return compiled
}

// feltMen is how many of the 66 men are felt at least. On the first run of these pictures 35 were: the
// 24 linemen, and 11 of the 42 behind them. The goal is half of the 66.
const feltMen = 33

// TestEveryManCounts moves every man of six calls three yards either way against the picture of
// his own, and prints for how many it moves by .05 points or .03 of success in the direction
// that the drawing shows: of a pass, the mean separation of the throws grows where success does;
// of a run, the gap it is aimed at is emptier or its man later.
func TestEveryManCounts(t *testing.T) {
	params := motion.Defaults(field.HighSchool)
	men, felt := 0, 0
	for _, x := range sixCalls {
		compiled, err := call.Lookup(x.call)
		if err != nil {
			t.Fatal(err)
		}
		for i := range compiled.Call.Defenders {
			d := &compiled.Call.Defenders[i]
			k := slices.IndexFunc(x.men, func(m drill) bool { return m.man == d.Name })
			if k < 0 {
				t.Fatalf("%s: no picture for the %s", x.call, d.Name)
			}
			n := 1
			if d.Side == "both" {
				n = 2
			}
			if men += n; isFelt(t, compiled, i, aPlay(t, &params, x.men[k].concept, x.men[k].set), x.men[k]) {
				felt += n
			}
		}
	}
	t.Logf("%d of %d men are felt", felt, men)
	if men != 66 || felt < feltMen {
		t.Errorf("%d of %d men are felt, want %d of 66", felt, men, feltMen)
	}
}

// isFelt moves man i of a call three yards either way and says whether it is felt.
func isFelt(t *testing.T, compiled *call.Compiled, i int, pl *motion.Play, of drill) (felt bool) {
	t.Helper()
	weigh := func(c *call.Compiled) (v Value, open field.Yards) {
		r := must(Weigh(t.Context(), c, &Seen{Play: pl}, Usual))
		if pl.Picture.Family == picture.Run {
			at := r.RunAt()
			if open = at.Late; at.empty {
				open += bubble
			}
		}
		for _, th := range r.Throws {
			open += th.Share * min(th.Separation, 6)
		}
		return r.Value, open
	}
	before, was := weigh(compiled)
	for _, by := range []field.Yards{-3, 3} {
		after, now := weigh(stepped(t, compiled.Call, i, by))
		more := after.Success - before.Success
		big := math.Abs(after.Points-before.Points) >= 0.05 || math.Abs(more) >= 0.03
		felt = felt || big && (now-was)*more > 0
		t.Logf("%s, %s: the %s by %+.0f: points %+.3f, success %+.3f, open %+.2f yd", compiled.Call.Name, of.concept, of.man,
			by, after.Points-before.Points, more, now-was)
	}
	return felt
}
