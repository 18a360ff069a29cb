package stress

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
)

// What is remembered changes no number: every call of the book against a third of the pictures of the
// library, played one after another in one room, is to the last bit what it is by itself.
func TestRoomChangesNothing(t *testing.T) {
	var ev Evaluator
	plays := libraryPlays(t, &standard)
	for n := 0; n < len(plays); n += 3 {
		pl := plays[n]
		for _, c := range call.Book() {
			kept := inFull(must(ev.Evaluate(t.Context(), c, pl, Usual)))
			if alone := inFull(must(Evaluate(t.Context(), c, pl, Usual))); kept != alone {
				t.Fatalf("%s against picture %d:\n%s\nby itself:\n%s", c.Call.Name, n, kept, alone)
			}
		}
	}
}

// inFull says all numbers of a result in full.
func inFull(r *Result) string {
	text := fmt.Sprint(r.Stress, r.Findings, r.Gray, r.Throws, r.Outnumbered)
	for _, j := range r.Rep.Cover {
		for k, live := range r.Rep.Live {
			for _, i := range live {
				text += fmt.Sprint(" ", r.Rep.Window[j][i][k], r.Rep.Gap[j][i][k])
			}
		}
	}
	return text
}

// The chance of a catch among men is, to the last bit, the plain sum over steps of
// separation, each with the chance that every man is further.
func TestAmongIsThePlainSum(t *testing.T) {
	logistic := func(x float64) float64 { // the table, asked plainly
		u := (x + 8) * 16
		if k := int(u); u > 0 && k < len(logistics)-1 {
			return logistics[k] + (u-float64(k))*(logistics[k+1]-logistics[k])
		}
		if u <= 0 {
			return 0
		}
		return 1
	}
	rapid.Check(t, func(t *rapid.T) {
		gaps := rapid.SliceOfN(rapid.Float64Range(0, 20), 0, 11).Draw(t, "gaps")
		flight, air := rapid.Float64Range(0.01, 3).Draw(t, "flight"), rapid.Float64Range(-5, 50).Draw(t, "air")
		read := rapid.SliceOfN(rapid.Float64Range(0, 1), len(gaps), len(gaps)).Draw(t, "read")
		c := &DefaultCurve
		odds, worth := c.Base+c.Air*air, c.gain(0.5)
		for n := range 16 {
			away := 1.0
			for m, d := range gaps {
				if d < 14 {
					d += c.better(flight) * read[m]
					away *= logistic((d - (float64(n)+0.5)*0.5) / max(c.Day*field.Seconds(flight), 0.05))
				}
			}
			odds += away * worth
			worth *= math.Exp(-0.5 / c.Bend)
		}
		if got, want := c.among(gaps, flight, air, read), 1/(1+math.Exp(-odds)); got != want {
			t.Fatalf("%v, the plain sum is %v", got, want)
		}
	})
}

// among is the chance of a catch among men so far from it, some of whom are read.
func (c *Curve) among(gaps []field.Yards, flight field.Seconds, air field.Yards, read []float64) float64 {
	rows := make([][]field.Yards, len(gaps))
	for n := range gaps {
		rows[n] = gaps[n : n+1]
	}
	s := c.table()
	return s.among(rows, 0, flight, c.covered(air), read)
}
