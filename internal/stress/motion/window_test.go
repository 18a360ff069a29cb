package motion

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// alone is a rep of one man on a way that is given.
func alone(params *Params, tr Track, way field.Speed) *Rep {
	pl := &Play{Params: params, Picture: &picture.Picture{Family: picture.Dropback}}
	man := duty.Man{Slot: &call.Slot{Defender: &call.Defender{}}, Side: 1}
	return &Rep{Play: pl, Setup: &duty.Setup{Picture: pl.Picture, Men: []duty.Man{man}}, Tracks: []Track{tr},
		bodies: []*body{newBody(way, params.Step)}, Cover: []int{0}}
}

// standing is the way of a man who stays where he is.
func standing(at field.Point) Track {
	return Track{Pos: []field.Point{at, at}, Vel: make([]field.Point, 2), raster: raster{20, 2}}
}

// TestWindowOfOneWhoStands is the closed form: from rest he misses a throw d yards away by
// d - reach(flight - reaction) - r0, and one that is down before he reacts by d - r0.
func TestWindowOfOneWhoStands(t *testing.T) {
	t.Parallel()
	params := Defaults(field.Pro)
	rapid.Check(t, func(t *rapid.T) {
		d, by := rapid.Float64Range(0, 20).Draw(t, "yards"), rapid.Float64Range(0.1, 2.5).Draw(t, "flight")
		after, sp := rapid.Float64Range(0.1, 1).Draw(t, "reaction"), params.Speed("back")
		g := alone(&params, standing(field.Point{X: d, Y: 10}), sp)
		th := &Throw{At: field.Point{Y: 10}, Contest: field.Point{Y: 10}, Flight: by, By: by}
		from := g.Tracks[0].reacted(0, after)
		reach := 0.0
		if s := by - after; s > 0 {
			reach = sp.Max * (s - sp.Tau*(1-math.Exp(-s/sp.Tau)))
		}
		got := g.miss(0, &g.Tracks[0], &from, th.Contest, th)
		if want := d - reach - params.Contest; math.Abs(got-want) > 1e-3 {
			t.Fatalf("misses it by %v, want %v", got, want)
		}
		if gap, want := g.gap(0, &from, th), max(0, d-reach); math.Abs(gap-want) > 1e-3 {
			t.Fatalf("ends %v from the catch, want %v", gap, want)
		}
		later := g.Tracks[0].reacted(0, after+0.1)
		if g.miss(0, &g.Tracks[0], &later, th.Contest, th) < got {
			t.Fatal("who reacts later misses by less")
		}
		longer := *th
		longer.Flight, longer.By = by+0.1, by+0.1
		if g.miss(0, &g.Tracks[0], &from, th.Contest, &longer) > got {
			t.Fatal("a longer flight leaves him further off")
		}
	})
}

// TestHick: a second throw that is his costs one choice, and every doubling one more (Hyman
// 1953: a + b log2 n; published notes 3.2); to another's ball he is later, and later still
// when he runs with a receiver of his own.
func TestHick(t *testing.T) {
	t.Parallel()
	params := Defaults(field.HighSchool)
	g := alone(&params, standing(field.Point{}), params.Speed("back"))
	g.Picture.Receivers = []picture.Receiver{{Route: &picture.Route{Name: "go"}}, {Route: &picture.Route{Name: "block",
		Block: true}}}
	for _, tt := range []struct {
		owed int
		bits float64
	}{{0, 0}, {1, 0}, {2, 1}, {4, 2}, {8, 3}} {
		if mine, _ := g.late(tt.owed, nil); math.Abs(mine-params.Reaction-tt.bits*params.Choice) > 1e-12 {
			t.Errorf("%d throws are his: he breaks after %v s, want %v and %v bits of %v", tt.owed, mine, params.Reaction,
				tt.bits,
				params.Choice)
		}
	}
	for _, tt := range []struct {
		what string
		owed []duty.Duty
		line field.Yards
		want field.Seconds
	}{
		{"a zone", []duty.Duty{{Verb: call.InZone, Target: -1}}, 0, params.Late},
		{"man to man", []duty.Duty{{Verb: call.Man, Target: 0}}, 0, params.Busy},
		{"carrying", []duty.Duty{{Verb: call.Carry, Target: 0}}, 0, params.Busy},
		{"man to man with one who blocks", []duty.Duty{{Verb: call.Man, Target: 1}}, 0, params.Late},
		{"help", []duty.Duty{{Verb: call.HelpOn, Target: 0, Help: true}}, 0, params.Late},
		{"a zone at the sticks", []duty.Duty{{Verb: call.InZone, Target: -1}}, 8, params.Reaction},
		{"man to man at the sticks", []duty.Duty{{Verb: call.Man, Target: 0}}, 8, params.Busy},
	} {
		g.Play.played.Line = tt.line
		if _, others := g.late(0, tt.owed); others != tt.want {
			t.Errorf("%s: breaks on another's ball after %v s, want %v", tt.what, others, tt.want)
		}
	}
}

