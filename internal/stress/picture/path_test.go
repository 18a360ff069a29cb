package picture

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"overhang/integration/outside"
	"overhang/internal/stress/field"
)

// drawn is a picture with everybody's speed, read or the test ends.
func drawn(t testing.TB, s Spec) *Picture {
	t.Helper()
	s.Receiver, s.Back = testSpeed, testSpeed
	p, err := New(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// running is P2 of 2x2 on a route.
func running(t testing.TB, route string) (*Picture, *Receiver) {
	t.Helper()
	p := drawn(t, Spec{Set: "2x2", Family: "dropback", Routes: "P2 " + route})
	return p, &p.Receivers[p.At(p.Play, 2)]
}

// TestRoutesOfTheTrade holds the usual routes to the depth and the way of their breaks as the
// trade has them (trade notes 1).
func TestRoutesOfTheTrade(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		route  string
		lo, hi field.Yards
		turns  []Turn
	}{
		{"hitch", 5, 6, []Turn{Stop}}, {"slant", 3, 3, []Turn{In}}, {"glance", 6, 8, []Turn{In}}, {"out", 4, 6,
			[]Turn{Out}},
		{"in", 5, 5, []Turn{In}}, {"dig", 10, 12, []Turn{In}}, {"drift", 8, 8, []Turn{In}}, {"curl", 10, 14, []Turn{Stop}},
		{"comeback", 14, 18, []Turn{Stop}}, {"corner", 10, 12, []Turn{Out}}, {"post", 8, 12, []Turn{In}},
		{"inside post", 12, 14, []Turn{In}}, {"wheel", 2, 5, []Turn{Out, Up}}, {"flat", 2, 3, []Turn{Out}},
		{"sluggo", 2.5, 3.5, []Turn{In, Up}}, {"post-corner", 8, 10, []Turn{In, Out}}, {"corner-post", 8, 10, []Turn{Out,
			In}},
		{"sail", 10, 15, []Turn{Out}}, {"go", 0, 0, nil}, {"seam", 0, 0, nil}, {"fade", 0, 0, nil},
	} {
		_, r := running(t, tt.route)
		var turns []Turn
		for i := range r.Path.Breaks {
			turns = append(turns, r.Path.Breaks[i].Turn)
		}
		if !slices.Equal(turns, tt.turns) {
			t.Errorf("%s breaks %v, want %v", tt.route, turns, tt.turns)
			continue
		}
		if r.Depth < tt.lo || r.Depth > tt.hi {
			t.Errorf("%s breaks at %v, the trade runs it at %v to %v", tt.route, r.Depth, tt.lo, tt.hi)
		}
		for i := range min(1, len(turns)) {
			b := r.Path.Breaks[i]
			slanted := r.Route.StemOut > 0 // he declares on his way
			if at := r.Path.At(b.T).Y; math.Abs(b.Depth-r.Depth) > 0.01 && !slanted || math.Abs(at-b.Depth) > 0.5 {
				t.Errorf("%s: the break is said to be at %v and run at %v, want %v", tt.route, b.Depth, at, r.Depth)
			}
		}
	}
}

// TestSprintPath: a receiver who runs straight runs as a sprinter does: Max(1-exp(-t/Tau)) and
// Max(t-Tau(1-exp(-t/Tau))) after his start (Furusawa, Hill and Parkinson 1927).
func TestSprintPath(t *testing.T) {
	t.Parallel()
	_, r := running(t, "seam")
	for at := 0.0; at < 5; at += 0.1 {
		s := max(0, at-startDelay)
		v, y := testSpeed.Max*(1-math.Exp(-s/testSpeed.Tau)), testSpeed.Reach(s)
		if got := r.Path.VelAt(at).Len(); math.Abs(got-v) > 0.1 {
			t.Errorf("after %.1f s he runs %v, want %v", at, got, v)
		}
		if got := r.Path.At(at).Dist(r.At); math.Abs(got-y) > 0.1 {
			t.Errorf("after %.1f s he has run %v yd, want %v", at, got, y)
		}
	}
}

// TestTrackedSpeeds: a professional's straight run is within what nine of ten tracked receivers
// ran, half a second after the snap and later (motion_metrics, 60 runs).
func TestTrackedSpeeds(t *testing.T) {
	t.Parallel()
	p, err := New(Spec{Set: "2x2", Family: "dropback", Routes: "P1 go", Receiver: field.Speed{Max: 8.5, Tau: 0.7}})
	if err != nil {
		t.Fatal(err)
	}
	path, seen := p.Receivers[p.At(1, 1)].Path, 0
	for _, row := range outside.Rows(t, "checks", "motion_metrics.csv") {
		word, ok := strings.CutPrefix(row[0], "WR_straight_speed_at_")
		at, err := strconv.ParseFloat(strings.TrimSuffix(word, "s"), 64)
		if !ok || err != nil || at < 0.5 {
			continue
		}
		seen++
		lo, errLo := strconv.ParseFloat(row[5], 64)
		hi, errHi := strconv.ParseFloat(row[11], 64)
		if v := path.VelAt(at).Len(); errLo != nil || errHi != nil || v < lo || v > hi {
			t.Errorf("after %v s he runs %.2f yd/s; tracked %s to %s", at, v, row[5], row[11])
		}
	}
	if seen < 5 {
		t.Errorf("%d rows were compared", seen)
	}
}

// anyone is any receiver of any concept from any hash.
func anyone(t *rapid.T) (*Picture, *Receiver) {
	e := rapid.SampledFrom(Library()).Draw(t, "concept")
	level := rapid.SampledFrom([]field.Level{field.HighSchool, field.College, field.Pro}).Draw(t, "level")
	h := level.HashSpot()
	p, err := New(Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Rest: e.Rest, Left: rapid.Bool().Draw(t, "left"),
		Receiver: testSpeed, Back: field.Speed{Max: 7.2, Tau: 0.7}, Spot: field.Spot{Level: level,
			FromMiddle: rapid.Float64Range(-h, h).Draw(t, "hash"), YardsToGoal: rapid.SampledFrom([]field.Yards{0, 2, 8,
				50}).Draw(t, "goal")}})
	if err != nil {
		t.Fatal(err)
	}
	return p, &p.Receivers[rapid.IntRange(0, len(p.Receivers)-1).Draw(t, "receiver")]
}

