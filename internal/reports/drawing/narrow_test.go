package drawing

import (
	"fmt"
	"strings"
	"testing"

	"overhang/internal/reports/ink"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// TestCloseDrawings: a close drawing shows everybody who stands on its ground and nobody else,
// and no sign of it hangs on a man it leaves away or ends beside it; half a line keeps the
// ball, the passer and the side of the play.
func TestCloseDrawings(t *testing.T) {
	t.Parallel()
	for _, p := range pairs {
		r := p.play(t)
		for _, o := range []Options{{Close: true}, {HalfLine: true}, {Close: true, Bare: "middle"}} {
			s := Call(r, o)
			name := fmt.Sprintf("%s %+v", p.name, o)
			narrowly(t, name, &s)
			side := float64(r.Rep.Picture.Play)
			if lo, hi := s.Field.Left*side, s.Field.Right*side; o.HalfLine && max(lo, hi) < 5 {
				t.Errorf("%s: the drawing goes from %.1f to %.1f, the play to the side of %v", name, s.Field.Left,
					s.Field.Right, side)
			}
		}
		if wide := Call(r, Options{}); wide.Field.Left != 0 || wide.Field.Right != 0 {
			t.Errorf("%s: a drawing of the whole width goes from %v to %v", p.name, wide.Field.Left, wide.Field.Right)
		}
	}
}

// narrowly looks at one close drawing.
func narrowly(t *testing.T, name string, s *Scene) {
	t.Helper()
	f := &s.Field
	if f.Left >= 0 || f.Right <= 0 || f.Right-f.Left > 2*float64(closeTo)+1e-9 && f.Right-f.Left > 40 {
		t.Errorf("%s: from %.1f to %.1f yards", name, f.Left, f.Right)
	}
	on := func(p field.Point) bool { return f.Left <= p.X && p.X <= f.Right && p.Y <= f.Top }
	for i := range s.Men {
		if m := &s.Men[i]; on(m.At) == m.Away && m.At.Y > -2 {
			t.Errorf("%s: %s stands at %v on the ground of the drawing %v, and is left away: %v", name, m.Name, m.At,
				on(m.At), m.Away)
		}
		if m := &s.Men[i]; m.Kind == Passer && m.Away {
			t.Errorf("%s: without the passer", name)
		}
	}
	shown := func(what string, man int, ps ...field.Point) {
		if s.Men[man].Away {
			t.Errorf("%s: %s of %s, who is left away", name, what, s.Men[man].Name)
		}
		for _, p := range ps {
			if p.X < f.Left || p.X > f.Right {
				t.Errorf("%s: %s of %s goes to %v, beside the drawing", name, what, s.Men[man].Name, p)
			}
		}
	}
	for _, r := range s.Routes {
		shown("the route", r.Man, r.Path...)
	}
	for _, z := range s.Zones {
		shown("the zone", z.Man, z.Mark)
	}
	for _, x := range s.Fits {
		shown("the fit", x.Man, x.At)
	}
	for _, x := range s.Ties {
		shown("the tie", x.Man)
		shown("the tie", x.Target)
	}
}

// TestBare: a drawing about one man shows his duty alone, and everybody where he stands.
func TestBare(t *testing.T) {
	t.Parallel()
	for _, p := range pairs {
		r := p.play(t)
		whole := Call(r, Options{})
		for i := range whole.Men {
			m := &whole.Men[i]
			if m.Kind != Defender {
				continue
			}
			s := Call(r, Options{Bare: m.Name})
			if len(s.Men) != len(whole.Men) {
				t.Fatalf("%s, %s: %d men are drawn of %d", p.name, m.Name, len(s.Men), len(whole.Men))
			}
			for _, z := range s.Zones {
				if s.Men[z.Man].Name != m.Name {
					t.Errorf("%s, %s: the zone of %s is drawn", p.name, m.Name, s.Men[z.Man].Name)
				}
			}
			for _, x := range s.Ties {
				if s.Men[x.Man].Name != m.Name {
					t.Errorf("%s, %s: whom %s has is drawn", p.name, m.Name, s.Men[x.Man].Name)
				}
			}
		}
	}
}

// TestWays: every eligible has one way, from where his symbol stands, on the paper; a drawing
// twice as wide has it twice as far.
func TestWays(t *testing.T) {
	t.Parallel()
	for _, p := range pairs {
		pic, _ := p.picture(t)
		s := Concept(pic, Options{})
		ways, double := s.Ways(100), s.Ways(200)
		if len(ways) != len(pic.Receivers) {
			t.Errorf("%s: %d ways of %d eligibles", p.name, len(ways), len(pic.Receivers))
			continue
		}
		high := s.Height(100)
		for i, w := range ways {
			if w.Name == "" || w.Mark == "" || len(w.Run) == 0 {
				t.Errorf("%s: way %d is %+v", p.name, i, w)
				continue
			}
			runs := !pic.Receivers[i].Blocks()
			if runs && len(w.Run) < 3 {
				t.Errorf("%s, %s: he runs a route and his way is %v", p.name, w.Name, w.Run)
			}
			for k, at := range w.Run {
				if at.X < -0.5 || at.X > 100.5 || at.Y > high+0.5 || k == 0 && at.Y < 0 { // it may go on past the top
					t.Errorf("%s, %s: his way leaves the paper of 100 by %.0f mm at %v", p.name, w.Name, high, at)
				}
				if d := double[i].Run[k].Sub(ink.At(2*at.X, 2*at.Y)); d.Len() > 1e-6 {
					t.Errorf("%s, %s: twice as wide his way is at %v; want twice %v", p.name, w.Name, double[i].Run[k], at)
				}
			}
		}
	}
}

// TestLegend: every sign is explained once, inside of the paper, in text that can be read, at
// every width that a page or a screen has.
func TestLegend(t *testing.T) {
	t.Parallel()
	for _, w := range []float64{90, 186, 260, 400} {
		l := Signs{}.List(w)
		said := map[string]int{}
		for _, m := range l.Marks {
			if m.Text == "" {
				continue
			}
			said[m.Text]++
			if m.At.Y < 0 || m.At.Y > l.H || m.At.X < 0 || m.At.X > w {
				t.Errorf("%v wide: %q is at %v of %v by %v", w, m.Text, m.At, w, l.H)
			}
		}
		for _, x := range samples {
			if said[x.text] != 1 {
				t.Errorf("%v wide: %q stands there %d times", w, x.text, said[x.text])
			}
			if !strings.Contains(l.Desc, x.text) {
				t.Errorf("%v wide: who can't see the drawing is not told of %q", w, x.text)
			}
		}
	}
}

// TestRunWords: a run is told with its side, its gap, and what the line does; the same run to
// the other side differs in that alone.
func TestRunWords(t *testing.T) {
	t.Parallel()
	for _, run := range picture.Runs() {
		var told [2]string
		for i, left := range []bool{false, true} {
			p := pair{set: "2x2", family: "run", concept: run.Concept, routes: "P1 block", left: left}
			pic, _ := p.picture(t)
			s := Concept(pic, Options{})
			told[i] = s.Words
			to := "right"
			if run.Side*pic.Play < 0 {
				to = "left"
			}
			if want := run.Concept + " to the " + to + ", " + run.Gap + " gap. The line "; !strings.HasPrefix(
				strings.ToLower(s.Words), strings.ToLower(want)) {
				t.Errorf("%s, left %v: %q", run.Concept, left, s.Words)
			}
			if (run.Bends != "") != strings.Contains(s.Words, "bend back") {
				t.Errorf("%s bends to %q: %q", run.Concept, run.Bends, s.Words)
			}
			if strings.Contains(s.Words, "line .") {
				t.Errorf("%s: nobody says what the line does: %q", run.Concept, s.Words)
			}
		}
		swap := strings.NewReplacer("right", "left", "left", "right")
		if swap.Replace(told[0]) != told[1] {
			t.Errorf("to the other side %q is %q", told[0], told[1])
		}
	}
}

// TestPlaybackTime: a play that is played back lasts as long as its frames at full speed, twice
// as long at half, and says when the ball is thrown by the same clock.
func TestPlaybackTime(t *testing.T) {
	t.Parallel()
	for _, p := range pairs[:6] {
		pb := Play(p.play(t), 0, Options{})
		for _, slow := range []float64{1, 2} {
			var b strings.Builder
			if err := pb.SVG(&b, 120, slow); err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{fmt.Sprintf(`dur="%ss"`, ink.Num(slow*pb.last())), "</svg>"} {
				if !strings.Contains(b.String(), want) {
					t.Errorf("%s, %v times as long: no %s", p.name, slow, want)
				}
			}
			if pb.thrown == nil {
				continue
			}
			if want := fmt.Sprintf("thrown at %.1f s", pb.thrown.at); !strings.Contains(b.String(), want) {
				t.Errorf("%s, %v times as long: not %s", p.name, slow, want)
			}
			if want := fmt.Sprintf(`begin="%ss;`, ink.Num(slow*pb.thrown.at)); !strings.Contains(b.String(), want) {
				t.Errorf("%s, %v times as long: the ball does not leave at %s", p.name, slow, want)
			}
		}
	}
}
