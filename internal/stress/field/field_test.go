package field

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestHash(t *testing.T) {
	for _, tt := range []struct {
		level Level
		want  Yards
		src   string
	}{
		{HighSchool, Feet(53 + 4.0/12), "NFHS: the hashes divide the field in thirds, 53 ft 4 in (trade notes 5.1, HASH-1)"},
		{College, Feet(60), "NCAA: 60 ft (trade notes 5.1, HASH-1)"},
		{Pro, Feet(70 + 9.0/12), "NFL: 70 ft 9 in (trade notes 5.1, HASH-1)"},
	} {
		if got := tt.level.Hash(); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%v.Hash() = %v yd, want %v (%s)", tt.level, got, tt.want, tt.src)
		}
		if back, err := ParseLevel(tt.level.String()); err != nil || back != tt.level {
			t.Errorf("ParseLevel(%q) = %v, %v", tt.level.String(), back, err)
		}
	}
	if math.Abs(Width-Feet(160)) > 1e-9 {
		t.Errorf("Width = %v yd, want 160 ft (trade notes 5.1)", Width)
	}
	s := Spot{Level: HighSchool, FromMiddle: HighSchool.HashSpot()}
	if near := s.Sideline(1); math.Abs(near-Feet(53+4.0/12)) > 1e-9 {
		t.Errorf("from the right hash the right sideline is %v yd away, want 53 ft 4 in", near)
	}
}

// TestSprint holds reach and drift against fine integration of v' = (u-v)/tau.
func TestSprint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := Speed{Max: rapid.Float64Range(5, 10).Draw(t, "max"), Tau: rapid.Float64Range(0.3, 1.2).Draw(t, "tau")}
		s, v0 := rapid.Float64Range(0, 3).Draw(t, "s"), rapid.Float64Range(-8, 8).Draw(t, "v0")
		const n = 20000
		x, v, dt := 0.0, v0, s/n
		for range n { // midpoint rule
			mid := v + (sp.Max-v)/sp.Tau*dt/2
			x += mid * dt
			v += (sp.Max - mid) / sp.Tau * dt
		}
		if got := v0*sp.Drift(s) + sp.Reach(s); math.Abs(got-x) > 1e-4 {
			t.Fatalf("drift and reach give %v yd, integration %v", got, x)
		}
	})
}

// Time is the inverse of Reach.
func TestTime(t *testing.T) {
	for _, v := range []Speed{{8.4, 0.6}, {6.5, 0.7}} {
		for d := 0.05; d < 60; d *= 1.7 {
			if got := v.Reach(v.Time(d)); math.Abs(got-d) > 0.001*v.Max {
				t.Errorf("%+v: %v yd in %v s, which reach %v", v, d, v.Time(d), got)
			}
		}
		if v.Time(0) != 0 || v.Time(-1) != 0 {
			t.Errorf("%+v: no way takes time", v)
		}
	}
}
