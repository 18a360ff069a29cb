package stress

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
)

// The invariants of the model, by their numbers in the package documentation.

func drawPlay(t *rapid.T, params *motion.Params, left bool, e picture.Entry) *motion.Play {
	p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Left: left,
		Receiver: params.Receiver, Back: params.Back})
	if err != nil {
		t.Fatal(err)
	}
	return Prepare(p, params)
}

var standard = motion.Defaults(field.HighSchool)

func anyCase(t *rapid.T) (*call.Compiled, picture.Entry) {
	book := call.Book()
	return book[rapid.IntRange(0, len(book)-1).Draw(t, "call")], rapid.SampledFrom(picture.Library()).Draw(t, "concept")
}

// 1: left and right give the same numbers.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		compiled, e := anyCase(t)
		right, left := evaluated(compiled, drawPlay(t, &standard, false, e), Usual),
			evaluated(compiled, drawPlay(t, &standard, true, e), Usual)
		if math.Abs(right.Stress-left.Stress) > 1e-9 || len(right.Findings) != len(left.Findings) {
			t.Fatalf("stress %v and %v, %d and %d findings", right.Stress, left.Stress, len(right.Findings), len(left.Findings))
		}
		for i := range right.Findings {
			a, b := &right.Findings[i], &left.Findings[i]
			if a.Man != b.Man || a.Open != b.Open || a.Other != b.Other || math.Abs(a.Size-b.Size) > 1e-9 {
				t.Fatalf("finding %d: %+v and %+v", i, a, b)
			}
		}
	})
}

// 2 and 3: the best answer is never worse than as taught; a faster or quicker
// man, or one more, never makes it worse.
func TestBestAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		compiled, e := anyCase(t)
		r := evaluated(compiled, drawPlay(t, &standard, false, e), Usual)
		base := r.BestChoices(motion.Boost{})
		fast := r.BestChoices(motion.Boost{Speed: 1 + rapid.Float64Range(0, 0.5).Draw(t, "faster")})
		quick := r.BestChoices(motion.Boost{Reaction: -rapid.Float64Range(0, 0.25).Draw(t, "quicker")})
		more := r.BestChoices(motion.Boost{}, field.Point{X: rapid.Float64Range(-25, 25).Draw(t, "x"),
			Y: rapid.Float64Range(0, 20).Draw(t, "y")})
		for k, a := range base {
			if a.Best > a.Taught+1e-9 {
				t.Fatalf("at %.1f s best %v, taught %v", a.Release, a.Best, a.Taught)
			}
			// Positions are linear between steps: a few hundredths of a yard.
			for what, b := range map[string]BestChoice{"faster": fast[k], "quicker": quick[k], "one more": more[k]} {
				if b.Best > a.Best+0.03 {
					t.Fatalf("%s raises the best answer at %.1f s from %v to %v", what, a.Release, a.Best, b.Best)
				}
			}
		}
	})
}

// 4 and 5: bottleneck against every way to hand the threats out; a threat fewer
// never raises it.
func TestBottleneck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		men, threats := rapid.IntRange(1, 5).Draw(t, "men"), rapid.IntRange(1, 5).Draw(t, "threats")
		var frees [][]motion.Free
		for range men {
			var row []motion.Free
			for range threats {
				row = append(row, motion.Free{Miss: rapid.Float64Range(-3, 5).Draw(t, "miss"),
					Center: field.Point{X: rapid.Float64Range(-20, 20).Draw(t, "x"), Y: rapid.Float64Range(0, 30).Draw(t, "y")},
					Radius: rapid.Float64Range(0, 9).Draw(t, "r")})
			}
			frees = append(frees, row)
		}
		brute := math.Inf(1)
		ways := int(math.Pow(float64(men), float64(threats)))
		for w := range ways { // every map of threats to men
			worst, load := math.Inf(-1), make([][]int, men)
			for i, x := 0, w; i < threats; i, x = i+1, x/men {
				load[x%men] = append(load[x%men], i)
			}
			for j, ts := range load {
				switch len(ts) {
				case 0:
				case 1:
					worst = max(worst, frees[j][ts[0]].Miss)
				case 2:
					worst = max(worst, frees[j][ts[0]].Miss, frees[j][ts[1]].Miss, frees[j][ts[0]].Between(&frees[j][ts[1]]))
				default:
					worst = math.Inf(1)
				}
			}
			brute = min(brute, worst)
		}
		got := bottleneck(frees)
		if got != brute && math.Abs(got-brute) > 1e-12 {
			t.Fatalf("bottleneck = %v, every way tried = %v", got, brute)
		}
		if threats > 1 {
			fewer := make([][]motion.Free, men)
			for j := range frees {
				fewer[j] = frees[j][:threats-1]
			}
			if f := bottleneck(fewer); f > got+1e-12 {
				t.Fatalf("a threat fewer raises it from %v to %v", got, f)
			}
		}
	})
}

// 5: the best spot against a grid of spots.
func TestKappaIsBestSpot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		point := func(n string) field.Point {
			return field.Point{X: rapid.Float64Range(-12, 12).Draw(t, n+"x"), Y: rapid.Float64Range(0, 25).Draw(t, n+"y")}
		}
		a, b := point("a"), point("b")
		ra, rb := rapid.Float64Range(0, 9).Draw(t, "ra"), rapid.Float64Range(0, 9).Draw(t, "rb")
		const step = 0.25
		best := math.Inf(1)
		for x := -13.0; x <= 13; x += step {
			for y := -1.0; y <= 26; y += step {
				p := field.Point{X: x, Y: y}
				best = min(best, max(p.Dist(a)-ra, p.Dist(b)-rb))
			}
		}
		if k := motion.Between(a, ra, b, rb); k > best+1e-9 || best > k+step {
			t.Fatalf("Kappa = %v, the best spot of a %v yd grid %v", k, step, best)
		}
	})
}

