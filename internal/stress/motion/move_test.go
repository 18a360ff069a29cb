package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// chasing is a man who counts on this speed when he cuts a receiver off.
func chasing(speed field.YardsPerSecond) *mover {
	params := &Params{Man: Man{Match: 0.4, Near: 2, Cut: 0.9, Far: 2.5}}
	return &mover{pl: &Play{Params: params}, body: &body{speed: field.Speed{Max: speed / params.Man.Cut, Tau: 0.6}}}
}

// TestInterceptMeets: who chases a receiver who has broken runs to where they meet. Speed and
// way are those of the published intercepts (he counts on a part of his speed only).
func TestInterceptMeets(t *testing.T) {
	t.Parallel()
	for _, m := range meetings {
		mv := chasing(m.speed)
		want := m.at.Add(m.v.Times(m.want)).Times(1 / m.want)
		if got := mv.intercept(field.Point{}, m.at, m.v); got.Dist(want) > 1e-6 {
			t.Errorf("at %v, running %v: he runs %v, want %v", m.at, m.v, got, want)
		}
	}
	mv := chasing(8)
	for v, after := range map[field.YardsPerSecond]field.Seconds{3: 2, -2: 1, 0: 1.25} { // 10 = (8 - v) after
		want := field.Point{X: (10 + v*after) / after}
		if got := mv.intercept(field.Point{}, field.Point{X: 10}, field.Point{X: v}); got.Dist(want) > 1e-6 {
			t.Errorf("ten yards away and running %v straight off: he runs %v, want %v", v, got, want)
		}
	}
}

// TestConstantBearing: until they meet the line of sight keeps its bearing (published notes
// 3.4), nobody is asked for more than he has, and beside his man he runs as he runs.
func TestConstantBearing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(-8, 8)
		gap := field.Point{X: r.Draw(t, "x"), Y: r.Draw(t, "y")}
		rv := field.Point{X: r.Draw(t, "vx"), Y: r.Draw(t, "vy")}.AtMost(7)
		mv := chasing(8)
		want := mv.intercept(field.Point{}, gap, rv)
		if want.Len() > mv.body.speed.Max+1e-9 {
			t.Fatalf("he is asked for %v yd/s", want.Len())
		}
		closing := want.Sub(rv) // what is left of his way, seen by the receiver
		meets := gap.Len() >= mv.pl.Params.Man.Near && want.Len() < 8+1e-9
		if turn := closing.X*gap.Y - closing.Y*gap.X; meets && math.Abs(turn) > 1e-6*gap.Len() {
			t.Fatalf("gap %v, receiver %v, he %v: the bearing turns", gap, rv, want)
		}
		if beside := mv.intercept(field.Point{}, field.Point{}, rv); beside.Dist(rv) > 1e-9 {
			t.Fatalf("on his man, who runs %v, he runs %v", rv, beside)
		}
	})
}

// TestInside: a zone is wholly a threat's well inside, not at all outside, half on its edge.
func TestInside(t *testing.T) {
	t.Parallel()
	const soft = 1.6
	zone := &call.Rect{X0: 5, X1: 15, Y0: 0, Y1: 12}
	for _, tt := range []struct {
		at   field.Point
		want float64
	}{
		{field.Point{X: 10, Y: 6}, 1}, {field.Point{X: 5, Y: 6}, 0.5}, {field.Point{X: 15, Y: 6}, 0.5},
		{field.Point{X: 10}, 0.5},
		{field.Point{X: 10, Y: 12}, 0.5}, {field.Point{X: 5 - soft, Y: 6}, 0}, {field.Point{X: 10, Y: 30}, 0},
		{field.Point{X: -10, Y: 6}, 0}, {field.Point{X: 5 + soft/2, Y: 6}, 1}, {field.Point{X: 15 + soft/4, Y: 6}, 0.25},
	} {
		if got := inside(zone, tt.at, soft); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%v: %v of it is the zone's, want %v", tt.at, got, tt.want)
		}
	}
}

