package motion

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"overhang/integration/outside"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

func number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// straight is the path of one who runs without end from a spot at a constant velocity.
func straight(from, v field.Point) *picture.Path {
	p := &picture.Path{Done: math.Inf(1)}
	for i := range p.Pos {
		p.Pos[i], p.Vel[i] = from.Add(v.Times(float64(i)*picture.Step)), v
	}
	return p
}

// meetings are published intercepts at constant velocity: pursuer at the origin with a
// speed, target at a spot with a velocity, they meet after so long (published notes 3.4, CALC).
var meetings = []struct {
	at, v field.Point
	speed field.YardsPerSecond
	want  field.Seconds
}{
	{field.Point{X: 10}, field.Point{Y: 3}, 5, 2.5},
	{field.Point{X: 12}, field.Point{Y: 5}, 13, 1},
	{field.Point{X: 8}, field.Point{Y: 6}, 10, 1},
	{field.Point{X: 3, Y: 4}, field.Point{}, 5, 1},
}

// TestFlightMeets throws the published intercepts: the ball is the pursuer.
func TestFlightMeets(t *testing.T) {
	t.Parallel()
	for _, m := range meetings {
		if got := Flight(straight(m.at, m.v), field.Point{}, 0, m.speed); math.Abs(got-m.want) > 1e-5 {
			t.Errorf("at %v, running %v: flight %v, want %v", m.at, m.v, got, m.want)
		}
		at := m.at.Add(m.v.Times(1.3)) // released later, and from elsewhere
		if got := Flight(straight(m.at, m.v), at.Sub(m.at), 1.3, m.speed); math.Abs(got-m.want) > 1e-5 {
			t.Errorf("at %v, running %v, released after 1.3 s: flight %v, want %v", m.at, m.v, got, m.want)
		}
	}
	if got := Flight(straight(field.Point{X: 2}, field.Point{}), field.Point{X: 2}, 0, 18); got != 0 {
		t.Errorf("to himself a ball flies %v s", got)
	}
}

// TestFlightTimes holds the speed of a professional's ball to 115 tracked throws: in every
// class of distance the flight is within the middle eight tenths of those measured, a frame
// of the film (0.1 s) either way.
func TestFlightTimes(t *testing.T) {
	t.Parallel()
	ball := Defaults(field.Pro).Ball
	for _, row := range outside.Rows(t, "checks", "motion_ball_flight_by_distance.csv")[1:] {
		got := number(t, row[3]) / ball
		if lo, hi := number(t, row[4])-0.1, number(t, row[6])+0.1; got < lo || got > hi {
			t.Errorf("%s yd: %.2f s in the air, measured %v to %v", row[3], got, row[4], row[6])
		}
	}
}

// TestThrows holds every throw of the library to what it says of itself: when it leaves,
// where it comes down, whether it can be thrown.
func TestThrows(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		pl := drawn(t, levelOf(t))
		checkReleases(t, pl)
		for jam := range pl.Throws {
			delay := float64(jam) * pl.Params.Jam
			for i, ths := range pl.Throws[jam] {
				r := &pl.Picture.Receivers[i]
				if (ths == nil) != r.Blocks() {
					t.Fatalf("%s: %d throws, blocks %v", r.Name, len(ths), r.Blocks())
				}
				for k := range ths {
					checkThrow(t, pl, r, &ths[k], pl.Releases[k]-delay)
				}
			}
		}
	})
}

func checkReleases(t *rapid.T, pl *Play) {
	c := pl.Clock
	if n := len(pl.Releases); pl.Releases[0] != c.First || math.Abs(pl.Releases[n-1]-c.Last) > Tick/2 {
		t.Fatalf("released from %v to %v, the family throws from %v to %v", pl.Releases[0], pl.Releases[n-1], c.First,
			c.Last)
	}
	if side := c.Passer.X * float64(pl.Picture.Play); side < 0 {
		t.Fatalf("the passer moves to %v, the play goes to %d", c.Passer, pl.Picture.Play)
	}
}