// TestPathsAreRun holds every path to a man: he starts where he lines up and not before the
// start, runs no faster than he can, gains speed no faster than a sprinter's Max/Tau, brakes no
// harder than the ninth in ten of tracked receivers (5.5 yd/s2, motion_metrics), and stays on
// the field.
func TestPathsAreRun(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p, r := anyone(t)
		speed := p.Runner
		if r.Back {
			speed = p.Back
		}
		if r.Path.At(0) != r.At || r.Path.At(startDelay) != r.At {
			t.Fatalf("%s is at %v and %v; he lines up at %v", r.Name, r.Path.At(0), r.Path.At(startDelay), r.At)
		}
		for i := 1; i < entries; i++ {
			v, was := r.Path.Vel[i].Len(), r.Path.Vel[i-1].Len()
			at := r.Path.Pos[i]
			switch moved := at.Dist(r.Path.Pos[i-1]); {
			case v > speed.Max+1e-9 || moved > speed.Max*Step+1e-9:
				t.Fatalf("%s runs %v yd/s, his best is %v", r.Name, max(v, moved/Step), speed.Max)
			case v-was > speed.Max/speed.Tau*Step+1e-9:
				t.Fatalf("%s gains %v yd/s in a step", r.Name, v-was)
			case was*was-v*v > 2*5.5*Step*(was+v)/2+0.25*was: // v^2/2d, and the last inch he takes at a crawl
				t.Fatalf("%s %s loses %v yd/s in a step at %.2f s", r.Name, r.Route.Name, was-v, float64(i)*Step)
			case at.X > p.Spot.Sideline(1) || at.X < -p.Spot.Sideline(-1) || at.Y > p.Spot.EndLine():
				t.Fatalf("%s is at %v, off the field", r.Name, at)
			}
		}
		if last := float64(entries) * Step; r.Path.Done < last {
			for at := r.Path.Done + Step; at < last; at += Step {
				if r.Path.At(at).Dist(r.Path.At(last)) > 1e-9 {
					t.Fatalf("%s has settled after %v s and moves after %v", r.Name, r.Path.Done, at)
				}
			}
		}
	})
}