// zoned plays one man with a zone of ours against a picture and returns his way.
func zoned(t *testing.T, zone call.Zone, from call.Align, spec picture.Spec) (*Rep, *call.Rect) {
	t.Helper()
	params := Defaults(field.HighSchool)
	spec.Receiver, spec.Back = params.Receiver, params.Back
	p, err := picture.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	c, err := call.Compile(&call.Call{Name: "one zone", Zones: map[string]call.Zone{"mine": zone},
		Defenders: []call.Defender{{Name: "man", Side: "strong", Body: "back", Align: []call.Align{from},
			Rules: []call.Rule{{When: "else", Then: "zone mine"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	g := NewRep(Prepare(p, &params), duty.New(c, p, 1, 7), &Scratch{})
	return g, g.Setup.Men[0].Shifts[0].Duties[0].Zone
}

// TestLandmark: a zone man whom nobody threatens drops to his landmark and stays there; where
// a family drops short he goes no deeper than that.
func TestLandmark(t *testing.T) {
	t.Parallel()
	curl := call.Zone{X0: 6, X1: 12, Y0: 4, Y1: 14, X: 9, Y: 10, Sink: 12}
	for _, tt := range []struct{ family, routes string }{{"dropback",
		"B1 go"}, {"quick", "B1 go"}, {"screen", "B1 go"}} {
		g, zone := zoned(t, curl, call.Align{On: "ball", Offset: 5, Depth: 5}, picture.Spec{Set: "2x2", Family: tt.family,
			Routes: tt.routes})
		want := field.Point{X: zone.Mark.X, Y: min(zone.Mark.Y, g.Clock.Drop)}
		if p, v := g.Tracks[0].At(g.Clock.Last + 1); p.Dist(want) > 0.75 || v.Len() > 1.5 {
			t.Errorf("%s: a second after the last release he is at %v, running %v; his landmark is %v", tt.family, p, v, want)
		}
	}
}

// TestDeepMan: a deep man is not run by: in a deep third he is deeper than the one vertical in
// it at every release, and over him the more he leans the nearer to the middle of his landmark
// and the threat (common practice, no source).
func TestDeepMan(t *testing.T) {
	t.Parallel()
	third := call.Zone{X0: 8, X1: 26, Y0: 8, Y1: 60, X: 16, Y: 15}
	for _, left := range []bool{false, true} {
		g, zone := zoned(t, third, call.Align{On: "ball", Offset: 16, Depth: 9}, picture.Spec{Set: "2x2",
			Family: "dropback",
			Routes: "P1 go", Left: left})
		go1 := g.Picture.At(g.Picture.Play, 1)
		for _, at := range g.Releases {
			p, _ := g.Tracks[0].At(at)
			if q := g.Picture.Receivers[go1].Path.At(at); p.Y < q.Y {
				t.Errorf("left %v, %.1f s: the deep man is %.1f yd deep, the go %.1f", left, at, p.Y, q.Y)
			}
			if !zone.Holds(p) {
				t.Errorf("left %v, %.1f s: he has left his zone for %v", left, at, p)
			}
		}
	}
}

// TestSink: threats past it carry an underneath man no deeper than his zone may sink, where
// there are two of them; one alone takes him with him most of the way.
func TestSink(t *testing.T) {
	t.Parallel()
	flat := call.Zone{X0: 6, X1: 26, Y0: -2, Y1: 20, X: 13, Y: 6, Sink: 8}
	deepest := func(routes string) (y field.Yards) {
		g, _ := zoned(t, flat, call.Align{On: "ball", Offset: 13, Depth: 6}, picture.Spec{Set: "2x2", Family: "dropback",
			Routes: routes})
		for _, p := range g.Tracks[0].Pos {
			y = max(y, p.Y)
		}
		return y
	}
	if y := deepest("P1 curl@14, P2 hook@14"); y > flat.Sink+0.5 {
		t.Errorf("two threats carry him %.1f yd deep; his zone sinks to %v", y, flat.Sink)
	}
	if y := deepest("P1 curl@14"); y < flat.Sink+0.5 {
		t.Errorf("one threat past his zone takes him %.1f yd deep", y)
	}
}

// TestLeverage: inside and outside are seen from the receiver's own side; without a word a man
// keeps the side he lined up on.
func TestLeverage(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		what   string
		told   int8
		him, x field.Yards
		want   float64
	}{
		{"inside of one on the right", -1, 10, 12, -1}, {"inside of one on the left", -1, -10, -12, 1},
		{"outside of one on the right", 1, 10, 8, 1}, {"outside of one on the left", 1, -10, -8, -1},
		{"to his right", 0, 10, 11, 1}, {"to his left", 0, 10, 9, -1}, {"head up", 0, 10, 10.2, 0},
	} {
		r := &picture.Receiver{At: field.Point{X: tt.him}}
		man := &Man{Beside: 0.25}
		if got := man.leverage(&duty.Duty{Leverage: tt.told}, r, field.Point{X: tt.x}); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.what, got, tt.want)
		}
	}
}

// TestGlimpse: a man sees a receiver as he was, carried on: of one who runs straight that is
// where he is, and a break is taken in from its age on in a fifth of a second.
func TestGlimpse(t *testing.T) {
	t.Parallel()
	params := Defaults(field.HighSchool)
	path := straight(field.Point{X: 10}, field.Point{Y: 6})
	path.Breaks = []picture.Break{{T: 2, Turn: picture.Out}}
	pl := &Play{Params: &params, Picture: &picture.Picture{Receivers: []picture.Receiver{{Path: path}}}}
	for _, tt := range []struct{ at, age, broke float64 }{
		{1.5, 0.1, 0}, {2.1, 0.1, 0}, {2.2, 0.1, 0.5}, {2.3, 0.1, 1}, {3, 0.1, 1}, {2.3, 0.45, 0},
	} {
		g := pl.look(0, tt.at, tt.age)
		if g.pos.Dist(path.At(tt.at)) > 1e-6 || math.Abs(g.broke-tt.broke) > 1e-6 {
			t.Errorf("at %v s, %v s old: %+v; he is at %v, broke %v", tt.at, tt.age, g, path.At(tt.at), tt.broke)
		}
	}
}