// checkThrow is one throw to a receiver who has run for t seconds when it leaves.
func checkThrow(t *rapid.T, pl *Play, r *picture.Receiver, th *Throw, at field.Seconds) {
	if miss := math.Abs(r.Path.At(at+th.Flight).Dist(pl.Clock.Passer) - pl.Params.Ball*th.Flight); miss > 1e-3 {
		t.Fatalf("%s: the ball is %v yd off after %v s", r.Name, miss, th.Flight)
	}
	if th.At.Dist(r.Path.At(at+th.Flight)) > 1e-3 {
		t.Fatalf("%s is at %v, the catch at %v", r.Name, r.Path.At(at+th.Flight), th.At)
	}
	switch need := pl.Params.Need; {
	case th.At.Y >= need && (th.Contest != th.At || th.By != th.Flight):
		t.Fatalf("%s: a catch %v deep is contested at %v after %v s", r.Name, th.At.Y, th.Contest, th.By)
	case th.At.Y < need && (th.Contest.Y != need || th.Contest.X != th.At.X || th.By <= th.Flight):
		t.Fatalf("%s: a catch %v deep is contested at %v, %v s after it", r.Name, th.At.Y, th.Contest, th.By-th.Flight)
	}
	if th.Live {
		checkLive(t, pl, r, th, at)
	}
}

func checkLive(t *rapid.T, pl *Play, r *picture.Receiver, th *Throw, at field.Seconds) {
	spot, last := pl.Picture.Spot, at+th.Flight
	edge := min(spot.Sideline(1)-th.At.X, th.At.X+spot.Sideline(-1), spot.EndLine()-th.At.Y)
	switch bs := r.Path.Breaks; {
	case edge < 0:
		t.Fatalf("%s: live and %v yd out of bounds", r.Name, -edge)
	case th.At.Dist(pl.Clock.Passer) > pl.Params.Range:
		t.Fatalf("%s: live and %v yd away", r.Name, th.At.Dist(pl.Clock.Passer))
	case pl.Clock.Limit != 0 && th.At.Y > pl.Clock.Limit:
		t.Fatalf("%s: live and %v yd deep, the family throws %v", r.Name, th.At.Y, pl.Clock.Limit)
	case len(bs) == 0 && th.At.Y < pl.Clock.Deep:
		t.Fatalf("%s: no break, and live %v yd deep", r.Name, th.At.Y)
	case len(bs) > 0 && (at < bs[len(bs)-1].T-pl.Params.Before || last < bs[len(bs)-1].T+pl.Params.After):
		t.Fatalf("%s: thrown at %v, caught at %v, breaks at %v", r.Name, at, last, bs[len(bs)-1].T)
	}
}

// TestLive puts a throw on both sides of every bound of what can be thrown.
func TestLive(t *testing.T) {
	t.Parallel()
	const release, flight = 2.0, 0.8
	params := Params{Range: 45, Before: 1, After: 0.2, Edge: 0.5, Past: 6}
	spot := field.Spot{Level: field.HighSchool, YardsToGoal: 15}
	side, end := field.Width/2-0.5, 15+field.EndZone-0.5
	clock := Clock{Passer: field.Point{Y: -6}, Deep: 15, Limit: 30}
	for _, tt := range []struct {
		what   string
		at     field.Point
		breaks []picture.Break
		stem   field.Seconds
		want   bool
	}{
		{"a dig", field.Point{X: 4, Y: 12}, []picture.Break{{T: 2.2, Turn: picture.In}}, 1, true},
		{"at the sideline", field.Point{X: side, Y: 5}, []picture.Break{{T: 2.2}}, 1, true},
		{"out of bounds", field.Point{X: side + 0.1, Y: 5}, []picture.Break{{T: 2.2}}, 1, false},
		{"out on the other side", field.Point{X: -side - 0.1, Y: 5}, []picture.Break{{T: 2.2}}, 1, false},
		{"at the end line", field.Point{Y: end}, nil, 0, true},
		{"past the end line", field.Point{Y: end + 0.01}, nil, 0, false},
		{"no break, deep enough", field.Point{Y: clock.Deep}, nil, 0, true},
		{"no break, too short", field.Point{Y: clock.Deep - 0.1}, nil, 0, false},
		{"caught just after the break", field.Point{Y: 9}, []picture.Break{{T: release + flight - params.After - 1e-9}}, 1,
			true},
		{"caught in the break", field.Point{Y: 9}, []picture.Break{{T: release + flight - params.After + 1e-6}}, 1, false},
		{"only the last break counts", field.Point{Y: 9}, []picture.Break{{T: 1}, {T: 5}}, 1, false},
		{"up, once he is past", field.Point{Y: 6}, []picture.Break{{T: 1, Turn: picture.Up}}, 0, true},
		{"up, before", field.Point{Y: 5.9}, []picture.Break{{T: 1, Turn: picture.Up}}, 0, false},
		{"still on his slant", field.Point{Y: 9}, []picture.Break{{T: 1}}, release + flight + 0.1, false},
	} {
		pl := &Play{Params: &params, Clock: clock, Picture: &picture.Picture{Spot: spot}}
		th := Throw{At: tt.at, Flight: flight}
		if got := pl.live(&picture.Path{Breaks: tt.breaks, Stem: tt.stem}, release, th); got != tt.want {
			t.Errorf("%s: live %v, want %v", tt.what, got, tt.want)
		}
	}
	pl := &Play{Params: &params, Clock: Clock{Deep: 15},
		Picture: &picture.Picture{Spot: field.Spot{Level: field.HighSchool}}}
	long := Throw{At: field.Point{Y: 45.1}, Flight: 2.5}
	if pl.live(&picture.Path{}, release, long) {
		t.Error("a throw past his range is live")
	}
	if long.At.Y = 45; !pl.live(&picture.Path{}, release, long) {
		t.Error("a throw within his range, and an unknown goal line, is not live")
	}
	pl.Clock.Limit = 44
	if pl.live(&picture.Path{}, release, long) {
		t.Error("a throw deeper than the family throws is live")
	}
	pl.Clock.Limit, long.Flight = 0, 3 // a ball long in the air, thrown more than a second before the break
	if pl.live(&picture.Path{Breaks: []picture.Break{{T: release + params.Before + 0.1}}}, release, long) {
		t.Error("a throw longer before the break than passers throw is live")
	}
}