// TestCrossesFirst: when a path crosses a depth it is there, it was not deeper before, and
// greater depths come no earlier.
func TestCrossesFirst(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		_, r := anyone(t)
		y := rapid.Float64Range(-8, 40).Draw(t, "depth")
		at := r.Path.Crosses(y)
		if r.At.Y > y && at != 0 {
			t.Fatalf("%s lines up past %v and crosses it after %v s", r.Name, y, at)
		}
		if deep := slices.MaxFunc(r.Path.Pos[:], func(a, b field.Point) int {
			return int(math.Copysign(1,
				a.Y-b.Y))
		}).Y; math.IsInf(at, 1) != (deep <= y) {
			t.Fatalf("%s comes %v deep and crosses %v after %v s", r.Name, deep, y, at)
		}
		if at > 0 && !math.IsInf(at, 1) && math.Abs(r.Path.At(at).Y-y) > 1e-6 {
			t.Fatalf("%s crosses %v at a depth of %v", r.Name, y, r.Path.At(at).Y)
		}
		for before := 0.0; before < min(at, Horizon)-1e-9; before += Step {
			if r.Path.At(before).Y > y+1e-9 {
				t.Fatalf("%s crosses %v after %v s and is past it after %v", r.Name, y, at, before)
			}
		}
		if r.Path.Crosses(y+1) < at {
			t.Fatalf("%s crosses %v after %v s and a yard more before", r.Name, y, at)
		}
	})
}

// TestPasses: two who run toward each other at constant speeds are level after gap over speed;
// who run side by side never are.
func TestPasses(t *testing.T) {
	t.Parallel()
	path := func(x, v float64) *Path {
		p := &Path{}
		for i := range p.Pos {
			p.Pos[i] = field.Point{X: x + v*float64(i)*Step}
		}
		return p
	}
	for _, tt := range []struct{ gap, v, w, want float64 }{
		{5, 1, -1.5, 2}, {5, 0, -4, 1.25}, {3, 2, 2, math.Inf(1)}, {3, -1, 1, math.Inf(1)}, {-6, -2, 2, 1.5},
	} {
		a, b := path(1, tt.v), path(1+tt.gap, tt.w)
		for _, got := range []field.Seconds{a.Passes(b), b.Passes(a)} {
			if got != tt.want && math.Abs(got-tt.want) > 1e-9 {
				t.Errorf("%v apart, running %v and %v: level after %v s, want %v", tt.gap, tt.v, tt.w, got, tt.want)
			}
		}
	}
}

// TestMirrored is the branch a route might have been: in for out, the flat of a wheel that does
// not turn up, the quick out of a fade; nothing where a route shows one thing only.
func TestMirrored(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		route string
		turns []Turn // nil: no other branch
	}{
		{"out@5", []Turn{In}}, {"dig@12", []Turn{Out}}, {"corner@12", []Turn{In}}, {"wheel@3", []Turn{Out}}, {"sluggo@3",
			[]Turn{In}},
		{"post-corner@9", []Turn{In}}, {"fade", []Turn{Out}}, {"hitch@6", nil}, {"curl@12", nil}, {"go", nil}, {"seam",
			nil},
		{"block", nil}, {"cross@11", nil},
	} {
		p, r := running(t, tt.route)
		m := p.Mirrored(r)
		if m == nil || tt.turns == nil {
			if m != nil || tt.turns != nil {
				t.Errorf("%s: another branch %v, want breaks %v", tt.route, m != nil, tt.turns)
			}
			continue
		}
		var turns []Turn
		for i := range m.Breaks {
			turns = append(turns, m.Breaks[i].Turn)
		}
		if !slices.Equal(turns, tt.turns) {
			t.Errorf("%s: the other branch breaks %v, want %v", tt.route, turns, tt.turns)
		}
		at, turn := r.Fork()
		if math.IsInf(at, 1) || turn == Straight || m.At(at-0.1).Dist(r.Path.At(at-0.1)) > 1.2 {
			t.Errorf("%s forks after %v s %v; a tenth before the branches are %v apart", tt.route, at, turn,
				m.At(at-0.1).Dist(r.Path.At(at-0.1)))
		}
		if apart := m.At(at + 1.2).Dist(r.Path.At(at + 1.2)); apart < 3 {
			t.Errorf("%s: a second after the fork the branches are %v yd apart", tt.route, apart)
		}
	}
	if _, r := running(t, "go"); !math.IsInf(first(r.Fork()), 1) {
		t.Error("a go forks")
	}
}

