package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"overhang/integration/outside"
	"overhang/internal/stress/call"
	"overhang/internal/stress/duty"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

var levels = []field.Level{field.HighSchool, field.College, field.Pro}

// drawn is any concept of the library, run to either side from any hash.
func drawn(t *rapid.T, params *Params) *Play {
	e := rapid.SampledFrom(picture.Library()).Draw(t, "concept")
	h := params.Level.HashSpot()
	p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Rest: e.Rest,
		Left: rapid.Bool().Draw(t, "left"), Receiver: params.Receiver, Back: params.Back,
		Spot: field.Spot{Level: params.Level, FromMiddle: rapid.Float64Range(-h, h).Draw(t, "hash"),
			YardsToGoal: rapid.SampledFrom([]field.Yards{0, 3, 12, 60}).Draw(t, "to the goal")}})
	if err != nil {
		t.Fatal(err)
	}
	return Prepare(p, params)
}

// played is any call of the book against it.
func played(t *rapid.T, pl *Play, sc *Scratch) *Rep {
	c := rapid.SampledFrom(call.Book()).Draw(t, "call")
	return NewRep(pl, duty.New(c, pl.Picture, 1, c.Call.Vertical), sc)
}

func levelOf(t *rapid.T) *Params {
	params := Defaults(rapid.SampledFrom(levels).Draw(t, "level"))
	return &params
}

// TestReachDisc holds every man of every call to the sprint he has: from (p, v) he gets in s
// seconds no further than Max(s - Tau(1-exp(-s/Tau))) from where momentum carries him, and
// his velocity changes by no more than Max(1-exp(-s/Tau)) (Furusawa, Hill and Parkinson 1927;
// v' = (u-v)/Tau solved for |u| <= Max). So nobody stops, starts or turns faster than that.
func TestReachDisc(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		span := rapid.IntRange(1, 25).Draw(t, "frames")
		for _, j := range g.Cover {
			tr, sp := &g.Tracks[j], g.bodies[j].speed
			if tr.Pos[0] != g.Setup.Men[j].At || tr.Vel[0] != (field.Point{}) {
				t.Fatalf("%s is at %v, running %v, at the snap; he lines up at %v", g.Setup.Men[j].Slot.Name, tr.Pos[0],
					tr.Vel[0], g.Setup.Men[j].At)
			}
			for i := range tr.Pos {
				if v := tr.Vel[i].Len(); v > sp.Max+1e-9 {
					t.Fatalf("%s runs %v yd/s, his best is %v", g.Setup.Men[j].Slot.Name, v, sp.Max)
				}
				if i < span {
					continue
				}
				at, _ := g.time(i)
				from, _ := g.time(i - span)
				s, kept := at-from, math.Exp(-(at-from)/sp.Tau)
				p, v := tr.Pos[i-span], tr.Vel[i-span]
				if d := tr.Pos[i].Dist(p.Add(v.Times(sp.Drift(s)))); d > sp.Reach(s)+1e-9 {
					t.Fatalf("%s gets %v yd off his momentum in %v s, he reaches %v", g.Setup.Men[j].Slot.Name, d, s, sp.Reach(s))
				}
				if d := tr.Vel[i].Dist(v.Times(kept)); d > sp.Max*(1-kept)+1e-9 {
					t.Fatalf("%s changes his velocity by %v in %v s", g.Setup.Men[j].Slot.Name, d, s)
				}
			}
		}
	})
}

// Nobody moves before his first step: men start when the ball is snapped, not before.
func TestStart(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		for _, j := range g.Cover {
			if p, v := g.Tracks[j].At(g.Params.Start - g.Params.Step); p != g.Setup.Men[j].At || v != (field.Point{}) {
				t.Fatalf("%s has gone from %v to %v before his first step", g.Setup.Men[j].Slot.Name, g.Setup.Men[j].At, p)
			}
		}
	})
}

