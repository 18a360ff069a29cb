package points

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// TestAfter: what a play is worth is the next down's worth by the rules of every rule book:
// four downs, ten yards or the goal line, the ball to the others when they are used up, two
// points behind the own goal line, seven at theirs.
func TestAfter(t *testing.T) {
	t.Parallel()
	pts := Season(Settings{})
	for _, tt := range []struct {
		down                   int
		distance, toGoal, gain float64
		want                   float64
		why                    string
	}{
		{1, 10, 75, 4, pts.Of(2, 6, 71), "second and six"},
		{1, 10, 75, 10, pts.Of(1, 10, 65), "a first down"},
		{2, 6, 71, -3, pts.Of(3, 9, 74), "a loss"},
		{3, 5, 8, 5, pts.Of(1, 3, 3), "first and goal"},
		{1, 10, 12, 4, pts.Of(2, 6, 8), "second and six at the eight"},
		{3, 9, 9, 4, pts.Of(4, 5, 5), "fourth and goal"},
		{4, 2, 40, 1, pts.Lost(39), "short on fourth down"},
		{4, 2, 40, 2, pts.Of(1, 10, 38), "fourth down made"},
		{2, 10, 30, 30, Touchdown, "a touchdown"},
		{2, 10, 30, 45, Touchdown, "a touchdown, counted through the end zone"},
		{2, 10, 98, -2, -2, "a safety"},
		{4, 10, 95, -9, -2, "a safety on fourth down"},
		{3, 10, 95, -4, pts.Of(4, 14, 99), "half a yard from a safety"},
	} {
		if got := pts.After(tt.down, tt.distance, tt.toGoal, tt.gain); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%s: %v; want %v", tt.why, got, tt.want)
		}
	}
}

// TestLost: a ball is worth to us what it costs them who get it, as far from their goal line as
// we are from ours; nobody gets one off the field.
func TestLost(t *testing.T) {
	t.Parallel()
	pts := Season(Settings{})
	for y := 1.0; y <= 99; y++ {
		if got, want := pts.Lost(y), -pts.Of(1, min(10, 100-y), 100-y); got != want {
			t.Errorf("lost at the %v: %v; want %v", y, got, want)
		}
	}
	if pts.Lost(0) != pts.Lost(1) || pts.Lost(120) != pts.Lost(99) {
		t.Error("a ball is lost off the field")
	}
}

// TestSecondAndOne holds the known fault of the fit to the figures that the package tells (measured
// here, nothing outside): when the fit is put right, so are the words.
func TestSecondAndOne(t *testing.T) {
	t.Parallel()
	pts := Season(Settings{})
	least, most := math.Inf(1), math.Inf(-1)
	for y := 12.0; y <= 95; y++ {
		over := pts.Of(2, 1, y) - pts.Of(1, 10, y-1)
		least, most = min(least, over), max(most, over)
	}
	if math.Abs(least-.18) > .005 || math.Abs(most-.41) > .005 {
		t.Errorf("second and one lies %.3f to %.3f points over first and ten; the package says .18 to .41", least, most)
	}
}

// TestMoreGainIsMore: one yard more never makes a play worth less, short of the line to gain or
// past it. Over the line it does not hold (TestSecondAndOne).
func TestMoreGainIsMore(t *testing.T) {
	t.Parallel()
	pts := Season(Settings{})
	rapid.Check(t, func(t *rapid.T) {
		down := rapid.IntRange(1, 3).Draw(t, "down")
		toGoal := float64(rapid.IntRange(25, 90).Draw(t, "to goal"))
		distance := float64(rapid.IntRange(1, 15).Draw(t, "distance"))
		for gain := -5.0; gain < toGoal-21; gain++ {
			less, more := pts.After(down, distance, toGoal, gain), pts.After(down, distance, toGoal, gain+1)
			if more < less-1e-9 && gain+1 != distance {
				t.Fatalf("down %d, %v to go, %v from the goal line: %v yards are worth %v, one more %v", down, distance, toGoal,
					gain, less, more)
			}
		}
	})
}

// TestWholeYards: the table that is filled once says what is worked out, to the last digit.
func TestWholeYards(t *testing.T) {
	t.Parallel()
	pts := Season(Settings{FieldGoal: 45})
	for down := 1; down <= 4; down++ {
		for y := 1.0; y <= 99; y++ {
			for d := 1.0; d <= y; d++ {
				if got, want := pts.Of(down, d, y), pts.exactly(down, d, y); got != want {
					t.Fatalf("down %d, %v to go, %v from the goal line: %v; want %v", down, d, y, got, want)
				}
			}
		}
	}
	if got, a, b := pts.Of(2, 6.5, 50), pts.Of(2, 6, 50), pts.Of(2, 7, 50); got > a || got < b {
		t.Errorf("half a yard between %v and %v is %v", a, b, got)
	}
}