// TestSees: who is on top of his man sees the ball over him; who runs level with him or under
// him has his back to it; who has nobody looks at the passer (common practice, no source).
func TestSees(t *testing.T) {
	t.Parallel()
	params := Defaults(field.HighSchool)
	const deep = 10.0
	for _, tt := range []struct {
		what string
		y    field.Yards
		verb call.Verb
		want float64
	}{
		{"two yards on top", deep + onTop, call.Man, 1}, {"far on top", deep + 9, call.Carry, 1},
		{"half of that", deep + onTop/2, call.Man, 0.5}, {"level", deep, call.Man, 0}, {"under him", deep - 3, call.Read,
			0},
		{"a zone", deep, call.InZone, 1}, {"helping", deep, call.HelpOn, 1},
	} {
		g := alone(&params, standing(field.Point{Y: tt.y}), params.Speed("back"))
		g.Picture.Receivers = []picture.Receiver{{Route: &picture.Route{Name: "go"}, Path: straight(field.Point{Y: deep},
			field.Point{})}}
		target := 0
		if tt.verb == call.InZone {
			target = -1
		}
		if got := g.sees(0, 1, []duty.Duty{{Verb: tt.verb, Target: target}}); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: sees %v of it, want %v", tt.what, got, tt.want)
		}
		g.Picture.Receivers[0].Route = &picture.Route{Block: true}
		if got := g.sees(0, 1, []duty.Duty{{Verb: tt.verb, Target: target}}); got != 1 {
			t.Errorf("%s, and his man blocks: sees %v, want all", tt.what, got)
		}
	}
}

// TestNearest holds who is nearest, who next, and what is left without him against a search
// over all men; nobody is nearest when nobody covers.
func TestNearest(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		for k, live := range g.Live {
			for _, i := range live {
				missing := func(but int) (least field.Yards) {
					least = nobody
					for _, j := range g.Cover {
						if j != but {
							least = min(least, g.Window[j][i][k])
						}
					}
					return least
				}
				near := g.Nearest(i, k)
				if g.Open(i, k) != missing(-1) || g.Window[near][i][k] != g.Open(i, k) || g.Next(i, k) != missing(near) {
					t.Fatalf("threat %d, release %d: open %v, next %v; searched %v, %v", i, k, g.Open(i, k), g.Next(i, k),
						missing(-1),
						missing(near))
				}
				gap := nobody
				for _, j := range g.Cover {
					gap = min(gap, g.Gap[j][i][k])
					if g.Without(j, i, k) != missing(j) {
						t.Fatalf("without man %d: %v, want %v", j, g.Without(j, i, k), missing(j))
					}
				}
				if g.Separation(i, k) != gap {
					t.Fatalf("separation %v, want %v", g.Separation(i, k), gap)
				}
			}
		}
	})
	if n := (&Rep{Play: &Play{}}).nearest(0, 0); n.man != -1 || n.best != nobody || n.gap != nobody {
		t.Errorf("nobody covers: %+v", n)
	}
}

// TestOwed holds what a man owes at a throw against what he is told: his own at least where he
// has the receiver man to man, never more than help where he is told to help, nothing of one
// he is told nothing about and in whose zone the ball does not fall.
func TestOwed(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		for k, live := range g.Live {
			for _, j := range g.Cover {
				torn := 0
				for _, i := range live {
					if i == g.Run {
						continue
					}
					man, most := told(g, j, i, k)
					got := g.Owes(j, i, k)
					if man && got != 2 || got > most || man != g.Mans(j, i, k) && most == 2 && !man {
						t.Fatalf("%s owes %d at %d: %d; man to man %v, at most %d", g.Setup.Men[j].Slot.Name, i, k, got, man, most)
					}
					if got == 2 {
						torn++
					}
				}
				if g.Torn(j, k) != torn {
					t.Fatalf("%s is torn by %d throws, owes %d", g.Setup.Men[j].Slot.Name, g.Torn(j, k), torn)
				}
			}
		}
	})
}

