package stress

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// moved is a change to the men of a role: what they are told and where they stand.
type moved func(d *call.Defender, c *call.Call)

func depth(y field.Yards) moved {
	return func(d *call.Defender, _ *call.Call) {
		for i := range d.Align {
			d.Align[i].Depth, d.Align[i].Technique = y, ""
		}
	}
}

func across(x field.Yards) moved {
	return func(d *call.Defender, _ *call.Call) {
		for i := range d.Align {
			d.Align[i].Offset = x
		}
	}
}

func shaded(x field.Yards, then string) moved {
	return func(d *call.Defender, c *call.Call) {
		across(x)(d, c)
		d.Rules = []call.Rule{{When: "else", Then: then}}
	}
}

func zoned(name string, x, y, sink field.Yards) moved {
	return func(_ *call.Defender, c *call.Call) {
		z, _ := c.Zone(name)
		if z.X != 0 || x != 0 {
			z.X = x
		}
		z.Y, z.Sink = y, sink
		zones := map[string]call.Zone{name: z}
		for n, old := range c.Zones {
			if n != name {
				zones[n] = old
			}
		}
		c.Zones = zones
	}
}

// catches is the chance of a catch at a receiver's best moment against a changed call.
func catches(t *testing.T, coverage, role, routes, who string, change moved) float64 {
	t.Helper()
	compiled, err := call.Lookup(coverage)
	if err != nil {
		t.Fatal(err)
	}
	raw, _ := json.Marshal(compiled.Call)
	var c call.Call
	if err := json.Unmarshal(raw, &c); err != nil {
		t.Fatal(err)
	}
	for i := range c.Defenders {
		if slices.Contains(c.Defenders[i].Roles, role) {
			change(&c.Defenders[i], &c)
		}
	}
	if compiled, err = call.Compile(&c); err != nil {
		t.Fatal(err)
	}
	family := "dropback"
	if rest, ok := strings.CutPrefix(routes, "quick: "); ok {
		family, routes = "quick", rest
	}
	p, err := picture.New(picture.Spec{Set: "2x2", Family: family, Routes: routes, Receiver: standard.Receiver,
		Back: standard.Back})
	if err != nil {
		t.Fatal(err)
	}
	r := must(Evaluate(t.Context(), compiled, Prepare(p, &standard), Usual))
	for _, th := range r.Throws {
		if p.Receivers[th.Receiver].Name == who {
			return th.Complete
		}
	}
	t.Fatalf("%s against %s: no throw to %s", routes, coverage, who)
	return 0
}

// TestMonotone: what a coach knows to open a route opens it here, by eight of a hundred
// throws at least. Common practice, no source. Those that are marked fall short, and the
// documentation says so; they must still go the right way.
func TestMonotone(t *testing.T) {
	for _, x := range []struct {
		name, coverage, role, routes, who string
		more, less                        moved
		short                             bool
	}{
		{"hitch, corner at 9 and at 5", "cover 1", "man on #1", "quick: P1 hitch@6, P2 seam", "P1",
			depth(9), depth(5), false},
		{"slant, outside and inside leverage", "cover 1", "man on #1", "quick: P1 slant@3, P2 seam", "P1",
			shaded(2, "man #1 outside"), shaded(-2.5, "man #1 inside"), false},
		{"go, post safety at 8 and at 18", "cover 3 spot", "free safety", "P1 go, P2 seam", "P2",
			both2(depth(8), zoned("middle third", 0, 9, 0)), both2(depth(18), zoned("middle third", 0, 20, 0)), false},
		{"out, sinking and squatting corner", "cover 2 spot", "corner", "P1 out@5", "P1", zoned("cloud", 20, 12, 12),
			zoned("cloud", 20, 6, 6), false},
		{"fade, press without and with a deep man", "cover 1", "man on #1", "quick: P1 fade", "P1", alone, withHelp, false},
		{"dig, hook at 8 and at 12", "cover 3 spot", "hook", "P1 go, P2 dig@12, B2 seam", "P2",
			both2(depth(4), zoned("hook", 4, 8, 8)), zoned("hook", 4, 12, 12), false},
		{"seam, post safety shaded away and to it", "cover 3 spot", "free safety", "P1 go, P2 seam, B2 seam", "P2",
			both2(across(-5), zoned("middle third", -5, 15, 0)), both2(across(5), zoned("middle third", 5, 15, 0)), false},
		{"corner, half safety 3 yd inside and wider", "cover 2 spot", "half safety", "P1 hitch@6, P2 corner@12", "P2",
			both2(across(-2), zoned("half", 10, 16, 0)), both2(across(1), zoned("half", 15, 16, 0)), false},
		{"flat, sinking and squatting corner", "cover 2 spot", "corner", "P1 go, P2 flat@3", "P2", zoned("cloud", 20, 12, 12),
			zoned("cloud", 20, 6, 6), false},
		{"stick, head up and inside leverage", "cover 1", "man on #2", "quick: P1 go, P2 stick@6", "P2",
			shaded(-2, "man #2 inside"), shaded(0, "man #2"), true},
	} {
		more, less := catches(t, x.coverage, x.role, x.routes, x.who, x.more), catches(t, x.coverage, x.role, x.routes, x.who,
			x.less)
		fmt.Printf("monotone: %s: %.3f and %.3f\n", x.name, more, less)
		if least := map[bool]float64{false: 0.08, true: 0}[x.short]; more-less < least {
			t.Errorf("%s: caught %.3f and %.3f; want %.2f between them", x.name, more, less, least)
		}
	}
}

func both2(a, b moved) moved { return func(d *call.Defender, c *call.Call) { a(d, c); b(d, c) } }

// alone takes the deep middle away; withHelp puts it over #1.
func alone(d *call.Defender, c *call.Call) { pressAnd(c, "rush") }

func withHelp(d *call.Defender, c *call.Call) { pressAnd(c, "help #1") }

func pressAnd(c *call.Call, safety string) {
	for i := range c.Defenders {
		d := &c.Defenders[i]
		switch {
		case slices.Contains(d.Roles, "man on #1"):
			depth(1.5)(d, c)
			d.Align[0].Technique = "press"
		case slices.Contains(d.Roles, "free safety"):
			d.Align = []call.Align{{On: "#1", Offset: -6, Depth: 14}}
			d.Rules = []call.Rule{{When: "else", Then: safety}}
		}
	}
}

// With every other man's path held, a man who is further from every catch never makes a
// catch less likely.
func TestFurtherNeverHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		compiled, e := anyCase(t)
		r := must(Evaluate(context.Background(), compiled, drawPlay(t, &standard, false, e), Usual))
		g := r.Rep
		j := rapid.SampledFrom(g.Cover).Draw(t, "man")
		away := rapid.Float64Range(0, 10).Draw(t, "further")
		for k := range g.Live {
			for _, i := range g.Live[k] {
				if i == g.Run {
					continue
				}
				var was, is []field.Yards
				for _, m := range g.Cover {
					was, is = append(was, g.Gap[m][i][k]), append(is, g.Gap[m][i][k])
					if m == j {
						is[len(is)-1] += away
					}
				}
				th := &g.Of(i)[k]
				read := torn(g, i, k, new([11]float64))
				before := DefaultCurve.among(was, th.Flight, th.At.Y, read)
				after := DefaultCurve.among(is, th.Flight, th.At.Y, read)
				if after < before-1e-12 {
					t.Fatalf("%s %.2f yd further from receiver %d lowers a catch from %v to %v", r.Defender(j), away, i, before, after)
				}
			}
		}
	})
}