// TestLostStep: a play after which the others have the ball says the opposite of one that
// goes on, and nothing else differs.
func TestLostStep(t *testing.T) {
	t.Parallel()
	next := &Step{Down: 1, Distance: 10, YardsToGoal: 60}
	var kept, lost, ended Equations
	kept.add(&Step{Down: 2, Distance: 8, YardsToGoal: 45, Next: next})
	lost.add(&Step{Down: 2, Distance: 8, YardsToGoal: 45, Next: next, Lost: true})
	ended.add(&Step{Down: 2, Distance: 8, YardsToGoal: 45})
	for i := range terms {
		if kept.B[i] != 0 || lost.B[i] != 0 {
			t.Fatalf("a play without a score says %v, %v", kept.B[i], lost.B[i])
		}
		for j := range terms {
			if d := kept.A[i][j] + lost.A[i][j] - 2*ended.A[i][j]; math.Abs(d) > 1e-9 {
				t.Fatalf("term %d, %d: kept %v and lost %v do not lie on both sides of %v", i, j, kept.A[i][j], lost.A[i][j],
					ended.A[i][j])
			}
		}
	}
}

// TestSolve holds the elimination against gonum's.
func TestSolve(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		var e Equations
		a := mat.NewDense(terms, terms, nil)
		b := mat.NewVecDense(terms, nil)
		for i := range terms {
			e.B[i] = r.NormFloat64()
			b.SetVec(i, e.B[i])
			for j := range terms {
				e.A[i][j] = r.NormFloat64()
				a.Set(i, j, e.A[i][j])
			}
		}
		e.A[0][0] = 0 // a pivot is needed at once
		a.Set(0, 0, 0)
		var want mat.VecDense
		if err := want.SolveVec(a, b); err != nil {
			t.Fatal(err)
		}
		for i, got := range solve(e) {
			if !(math.Abs(got-want.AtVec(i)) <= 1e-8*(1+math.Abs(got))) { // no number is no solution
				t.Fatalf("unknown %d: %v; gonum %v", i, got, want.AtVec(i))
			}
		}
	}
}

// TestSplines: cubic B-splines add up to one everywhere and are never under nothing (de Boor, A
// Practical Guide to Splines, 1978, IX; from memory), a derivative is what differences say,
// and no term of a natural spline is bent at an end.
func TestSplines(t *testing.T) {
	t.Parallel()
	for _, s := range []*spline{field, fourth} {
		for y := first; y <= last; y += 0.37 {
			sum := 0.0
			for _, v := range s.values(y, 0) {
				sum += v
				if v < -1e-12 {
					t.Fatalf("at %v a spline is %v", y, v)
				}
			}
			if math.Abs(sum-1) > 1e-9 {
				t.Fatalf("at %v the splines add up to %v", y, sum)
			}
			if y < first+1 || y > last-1 {
				continue
			}
			const h = 1e-4
			lo, hi := s.values(y-h, 0), s.values(y+h, 0)
			for i, d := range s.values(y, 1) {
				if by := (hi[i] - lo[i]) / (2 * h); math.Abs(d-by) > 1e-5 {
					t.Fatalf("at %v spline %d rises by %v; differences say %v", y, i, d, by)
				}
			}
		}
		for _, y := range []float64{first, last} {
			in := math.Copysign(0.01, 50-y) // into the field
			a, b, c := s.worked(y), s.worked(y+in), s.worked(y+2*in)
			for i := range a {
				if bent := (a[i] - 2*b[i] + c[i]) / (in * in); math.Abs(bent) > 2e-3 {
					t.Errorf("term %d is bent by %v at the end %v", i, bent, y)
				}
			}
		}
		for y := 1; y <= 99; y++ {
			kept, worked := s.at(float64(y)), s.worked(float64(y))
			for i := range kept {
				if kept[i] != worked[i] {
					t.Fatalf("term %d at %d is kept as %v and worked out as %v", i, y, kept[i], worked[i])
				}
			}
		}
	}
}

// TestOwnShare: a program's plays count by how many they are beside the season's.
func TestOwnShare(t *testing.T) {
	t.Parallel()
	for n, want := range map[int]float64{0: 0, 500: 0.2, 2000: 0.5, 6000: 0.75} {
		own := make([]Step, n)
		for i := range own {
			own[i] = Step{Down: 1, Distance: 10, YardsToGoal: 50}
		}
		if got := New(own, Settings{}).Own; math.Abs(got-want) > 1e-12 {
			t.Errorf("%d plays are %v of the table; want %v", n, got, want)
		}
	}
	if a, b := New(nil, Settings{}), Season(Settings{}); a.Of(1, 10, 75) != b.Of(1, 10, 75) {
		t.Error("no plays of its own change the season's table")
	}
}