// TestAdvance holds one step against fine integration of v' = (u-v)/Tau with the constant
// control that leads to its velocity, and that control to what is allowed.
func TestAdvance(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		point := func(name string, most float64) field.Point {
			r := rapid.Float64Range(-most, most)
			return field.Point{X: r.Draw(t, name+" x"), Y: r.Draw(t, name+" y")}
		}
		tau, dt := rapid.Float64Range(0.3, 1).Draw(t, "tau"), rapid.Float64Range(0.005, 0.3).Draw(t, "dt")
		most := rapid.Float64Range(3, 10).Draw(t, "most")
		p, v, want := point("p", 20), point("v", 6), point("want", 12)
		c := paceOf(dt, tau)
		q, w := advance(&c, p, v, want, most)
		decay := math.Exp(-dt / tau)
		u := w.Sub(v.Times(decay)).Times(1 / (1 - decay))
		if u.Len() > most+1e-9 {
			t.Fatalf("control %v of %v", u.Len(), most)
		}
		const n = 2000
		x, y, h := p, v, dt/n
		for range n { // midpoint rule
			mid := y.Add(u.Sub(y).Times(h / 2 / tau))
			x, y = x.Add(mid.Times(h)), y.Add(u.Sub(mid).Times(h/tau))
		}
		if x.Dist(q) > 1e-6 || y.Dist(w) > 1e-6 {
			t.Fatalf("a step ends at %v, running %v; integration at %v, %v", q, w, x, y)
		}
		if w.Dist(want) > v.Dist(want)+1e-9 && want.Len() <= most && v.Len() <= most {
			t.Fatalf("he wanted %v, ran %v and now runs %v: further from it", want, v, w)
		}
	})
}

// TestBraking: who wants to stand sheds his speed no faster than exp(-t/Tau) with the whole
// control against it; at full speed he needs Tau ln 2 to stop at least (v' = -(Max+v)/Tau).
func TestBraking(t *testing.T) {
	t.Parallel()
	for _, sp := range []field.Speed{{Max: 8.4, Tau: 0.6}, {Max: 6.5, Tau: 0.7}} {
		const dt = 0.005
		c, p, v, at := paceOf(dt, sp.Tau), field.Point{}, field.Point{Y: sp.Max}, 0.0
		for ; v.Y > 0.05*sp.Max && at < 5; at += dt {
			before := v.Y
			p, v = advance(&c, p, v, field.Point{}, sp.Max)
			if v.Y > before {
				t.Fatalf("%+v: he speeds up from %v to %v, braking", sp, before, v.Y)
			}
		}
		if least := sp.Tau * math.Log(2/1.05); at < least {
			t.Errorf("%+v: from full speed to a twentieth in %v s; no control does it under %v", sp, at, least)
		}
		if v.Y < 0 || at > 1.5 || p.Y > sp.Max {
			t.Errorf("%+v: he runs %v after %v s and %v yd; a man stops in 1.5 s", sp, v.Y, at, p.Y)
		}
	}
}

// TestDriftTable holds the table of Drift to its closed form Tau(1-exp(-s/Tau)), also past
// its end, within what body says of it.
func TestDriftTable(t *testing.T) {
	t.Parallel()
	params := Defaults(field.Pro)
	for class, sp := range params.Body {
		b := newBody(sp, params.Step)
		for s := -0.5; s < 7; s += 0.0037 {
			want := 0.0
			if s > 0 {
				want = sp.Tau * (1 - math.Exp(-s/sp.Tau))
			}
			if got := b.drift(s); math.Abs(got-want) > 3e-5 {
				t.Fatalf("%s: drift(%v) = %v, want %v", class, s, got, want)
			}
		}
	}
}

// TestBodies: who runs how. The order is that of combine means over 40 yd: corners 4.47,
// linebackers 4.75, tackles 5.19 s (published notes 3.1, SEEN).
func TestBodies(t *testing.T) {
	t.Parallel()
	var last *Params
	for _, l := range levels {
		params := Defaults(l)
		pl := &Play{Params: &params, bodies: map[string]*body{}}
		for _, runs := range []string{"back", "back slower", "back quicker", "linebacker", "linebacker slower", "lineman"} {
			pl.bodies[runs] = &body{speed: params.Speed(runs)}
		}
		const forty field.Yards = 40
		time := func(runs string) field.Seconds { return pl.body(runs).speed.Time(forty) }
		for _, pair := range [][2]string{{"back", "linebacker"}, {"linebacker", "lineman"}, {"back", "back slower"},
			{"back quicker", "back"}, {"linebacker", "linebacker slower"}} {
			if a, b := time(pair[0]), time(pair[1]); a >= b {
				t.Errorf("%v: a %s runs forty yards in %v s, a %s in %v", l, pair[0], a, pair[1], b)
			}
		}
		for unknown, as := range map[string]string{"": "back", "gazelle": "back", "gazelle slower": "back slower"} {
			if got := pl.body(unknown).speed; got != params.Speed(as) {
				t.Errorf("%v: body %q runs %+v, want as a %s, %+v", l, unknown, got, as, params.Speed(as))
			}
			if got := params.Speed(unknown); got != params.Speed(as) {
				t.Errorf("%v: Speed(%q) = %+v, want %+v", l, unknown, got, params.Speed(as))
			}
		}
		if last != nil {
			for class, sp := range params.Body {
				if sp.Max <= last.Body[class].Max {
					t.Errorf("a %s of %v is no faster than one of %v", class, l, last.Level)
				}
			}
			if params.Ball <= last.Ball || params.Receiver.Max <= last.Receiver.Max || params.Back.Max <= last.Back.Max {
				t.Errorf("%v throws or runs no faster than %v", l, last.Level)
			}
		}
		last = &params
	}
}

