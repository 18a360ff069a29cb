package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// TestFlight checks the flight equation |a(t+f) - q| = vb f, and its closed form
// for a receiver who stands: f is distance over speed.
func TestFlight(t *testing.T) {
	params := Defaults(field.HighSchool)
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.SampledFrom(picture.Library()).Draw(t, "concept")
		p, err := picture.New(picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes, Receiver: params.Receiver,
			Back: params.Back})
		if err != nil {
			t.Fatal(err)
		}
		q, at := field.Point{Y: -6.5}, rapid.Float64Range(0.8, 3.5).Draw(t, "release")
		for i := range p.Receivers {
			path := p.Receivers[i].Path
			f := Flight(path, q, at, params.Ball)
			if miss := math.Abs(path.At(at+f).Dist(q) - params.Ball*f); miss > 1e-3 {
				t.Fatalf("%s: the ball is %v yd off after %v s", p.Receivers[i].Name, miss, f)
			}
			if p.Receivers[i].Blocks() {
				if want := p.Receivers[i].At.Dist(q) / params.Ball; math.Abs(f-want) > 1e-6 {
					t.Fatalf("%s stands: flight %v, want %v", p.Receivers[i].Name, f, want)
				}
			}
		}
	})
}