func first(at field.Seconds, _ Turn) field.Seconds { return at }

// TestOption: an option may break either way, and both ways are run.
func TestOption(t *testing.T) {
	t.Parallel()
	found := false
	for _, name := range RouteNames() {
		_, r := running(t, name)
		if (r.Other != nil) != r.Route.Mirror {
			t.Errorf("%s: another branch %v, an option %v", name, r.Other != nil, r.Route.Mirror)
		}
		if r.Other == nil {
			continue
		}
		found = true
		a, b := r.Path.At(4), r.Other.At(4)
		if (a.X-r.At.X)*(b.X-r.At.X) >= 0 {
			t.Errorf("%s: after four seconds both branches are on one side, %v and %v", name, a, b)
		}
	}
	if !found {
		t.Error("no route is an option")
	}
}

// TestLeft: run to the left every path is the other's image.
func TestLeft(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.SampledFrom(Library()).Draw(t, "concept")
		x := rapid.Float64Range(-8, 8).Draw(t, "hash")
		spec := Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Rest: e.Rest, Receiver: testSpeed, Back: testSpeed,
			Spot: field.Spot{Level: field.HighSchool, FromMiddle: x}}
		p, err := New(spec)
		spec.Left, spec.Spot.FromMiddle = true, -x
		q, errLeft := New(spec)
		if err != nil || errLeft != nil {
			t.Fatal(err, errLeft)
		}
		for i := range p.Receivers {
			a, b := &p.Receivers[i], &q.Receivers[i]
			if a.Name != b.Name || a.Side != -b.Side || a.Number != b.Number {
				t.Fatalf("%+v; to the left %+v", a, b)
			}
			for k := range a.Path.Pos {
				if a.Path.Pos[k].Mirror().Dist(b.Path.Pos[k]) > 1e-9 {
					t.Fatalf("%s after %v s: %v, to the left %v", a.Name, float64(k)*Step, a.Path.Pos[k], b.Path.Pos[k])
				}
			}
		}
	})
}

// TestLater: who fakes a block or checks first runs the same route later.
func TestLater(t *testing.T) {
	t.Parallel()
	_, now := running(t, "flat@2")
	_, late := running(t, "flat@2 after a fake block")
	for at := 0.0; at < 3; at += 0.1 {
		if a, b := now.Path.At(at), late.Path.At(at+0.9); a.Dist(b) > 1e-6 {
			t.Fatalf("after %.1f s: %v; who blocks first, 0.9 s later: %v", at, a, b)
		}
	}
	if late.Path.Breaks[0].T <= now.Path.Breaks[0].T || !late.Fake {
		t.Error("who blocks first breaks no later")
	}
}

// TestPathEnds: before the snap he is where he lines up, past the horizon where he ended.
func TestPathEnds(t *testing.T) {
	t.Parallel()
	_, r := running(t, "hitch@6")
	if r.Path.At(-3) != r.At || r.Path.At(Horizon+9) != r.Path.Pos[entries-1] || r.Path.VelAt(Horizon+9).Len() != 0 {
		t.Errorf("at -3 s %v, at %v s %v", r.Path.At(-3), Horizon+9, r.Path.At(Horizon+9))
	}
}