// told reads what man j owes of a throw out of his duties: whether he has the receiver, and
// the most he can owe of it.
func told(g *Rep, j, i, k int) (man bool, most int) {
	for _, d := range g.Setup.Men[j].Owed(g.Releases[k]) {
		grade := 0
		switch {
		case d.Zone != nil:
			if d.Zone.Holds(g.Of(i)[k].At) {
				grade = 2
			}
		case d.Target == i && d.Verb != call.Bump:
			grade = 2
		}
		if d.Help || d.Verb == call.Squeeze {
			grade = min(grade, 1)
		}
		man = man || d.Target == i && (d.Verb == call.Man || d.Verb == call.Carry)
		most = max(most, grade)
	}
	return man, most
}

// TestArrivals: where a man is drawn when the ball comes down is as far from the catch as he
// is measured to be, and he could get there.
func TestArrivals(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		for k, live := range g.Live {
			for _, i := range live {
				if i == g.Run {
					continue
				}
				as := g.Arrivals(i, k)
				if len(as) != len(g.Cover) {
					t.Fatalf("%d men arrive of %d", len(as), len(g.Cover))
				}
				for n, a := range as {
					if a.Man != g.Cover[n] || a.Owes != g.Owes(a.Man, i, k) || a.Vel.Len() > a.Speed.Max+1e-9 {
						t.Fatalf("man %d: %+v", g.Cover[n], a)
					}
					if math.Abs(a.Distance-g.Gap[a.Man][i][k]) > 1e-3 {
						t.Fatalf("%s is drawn %v from the catch, measured %v", g.Setup.Men[a.Man].Slot.Name, a.Distance,
							g.Gap[a.Man][i][k])
					}
				}
			}
		}
	})
}

// TestScratchRemembersRight: a man who is remembered from another call runs and misses as he
// would have alone.
func TestScratchRemembersRight(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		params := levelOf(t)
		plays := []*Play{drawn(t, params), drawn(t, params)}
		var sc Scratch
		for n := range 4 {
			pl := plays[n/2]
			c := rapid.SampledFrom(call.Book()).Draw(t, "call")
			setup := duty.New(c, pl.Picture, 1, c.Call.Vertical)
			kept, fresh := NewRep(pl, setup, &sc), NewRep(pl, setup, &Scratch{})
			if !alike(kept, fresh) {
				t.Fatalf("%s, played after others, is not as it is alone", c.Call.Name)
			}
		}
		if sc.Men() == 0 {
			t.Fatal("nobody is remembered")
		}
		if sc.Forget(); sc.Men() != 0 {
			t.Fatalf("%d men are remembered after Forget", sc.Men())
		}
	})
}

// alike reports whether everything that is measured on the men who cover is the same.
func alike(g, h *Rep) bool {
	same := reflect.DeepEqual(g.Live, h.Live) && slices.Equal(g.Cover, h.Cover)
	for _, j := range g.Cover {
		same = same && slices.Equal(g.Tracks[j].Pos, h.Tracks[j].Pos) && slices.Equal(g.Tracks[j].Vel, h.Tracks[j].Vel)
		for k, live := range g.Live {
			for _, i := range live {
				same = same && g.Window[j][i][k] == h.Window[j][i][k] && g.Gap[j][i][k] == h.Gap[j][i][k] &&
					g.Owes(j, i, k) == h.Owes(j, i, k) && g.Mans(j, i, k) == h.Mans(j, i, k)
			}
			same = same && g.Torn(j, k) == h.Torn(j, k) && g.Sight(j, k) == h.Sight(j, k)
		}
	}
	return same
}

