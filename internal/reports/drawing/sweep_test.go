package drawing

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"overhang/internal/plan"
	"overhang/internal/reports/ink"
	"overhang/internal/stress"
	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/picture"
)

// swept is a call against a set of routes and a few more pictures.
func swept(t *testing.T, name, routes string) (*plan.Repertoire, plan.Named) {
	t.Helper()
	run := plan.NewRepertoire(field.HighSchool, plan.Terms{Setting: stress.Usual})
	if err := run.Add(plan.Concept{Plays: 9}, picture.Spec{Set: "2x2", Family: "dropback", Routes: routes}); err != nil {
		t.Fatal(err)
	}
	for _, e := range picture.Library()[:6] {
		if err := run.Add(plan.Concept{Plays: 3}, picture.Spec{Set: e.Set, Family: e.Family, Routes: e.Routes}); err != nil {
			t.Fatal(err)
		}
	}
	p, err := call.Lookup(name)
	if err != nil {
		t.Fatal(err)
	}
	return run, plan.Named{Name: name, Compiled: p}
}

// TestSweepDrawings: every place of a grid has its number, the taught one is framed;
// every owner is named; nothing runs off the paper or is smaller than 5 pt.
func TestSweepDrawings(t *testing.T) {
	for i, x := range []struct {
		call, routes, defender, receiver string
		reach                            int
	}{
		{"cover 1", "P1 go, P2 out@5", "strong overhang", "P2", 3},
		{"quarters match", "P1 post@12, P2 dig@12", "strong safety", "P2", 2},
		{"cover 3 spot", "P1 curl@12, P2 flat@3", "free safety", "P1", 5},
		{"palms", "P1 hitch@5, P2 out@6", "middle", "P2", 1},
	} {
		run, n := swept(t, x.call, x.routes)
		s, err := run.SweepAlignment(t.Context(), n, 0, x.defender, x.reach)
		if err != nil {
			t.Fatal(err)
		}
		d, err := run.SweepBreak(t.Context(), n, 0, x.receiver, 2, 16, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		grid, line := AlignmentSweep(s, x.call), BreakSweep(d, x.call)
		for _, w := range []float64{60, 120, 180} {
			places, frames := 0, 0
			l := grid.List(w)
			for k := range l.Marks {
				if strings.HasPrefix(l.Marks[k].Style, "text-bold-shade") {
					places++
				}
				if l.Marks[k].Style == "here" {
					frames++
				}
			}
			if places != len(s.Offsets)*len(s.Depths) || frames != 1 {
				t.Errorf("%s at %v mm: %d numbers of %d, %d frames", x.defender, w, places, len(s.Offsets)*len(s.Depths), frames)
			}
			b := line.List(w)
			for _, br := range d.Breaks {
				who := br.Owner
				if who == "" {
					who = "nobody"
				}
				if !named(b, who) {
					t.Errorf("%s at %v mm: %q is not named", x.call, w, who)
				}
			}
			for _, l := range []*ink.List{l, b} {
				for k := range l.Marks {
					m := &l.Marks[k]
					right := m.At.X + ink.TextWidth(m.Text, m.Size, styles[m.Style].Bold)*float64(1-m.Anchor)/2
					if m.Text != "" && (!m.Up && (right > w+0.1 || m.At.Y > l.H+0.1) || m.Size < 5*25.4/72-0.2) {
						t.Errorf("%s at %v mm: %q ends at %.1f mm, is %.2f mm high", l.Title, w, m.Text, right, m.Size)
					}
				}
				if l.Desc == "" {
					t.Errorf("%s has no words", l.Title)
				}
			}
			write(t, fmt.Sprintf("sweep-%d-stand-%.0f.svg", i, w), func(o *bytes.Buffer) error { return l.SVG(o) })
			write(t, fmt.Sprintf("sweep-%d-break-%.0f.svg", i, w), func(o *bytes.Buffer) error { return b.SVG(o) })
		}
	}
}

// named says that every word of a name stands in a list.
func named(l *ink.List, name string) bool {
	var all strings.Builder
	for i := range l.Marks {
		all.WriteString(" " + l.Marks[i].Text)
	}
	for _, w := range strings.Fields(name) {
		if !strings.Contains(all.String(), w) {
			return false
		}
	}
	return true
}

// TestGroundShade: the steps of a grid run from its least to its most, a tenth of a
// yard a step at least, so that what makes no difference shows none.
func TestGroundShade(t *testing.T) {
	grid := func(vs ...float64) Ground {
		s := &plan.AlignmentSweep{Spots: [][]plan.Spot{{}}}
		for _, v := range vs {
			s.Spots[0] = append(s.Spots[0], plan.Spot{WorstYd: v})
		}
		return Ground{stand: s}
	}
	for _, x := range []struct {
		all  []float64
		of   float64
		want int
	}{{[]float64{1, 4}, 1, 0}, {[]float64{1, 4}, 4, 5}, {[]float64{1, 4}, 2.6, 3}, {[]float64{1, 1.05}, 1.05, 0},
		{[]float64{1, 1.25}, 1.25, 2}, {[]float64{2, 2}, 2, 0}} {
		if g := grid(x.all...); g.shade(x.of) != x.want {
			t.Errorf("%v of %v is step %d, want %d", x.of, x.all, g.shade(x.of), x.want)
		}
	}
}
