package field

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSprintPublished: a sprinter of 8.591143 m/s and 10.588982 m/s2 (published.md 3.1, row 1:
// the package shorts, SEEN and CALC); the model's numbers are of any unit of length.
func TestSprintPublished(t *testing.T) {
	t.Parallel()
	v := Speed{Max: 8.591143, Tau: 8.591143 / 10.588982}
	for s, x := range map[Seconds]Yards{.01: .0005273, .02: .0021005, .05: .0129685} {
		if got := v.Reach(s); math.Abs(got-x) > 1e-6 {
			t.Errorf("after %v s: %v, want %v (shorts README)", s, got, x)
		}
	}
	for d, s := range map[Yards]Seconds{5: 1.210935, 10: 1.897021, 15: 2.521028, 20: 3.122008, 30: 4.299243,
		40: 5.466324} {
		if got := v.Time(d); math.Abs(got-s) > 1e-3 { // to a millisecond
			t.Errorf("%v: %v s, want %v (shorts README, fitted times)", d, got, s)
		}
	}
	v = Speed{Max: 8, Tau: 4.0 / 3}
	for d, s := range map[Yards]Seconds{5: 1.5375, 10: 2.3554, 20: 3.7535, 30: 5.0532, 40: 6.3217} {
		if got := v.Time(d); math.Abs(got-s) > 1.1e-3 {
			t.Errorf("8 and 6: %v: %v s, want %v (published.md 3.1, CALC)", d, got, s)
		}
	}
	keller := Speed{Max: 12.2 * .892, Tau: .892} // F = 12.2 m/s2, tau = .892 s: Keller 1973, MEM
	for d, s := range map[Yards]Seconds{50 * .9144: 5.090, 50: 5.485, 60 * .9144: 5.932, 60: 6.405, 100 * .9144: 9.295,
		100: 10.081} {
		if got := keller.Time(d); math.Abs(got-s) > 2e-3 {
			t.Errorf("Keller, %v m: %v s, want %v", d, got, s)
		}
	}
}

// TestSprintEdges: no time or no way is nothing, and time is the inverse of reach.
func TestSprintEdges(t *testing.T) {
	t.Parallel()
	v := Speed{Max: 8, Tau: .8}
	for _, s := range []Seconds{0, -1} {
		if v.Reach(s) != 0 || v.Drift(s) != 0 || v.Time(s) != 0 {
			t.Errorf("%v: reach %v, drift %v, time %v", s, v.Reach(s), v.Drift(s), v.Time(s))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		v := Speed{Max: rapid.Float64Range(4, 11).Draw(t, "max"), Tau: rapid.Float64Range(.1, 2).Draw(t, "tau")}
		d := rapid.Float64Range(.1, 100).Draw(t, "d")
		if back := v.Reach(v.Time(d)); math.Abs(back-d) > .001*v.Max {
			t.Fatalf("in the time for %v he runs %v", d, back)
		}
		s := rapid.Float64Range(0, 5).Draw(t, "s")
		const bit = 1e-12
		if v.Reach(s) > v.Max*s+bit || v.Reach(s+.1) <= v.Reach(s) || v.Drift(s) > v.Tau+bit || v.Drift(s) > s+bit {
			t.Fatalf("%v s: reach %v, then %v, drift %v", s, v.Reach(s), v.Reach(s+.1), v.Drift(s))
		}
	})
}

// TestPoints: what a way is, whatever the points.
func TestPoints(t *testing.T) {
	t.Parallel()
	if p := (Point{3, 4}); p.Len() != 5 || p.Dist(Point{3, 0}) != 4 || p.Dot(Point{2, 1}) != 10 ||
		p.Mirror() != (Point{-3, 4}) || p.Toward(Point{5, 4}, .5) != (Point{4, 4}) || p.AtMost(5) != p {
		t.Errorf("3 and 4: %v", p)
	}
	if z := (Point{}).AtMost(0); z != (Point{}) {
		t.Errorf("nothing, at most 0: %v", z)
	}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Point {
			return Point{rapid.Float64Range(-60, 60).Draw(t, name+".x"), rapid.Float64Range(-60, 60).Draw(t, name+".y")}
		}
		p, q, r := draw("p"), draw("q"), draw("r")
		n := rapid.Float64Range(0, 50).Draw(t, "n")
		cut := p.AtMost(n)
		switch {
		case p.Dist(q) != q.Dist(p) || p.Dist(r) > p.Dist(q)+q.Dist(r)+1e-9:
			t.Fatal("a way back is as long, a way round no shorter")
		case cut.Len() > n+1e-9 || p.Len() <= n && cut != p || math.Abs(cut.X*p.Y-cut.Y*p.X) > 1e-6 || cut.Dot(p) < 0:
			t.Fatalf("%v at most %v is %v", p, n, cut)
		case p.Toward(q, 0) != p || p.Toward(q, 1).Dist(q) > 1e-9 || math.Abs(p.Toward(q, .25).Dist(p)-p.Dist(q)/4) > 1e-9:
			t.Fatal("a share of the way is another one")
		case p.Mirror().Mirror() != p || p.Mirror().Dist(q.Mirror()) != p.Dist(q):
			t.Fatal("the mirror changes a distance")
		}
	})
}

// TestSpot: both sidelines are the width apart, and on a hash the near one is nearer by what
// the rule books say; without a spot the end line bounds nothing.
func TestSpot(t *testing.T) {
	t.Parallel()
	for _, l := range []Level{HighSchool, College, Pro} {
		for _, x := range []Yards{-l.HashSpot(), 0, l.HashSpot()} {
			s := Spot{Level: l, FromMiddle: x}
			if sum := s.Sideline(1) + s.Sideline(-1); math.Abs(sum-Width) > 1e-9 {
				t.Errorf("%v at %v: the sidelines are %v apart", l, x, sum)
			}
		}
		if near := (Spot{Level: l, FromMiddle: -l.HashSpot()}).Sideline(-1); math.Abs(near-l.Hash()) > 1e-9 {
			t.Errorf("%v: from the left hash the left sideline is %v away, want %v", l, near, l.Hash())
		}
	}
	for toGoal, want := range map[Yards]Yards{0: math.Inf(1), -3: math.Inf(1), 1: 11, 99: 109} {
		if got := (Spot{YardsToGoal: toGoal}).EndLine(); got != want {
			t.Errorf("%v to the goal line: the end line is %v away, want %v", toGoal, got, want)
		}
	}
}

// TestALevelThatIsNone is refused in words, and has no hash.
func TestALevelThatIsNone(t *testing.T) {
	t.Parallel()
	for _, s := range []string{"", "High_School", "high school", "pro", "sandlot"} {
		if l, err := ParseLevel(s); err == nil {
			t.Errorf("%q is %v", s, l)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("the zero level has a hash")
		}
	}()
	Level(0).Hash()
}