// TestRecall: who differs in anything that his way hangs on is not taken for another.
func TestRecall(t *testing.T) {
	t.Parallel()
	params := Defaults(field.HighSchool)
	man := func(change func(*duty.Man, *call.Slot, *fellows)) (duty.Man, fellows) {
		slot, near := &call.Slot{Defender: &call.Defender{Fit: "gap"}, Runs: "back"}, fellows{}
		m := duty.Man{Slot: slot, Side: 1, At: field.Point{X: 3, Y: 5}, Keys: 2, Technique: "off", Shifts: []duty.Shift{
			{Duties: []duty.Duty{{Verb: call.Man, Target: 1}}}, {From: 1, Duties: []duty.Duty{{Verb: call.Man, Target: 2}}}}}
		change(&m, slot, &near)
		return m, near
	}
	for what, change := range map[string]func(*duty.Man, *call.Slot, *fellows){
		"":          func(*duty.Man, *call.Slot, *fellows) {},
		"side":      func(m *duty.Man, _ *call.Slot, _ *fellows) { m.Side = -1 },
		"place":     func(m *duty.Man, _ *call.Slot, _ *fellows) { m.At.X = 4 },
		"keys":      func(m *duty.Man, _ *call.Slot, _ *fellows) { m.Keys = 1 },
		"technique": func(m *duty.Man, _ *call.Slot, _ *fellows) { m.Technique = "press" },
		"body":      func(_ *duty.Man, s *call.Slot, _ *fellows) { s.Runs = "back slower" },
		"run role":  func(_ *duty.Man, s *call.Slot, _ *fellows) { s.Fit = "force" },
		"a body":    func(_ *duty.Man, _ *call.Slot, f *fellows) { f[2].there = true },
		"when":      func(m *duty.Man, _ *call.Slot, _ *fellows) { m.Shifts[1].From = 1.1 },
		"whom":      func(m *duty.Man, _ *call.Slot, _ *fellows) { m.Shifts[1].Duties[0].Target = 3 },
		"how":       func(m *duty.Man, _ *call.Slot, _ *fellows) { m.Shifts[1].Duties[0].Trail = true },
		"how long":  func(m *duty.Man, _ *call.Slot, _ *fellows) { m.Shifts = m.Shifts[:1] },
	} {
		pl := &Play{Params: &params, Picture: &picture.Picture{}, frames: 4}
		var sc Scratch
		sc.open(pl)
		first, near := man(func(*duty.Man, *call.Slot, *fellows) {})
		sc.recall(&first, 0, &near)
		other, near := man(change)
		if _, fresh := sc.recall(&other, 0, &near); fresh != (what != "") {
			t.Errorf("another %q: fresh %v", what, fresh)
		}
		if _, fresh := sc.recall(&first, 4, &fellows{}); !fresh {
			t.Error("another receiver is jammed, and he is taken for the same")
		}
		zone := func(m *duty.Man, _ *call.Slot, _ *fellows) {
			m.Shifts[1].Duties = []duty.Duty{{Verb: call.InZone, Target: -1, Zone: &call.Rect{X1: 5, Y1: 10}}}
		}
		one, near := man(zone)
		reader := one
		reader.Keys = 1
		sc.recall(&one, 0, &near)
		if _, fresh := sc.recall(&reader, 0, &near); fresh {
			t.Error("a man in a zone has his eyes on the passer, and he who reads another receiver runs again")
		}
	}
}

// TestLost: whom nobody's body cost time loses no yard to bodies (0.3 yd:
// alone, his steps are cut elsewhere; design notes 6.6).
func TestLost(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		for _, j := range g.Cover {
			lost := g.men[j].lost
			if lost < 0 || lost > g.Params.Bodies.Most+g.Params.Step*coarse {
				t.Fatalf("man %d: %v s lost", j, lost)
			}
			if lost > 0 {
				continue
			}
			for k, live := range g.Live {
				for _, i := range live {
					if d := g.heldUp(j, i, k); math.Abs(d) > 0.3 {
						t.Fatalf("man %d lost no time to bodies, and %v yd", j, d)
					}
				}
			}
		}
	})
}

// TestBlock: a body slows who comes near it: wholly when it is ahead and close, not at all
// behind him or out of reach, and the more the nearer.
func TestBlock(t *testing.T) {
	t.Parallel()
	const goesRound, inTheWay = 4, 0.6
	bodies := &Bodies{Round: goesRound, Whole: inTheWay, Ahead: 0.5}
	up := field.Point{Y: 1}
	for _, tt := range []struct {
		body field.Point
		want float64
	}{
		{field.Point{Y: goesRound}, 0}, {field.Point{Y: 30}, 0}, {field.Point{Y: goesRound - inTheWay}, 1},
		{field.Point{Y: 1}, 1},
		{field.Point{Y: goesRound - inTheWay/2}, 0.5}, {field.Point{Y: -1}, 0}, {field.Point{X: 1}, 0.5},
	} {
		if got := bodies.block(tt.body, up); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("a body at %v: %v in the way, want %v", tt.body, got, tt.want)
		}
	}
}