// 6: halving the step changes no stress by more than 0.01 and no finding by
// more than 0.3 yd.
func TestHalfStep(t *testing.T) {
	fine := motion.Defaults(field.HighSchool)
	fine.Step = standard.Step / 2
	n, findings, moved, worstStress, worstSize := 0, 0, 0, 0.0, 0.0
	for _, e := range picture.Library() {
		var plays [2]*motion.Play
		for i, params := range []*motion.Params{&standard, &fine} {
			p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Receiver: params.Receiver,
				Back: params.Back})
			if err != nil {
				t.Fatal(err)
			}
			plays[i] = Prepare(p, params)
		}
		for _, compiled := range call.Book() {
			a, b := evaluated(compiled, plays[0], Usual), evaluated(compiled, plays[1], Usual)
			n++
			worstStress = max(worstStress, math.Abs(a.Stress-b.Stress))
			for _, x := range a.Findings {
				for _, y := range b.Findings {
					if x.Man == y.Man && x.Open == y.Open && x.Other == y.Other {
						findings++
						d := math.Abs(x.Size - y.Size)
						worstSize = max(worstSize, d)
						if d > 0.3 {
							moved++
							if *verbose {
								fmt.Printf("moved %.2f: %s / %s: %s\n", d, e.Concept, compiled.Call.Name, describe(a.Rep, &x))
							}
						}
					}
				}
			}
		}
	}
	fmt.Printf("half step: %d pairs, stress moves by at most %.4f; %d findings, by at most %.2f yd, by more than 0.3 "+
		"yd in %d\n", n, worstStress, findings, worstSize, moved)
	// Two findings of the library sit on a corner of a rule (who is nearer, which
	// spot is in a zone) and move by up to half a yard; the rest keep within 0.3.
	if worstStress > 0.01 || worstSize > 0.6 || moved > findings/200 {
		t.Errorf("halving the step moves stress by up to %.4f and a finding by up to %.2f yd (%d of %d by more than 0.3)",
			worstStress, worstSize, moved, findings)
	}
}

// 7: where every threat has an owner of his own there is no violating set, and
// two threats of one man are one (Hall 1935, by hand).
func TestHall(t *testing.T) {
	for _, tt := range []struct {
		name     string
		owners   []uint32
		set, men uint32
	}{
		{"one each", []uint32{1, 2, 4}, 0, 0},
		{"one each and help to spare", []uint32{1 | 8, 2 | 8, 4}, 0, 0},
		{"two threats, one man", []uint32{1, 1, 2}, 0b011, 1},
		{"three threats, two men", []uint32{3, 3, 3}, 0b111, 3},
		{"nobody owes one", []uint32{1, 0, 2}, 0b010, 0},
		{"no threats", nil, 0, 0},
	} {
		if s, m := violating(tt.owners); s != tt.set || m != tt.men {
			t.Errorf("%s: violating = %b owned by %b; want %b by %b", tt.name, s, m, tt.set, tt.men)
		}
	}
}

// 10: the same question gives the same bytes.
func TestSameBytes(t *testing.T) {
	say := func() []byte {
		var all []any
		for i, e := range picture.Library() {
			p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Receiver: standard.Receiver,
				Back: standard.Back})
			if err != nil {
				t.Fatal(err)
			}
			r := evaluated(call.Book()[i%len(call.Book())], Prepare(p, &standard), Usual)
			var words []string
			for k := range r.Findings {
				words = append(words, r.Sentence(&r.Findings[k]))
			}
			all = append(all, r.Findings, r.Throws, r.Stress, r.Outnumbered, words)
		}
		raw, err := json.Marshal(all)
		if err != nil {
			t.Fatal(err)
		}
		return raw
	}
	if a, b := say(), say(); string(a) != string(b) {
		t.Error("two runs differ")
	}
}

// A finding that is in the gray band is told under both readings.
func TestGrayBand(t *testing.T) {
	compiled, err := call.Lookup("quarters match") // under 5, vertical 7
	if err != nil {
		t.Fatal(err)
	}
	for depth, gray := range map[string]bool{"4": false, "6": true, "12": false} {
		p, err := picture.New(picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 out@" + depth,
			Receiver: standard.Receiver, Back: standard.Back})
		if err != nil {
			t.Fatal(err)
		}
		r := evaluated(compiled, Prepare(p, &standard), Usual)
		if got := len(r.Warnings) > 0; got != gray {
			t.Errorf("an out at %s yd: gray %v, warnings %v; want %v", depth, got, r.Warnings, gray)
		}
	}
	// Under the threshold the overhang has him, past it the safety: trade notes 3.0, 3.14 (BD-S).
	for reading, want := range map[float64]string{7: "overhang", 5: "strong safety"} {
		p, _ := picture.New(picture.Spec{Set: "2x2", Family: "dropback", Routes: "P1 go, P2 out@6",
			Receiver: standard.Receiver, Back: standard.Back})
		s := duty.New(compiled, p, 1, reading)
		if got := s.Men[duty.Owner(s, p.At(p.Play, 2))].Slot.Name; got != want {
			t.Errorf("read at %v yd an out at 6 is the %s's; want the %s's", reading, got, want)
		}
	}
}
