package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/field"
)

// TestBetween: one man, two threats. He reaches 9 yd each way (speed 8, delay 0.25, 1.25 s to
// the ball, a yard of tackle): 18.0 yd apart are covered from the midpoint only, 18.1 are not
// (published notes 3.4, CALC). Where one disc holds the other the smaller one's center is best.
func TestBetween(t *testing.T) {
	t.Parallel()
	const reach = 8*(1.25-0.25) + 1
	for _, tt := range []struct {
		name   string
		d      field.Yards
		ra, rb field.Yards
		want   field.Yards
	}{
		{"just", 18, reach, reach, 0},
		{"a tenth too far", 18.1, reach, reach, 0.05},
		{"to spare", 16, reach, reach, -1},
		{"unlike reaches", 10, 2, 4, 2},
		{"one in the other", 1, 2, 9, -2},
		{"the other in one", 1, 9, 2, -2},
		{"touching from inside", 7, 9, 2, -2},
		{"the same spot", 0, 3, 3, -3},
		{"no reach at all", 6, 0, 0, 3},
	} {
		a, b := field.Point{X: 3, Y: 5}, field.Point{X: 3 + tt.d*0.6, Y: 5 + tt.d*0.8}
		if got := Between(a, tt.ra, b, tt.rb); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// Between does not hang on which threat is named first, and neither more reach nor threats
// nearer to each other make it dearer.
func TestBetweenMonotone(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0, 12)
		a, b := Free{Radius: r.Draw(t, "ra")}, Free{Radius: r.Draw(t, "rb"), Center: field.Point{X: r.Draw(t, "x"),
			Y: r.Draw(t, "y")}}
		price, more := a.Between(&b), a
		if back := b.Between(&a); math.Abs(back-price) > 1e-9 {
			t.Fatalf("%v one way, %v the other", price, back)
		}
		if more.Radius += r.Draw(t, "more"); more.Between(&b) > price+1e-12 {
			t.Fatalf("more reach costs %v, less %v", more.Between(&b), price)
		}
		b.Center = b.Center.Times(rapid.Float64Range(0, 1).Draw(t, "nearer"))
		if near := a.Between(&b); near > price+1e-12 {
			t.Fatalf("nearer to each other they cost %v, before %v", near, price)
		}
	})
}

// TestFree: who has nothing else to do misses by what reach leaves of the way; a faster or
// quicker man never misses by more, nor does anybody who could also go on as taught.
func TestFree(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		boost := Boost{Speed: 1 + rapid.Float64Range(0, 0.5).Draw(t, "faster")}
		for k, live := range g.Live {
			for _, i := range live {
				if i == g.Run {
					continue
				}
				th := &g.Of(i)[k]
				if f := g.FreeFrom(th.At, i, k, Boost{}); math.Abs(f.Miss+f.Radius) > 1e-9 || f.Center != th.At {
					t.Fatalf("who stands at the catch misses it by %v, with a reach of %v", f.Miss, f.Radius)
				}
				far := th.At.Add(field.Point{X: 11})
				slow, fast := g.FreeFrom(far, i, k, Boost{}), g.FreeFrom(far, i, k, boost)
				quick := g.FreeFrom(far, i, k, Boost{Reaction: -0.1})
				if want := 11 - slow.Radius; math.Abs(slow.Miss-want) > 1e-9 || fast.Miss > slow.Miss || quick.Miss > slow.Miss {
					t.Fatalf("from 11 yd: %v (want %v), faster %v, quicker %v", slow.Miss, want, fast.Miss, quick.Miss)
				}
				for _, j := range g.Cover {
					f := g.Free(j, i, k, Boost{})
					if f.Miss > g.Gap[j][i][k] || g.Free(j, i, k, boost).Miss > f.Miss+1e-9 {
						t.Fatalf("man %d: free %v, as taught %v, faster %v", j, f.Miss, g.Gap[j][i][k], g.Free(j, i, k, boost).Miss)
					}
				}
			}
		}
	})
}

// TestTimeline: twenty-two men, ten frames a second, from where they line up; who rushes gets
// nearer to the passer, who ends where he throws from.
func TestTimeline(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		g := played(t, drawn(t, levelOf(t)), &Scratch{})
		frames, n := g.Timeline(), len(g.Picture.Receivers)
		for k, f := range frames {
			if len(f.Offense)+len(f.Defense) != n+6+len(g.Setup.Men) || n+6 != 11 || math.Abs(f.T-0.1*float64(k)) > 1e-9 {
				t.Fatalf("frame %d at %v s: %d and %d men", k, f.T, len(f.Offense), len(f.Defense))
			}
			for j := range f.Defense {
				m, to := &g.Setup.Men[j], g.Clock.Passer
				if k == 0 && f.Defense[j] != m.At {
					t.Fatalf("%s starts at %v, he lines up at %v", m.Slot.Name, f.Defense[j], m.At)
				}
				if k > 0 && Rushes(m) && f.Defense[j].Dist(to) > frames[k-1].Defense[j].Dist(to)+1e-9 {
					t.Fatalf("%s rushes away from the passer", m.Slot.Name)
				}
			}
		}
		if last := frames[len(frames)-1]; last.Offense[n].Dist(g.Clock.Passer) > 1e-9 || last.T < g.Clock.Last {
			t.Fatalf("after %v s the passer is at %v; he throws from %v until %v", last.T, last.Offense[n], g.Clock.Passer,
				g.Clock.Last)
		}
	})
}
