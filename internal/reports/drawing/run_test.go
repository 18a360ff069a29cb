package drawing

import (
	"math"
	"strings"
	"testing"

	"overhang/internal/stress/picture"
)

// TestRunsAreAimedWhereTheEngineFits: the ball is drawn through the gap the engine says the run is
// aimed at, from every set with a back; who pulls is who the table of runs says, and every lineman
// has one part. Gaps are those of the engine's fit, a second reckoning of where they lie.
func TestRunsAreAimedWhereTheEngineFits(t *testing.T) {
	for _, set := range []string{"2x2", "3x1", "2x1", "2x2 attached"} {
		for _, left := range []bool{false, true} {
			for _, run := range picture.Runs() {
				p := pair{call: "cover 3 sky", set: set, family: "run", concept: run.Concept, routes: "P1 block", left: left}
				r := p.play(t)
				s := Call(r, Options{})
				fit, side, want := r.RunFit(), run.Side*r.Rep.Picture.Play, math.NaN()
				for n := range fit.Gaps {
					if g := &fit.Gaps[n]; g.Side == side {
						want = g.At.X
						if strings.HasSuffix(g.Name, run.Gap) {
							break
						}
					}
				}
				wide := 0.0
				if run.Line == "reach" {
					wide = 1.5 * float64(side) // outside of the last blocker
				}
				at := math.NaN()
				for i := 1; i < len(s.Run.Path); i++ {
					if a, b := s.Run.Path[i-1], s.Run.Path[i]; a.Y <= 0 && b.Y > 0 {
						at = a.X + (b.X-a.X)*(0-a.Y)/(b.Y-a.Y)
					}
				}
				if math.Abs(at-wide-want) > 0.3 {
					t.Errorf("%s from %s, left %v: the ball crosses the line at %.2f, the gap lies at %.2f", run.Concept, set,
						left, at-wide, want)
				}
				pulls, stays := 0, 0
				for _, b := range s.Blocks {
					switch from := b.Path[0]; {
					case from.Y != lineDepth:
					case b.Pull:
						pulls++
					default:
						stays++
					}
				}
				if n := linemen(run.Pulls); pulls != n || stays != 5-n {
					t.Errorf("%s from %s: %d linemen pull and %d stay, want %d and %d", run.Concept, set, pulls, stays, n, 5-n)
				}
			}
		}
	}
}

// linemen counts those of the line among who pulls.
func linemen(who []string) (n int) {
	for _, w := range who {
		if w != "end" {
			n++
		}
	}
	return n
}