// TestRunThrows: a run is a threat from the mesh on, and only where there is one; it is
// never thrown to where a receiver would catch it.
func TestRunThrows(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		pl := drawn(t, levelOf(t))
		for k, th := range pl.run {
			if th.Live != (pl.Clock.Mesh > 0) {
				t.Fatalf("%v: the run is live: %v", pl.Picture.Family, th.Live)
			}
			if th.Live && (th.Flight <= 0 || k > 0 && pl.Releases[k]+th.Flight < pl.Releases[k-1]+pl.run[k-1].Flight-1e-9) {
				t.Fatalf("release %v: the runner is there after %v s", pl.Releases[k], th.Flight)
			}
		}
		if pl.Picture.Family == picture.Run {
			for i, ths := range pl.Throws[0] {
				for k := range ths {
					if ths[k].Live {
						t.Fatalf("a run throws to receiver %d", i)
					}
				}
			}
		}
	})
}

// TestMeeting: men whose receivers come together do so both ways, nobody with himself, and
// at some moment they are near.
func TestMeeting(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		pl := drawn(t, levelOf(t))
		for a := range pl.Picture.Receivers {
			for b := range pl.Picture.Receivers {
				met := pl.meet[a]>>b&1 == 1
				if met != (pl.meet[b]>>a&1 == 1) || met && a == b {
					t.Fatalf("%d meets %d: %v; the other way %v", a, b, met, pl.meet[b]>>a&1 == 1)
				}
				near := nobody
				for at := 0.0; at <= pl.Clock.Last; at += 0.01 {
					near = min(near, pl.Picture.Receivers[a].Path.At(at).Dist(pl.Picture.Receivers[b].Path.At(at)))
				}
				if met && near > pl.Params.Bodies.Together {
					t.Fatalf("%d and %d meet and are never nearer than %v yd", a, b, near)
				}
			}
		}
	})
}

// TestAnswered: a hitch under press becomes a fade (trade notes 1; common practice); a second
// question gets the same play, and a look that no route answers to gets none.
func TestAnswered(t *testing.T) {
	t.Parallel()
	params := Defaults(field.HighSchool)
	p, err := picture.New(picture.Spec{Set: "2x2", Family: "quick", Routes: "P1 hitch@6, P2 flat@2",
		Receiver: params.Receiver,
		Back:     params.Back})
	if err != nil {
		t.Fatal(err)
	}
	pl, hitch := Prepare(p, &params), p.At(p.Play, 1)
	pressed := pl.Answered(picture.Look{Press: 1 << hitch})
	if pressed == nil || pressed.Picture.Receivers[hitch].Route.Name != "fade" {
		t.Fatalf("pressed: %v", pressed)
	}
	if again := pl.Answered(picture.Look{Press: 1<<hitch | 1<<p.At(p.Play, 2)}); again != pressed {
		t.Error("a press on a route that has no answer made another play")
	}
	if nobody := pl.Answered(picture.Look{}); nobody != nil {
		t.Errorf("nobody is pressed, and they run %v", nobody.Picture)
	}
	if late := pl.On(3, 3).Answered(picture.Look{Press: 1 << hitch}); late == nil || late.Band != pl.On(3, 3).Band {
		t.Error("on a third and short the answer is not played as the down is")
	}
}
