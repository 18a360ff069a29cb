package stress

import (
	"encoding/json"
	"math"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// sixCalls are six calls with one picture each against which every man is moved.
var sixCalls = []struct{ call, concept, set string }{{"cover 3 spot", "flood", "3x1"}, {"cover 1", "mesh", "2x2"},
	{"quarters match", "smash", "2x2"}, {"cover 2 spot", "curl-flat", "2x2"}, {"palms", "snag", "3x1"},
	{"cover 3 sky", "power", "3x1"}}

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

// feltMen is how many of the 66 men are felt today. The goal is half of them, 33, and far
// off: a man who drops to a landmark is there in time from three yards away, and a rusher's
// place does not enter a pass.
const feltMen = 5

// TestEveryManCounts moves every man of six calls three yards either way against one picture
// each, and prints for how many the picture moves by .05 points or .03 of success. Where it
// does, it goes with the drawing: a pass whose mean separation grows succeeds more often.
func TestEveryManCounts(t *testing.T) {
	params := motion.Defaults(field.HighSchool)
	men, felt, moves, agree := 0, 0, 0, 0
	for _, x := range sixCalls {
		compiled, err := call.Lookup(x.call)
		if err != nil {
			t.Fatal(err)
		}
		pl := aPlay(t, &params, x.concept, x.set)
		weigh := func(c *call.Compiled) (Value, field.Yards) {
			r := must(Weigh(t.Context(), c, &Seen{Play: pl}, Usual))
			open := 0.0
			for _, th := range r.Throws {
				open += th.Share * min(th.Separation, 6)
			}
			return r.Value, open
		}
		before, open := weigh(compiled)
		for i := range compiled.Call.Defenders {
			d := &compiled.Call.Defenders[i]
			n := 1
			if d.Side == "both" {
				n = 2
			}
			most := 0.0
			for _, by := range []field.Yards{-3, 3} {
				after, now := weigh(stepped(t, compiled.Call, i, by))
				big := max(math.Abs(after.Points-before.Points)/0.05, math.Abs(after.Success-before.Success)/0.03)
				most = max(most, big)
				if big >= 1 && len(pl.Releases) > 1 {
					moves++
					if (now-open)*(after.Success-before.Success) > 0 {
						agree++
					}
				}
				t.Logf("%s, %s: the %s by %+.0f: points %+.3f, success %+.3f, separation %+.2f", x.call, x.concept, d.Name, by,
					after.Points-before.Points, after.Success-before.Success, now-open)
			}
			men += n
			if most >= 1 {
				felt += n
			}
		}
	}
	t.Logf("%d of %d men are felt; of %d passes moved, %d in the direction of the separation", felt, men, moves, agree)
	if men != 66 || felt < feltMen {
		t.Errorf("%d of %d men are felt, want %d of 66 (the goal is 33)", felt, men, feltMen)
	}
	if 4*agree < 3*moves {
		t.Errorf("%d of %d moves go with the separation", agree, moves)
	}
}
