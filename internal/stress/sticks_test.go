package stress

import (
	"math"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

// downs are one of each band in which downs are played alike, and one that is played as taught.
var downs = []ToGain{{2, 3, 2, 45}, {4, 1, 10, 55}, {5, 3, 5, 52}, {8, 3, 8, 55}, {14, 3, 14, 60}, {9, 2, 14, 58},
	{4, 1, 10, 40}}

// A play that is kept for one down never answers for another: call after call and down after
// down in one room, every number is to the last bit what it is by itself.
func TestDownsKeepApart(t *testing.T) {
	var ev Evaluator
	plays, others := libraryPlays(t, &standard), libraryPlays(t, &standard)
	for n := 0; n < len(plays); n += 12 {
		for _, c := range call.Book() {
			for _, d := range downs {
				s := Usual
				s.ToGain = d
				kept := inFull(must(ev.Evaluate(t.Context(), c, plays[n], s)))
				if alone := inFull(must(Evaluate(t.Context(), c, others[n], s))); kept != alone {
					t.Fatalf("%s against picture %d on %+v:\n%s\nby itself:\n%s", c.Call.Name, n, d, kept, alone)
				}
			}
		}
	}
}

// What is weighed over downs is the mean of each down by itself, and what is told is of the
// downs that most plays were on.
func TestDownsAreWeighedOneByOne(t *testing.T) {
	pl := libraryPlays(t, &standard)[3]
	s, sum, all := Seen{Play: pl}, 0.0, 0.0
	for n, d := range downs {
		s.Downs = append(s.Downs, Down{d, float64(n + 1)})
	}
	for _, c := range call.Book() {
		sum, all = 0, 0
		for _, d := range s.Downs {
			r := must(Weigh(t.Context(), c, &Seen{Play: pl, Downs: []Down{d}}, Usual))
			sum, all = sum+d.Plays*r.Value.Points, all+d.Plays
		}
		r := must(Weigh(t.Context(), c, &s, Usual))
		if math.Abs(r.Value.Points-sum/all) > 1e-12 {
			t.Errorf("%s gives up %v over all downs; want the mean of each by itself, %v", c.Call.Name, r.Value.Points, sum/all)
		}
		most := Usual
		most.ToGain = downs[3] // with its like 10 of 28 plays; first and ten 9
		told := must(Evaluate(t.Context(), c, pl, most))
		if got, want := len(r.Findings), len(told.Findings); got != want {
			t.Errorf("%s: %d findings are told; want the %d of the downs with most plays", c.Call.Name, got, want)
		}
	}
}

// On third and long men under the deep zones are at the line to gain when a ball comes there, and
// on third and short they are nearer than on first down to one in front of them. Common practice,
// no source.
func TestZonesPlayTheLine(t *testing.T) {
	hook := func(d ToGain) (deep field.Yards) {
		s := Usual
		s.ToGain = d
		pl := aPlay(t, &standard, "curl-flat", "2x2")
		compiled, err := call.Lookup("cover 3 spot")
		if err != nil {
			t.Fatal(err)
		}
		r := must(Evaluate(t.Context(), compiled, pl, s))
		for j := range r.Rep.Setup.Men {
			if m := &r.Rep.Setup.Men[j]; m.At.Y < 7 && !motion.Rushes(m) {
				p, _ := r.Rep.Tracks[j].At(2.5)
				deep = max(deep, p.Y)
			}
		}
		return deep
	}
	first, short, long := hook(downs[1]), hook(downs[0]), hook(downs[4])
	if short > first-1 || long < first+2 || long < 12 {
		t.Errorf("the deepest underneath man is %.1f yards deep on 3rd and 2, %.1f on first and ten, %.1f on 3rd and 14; "+
			"want him shallower by a yard, and deeper by two", short, first, long)
	}
}