// TestHuman holds the parameters to what people can do (published notes 3.1 and 3.2, SEEN):
// nobody over 10.5 m/s, no reaction under the 0.1 s of a false start, a second choice that
// costs about Hick's 0.155 s a bit or more; and to what 144 tracked plays show (motion
// tables): nobody covers more ground than anybody was seen to.
func TestHuman(t *testing.T) {
	t.Parallel()
	const yard = 0.9144
	moved := outside.Rows(t, "checks", "motion_defender_reach_by_flight_time.csv")
	for _, l := range levels {
		params := Defaults(l)
		for class, sp := range map[string]field.Speed{"receiver": params.Receiver, "runner": params.Back,
			"back": params.Speed("back quicker"), "linebacker": params.Speed("linebacker quicker"),
			"lineman": params.Speed("lineman")} {
			if sp.Max*yard > 10.5 || sp.Max <= 0 || sp.Tau <= 0 {
				t.Errorf("%v: a %s runs %v m/s (tau %v)", l, class, sp.Max*yard, sp.Tau)
			}
			for _, row := range moved[1:] {
				if s, most := number(t, row[0]), number(t, row[5]); sp.Max*s > most {
					t.Errorf("%v: a %s at full speed covers %.1f yd in %v s; the most of %s was %v", l, class, sp.Max*s, s, row[1],
						most)
				}
			}
		}
		for what, s := range map[string]field.Seconds{"reaction": params.Reaction, "late": params.Late, "busy": params.Busy,
			"start": params.Start} {
			if s < 0.1 {
				t.Errorf("%v: %s of %v s: under 0.1 s is a false start", l, what, s)
			}
		}
		if params.Choice < 0.15 || params.Late < params.Reaction || params.Busy < params.Late {
			t.Errorf("%v: choice %v; reactions own %v, another's %v, with his own man %v", l, params.Choice, params.Reaction,
				params.Late, params.Busy)
		}
	}
}

// TestTrackAt: a track is where its frames say, between them on the line, and stays put
// before the first and after the last.
func TestTrackAt(t *testing.T) {
	t.Parallel()
	params := Defaults(field.HighSchool)
	pl := &Play{Params: &params, raster: raster{1 / params.Step, 4}, frames: 7}
	tr := Track{raster: pl.raster}
	for i := range pl.frames {
		tr.Pos, tr.Vel = append(tr.Pos, field.Point{X: float64(i * i), Y: 1}), append(tr.Vel, field.Point{Y: float64(i)})
	}
	for i := range pl.frames {
		at, dt := pl.time(i)
		if p, v := tr.At(at); p.Dist(tr.Pos[i]) > 1e-9 || v.Dist(tr.Vel[i]) > 1e-9 {
			t.Errorf("frame %d (%v s): %v, %v; want %v, %v", i, at, p, v, tr.Pos[i], tr.Vel[i])
		}
		if i+1 == pl.frames {
			break
		}
		if next, _ := pl.time(i + 1); math.Abs(next-at-dt) > 1e-12 {
			t.Errorf("frame %d lasts %v s and the next begins %v later", i, dt, next-at)
		}
		half := tr.Pos[i].Toward(tr.Pos[i+1], 0.5)
		if p, _ := tr.At(at + dt/2); p.Dist(half) > 1e-9 {
			t.Errorf("half-way through frame %d: %v, want %v", i, p, half)
		}
	}
	for at, want := range map[field.Seconds]field.Point{-1: tr.Pos[0], 0: tr.Pos[0], 99: tr.Pos[6]} {
		if p, _ := tr.At(at); p != want {
			t.Errorf("At(%v) = %v, want %v", at, p, want)
		}
	}
}
