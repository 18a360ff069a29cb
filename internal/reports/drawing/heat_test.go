package drawing

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"overhang/internal/plan"
	"overhang/internal/reports/ink"
)

// board is an invented one of a size that occurs: ten calls, sixteen concepts.
func board(calls, concepts int) *plan.Board {
	b := &plan.Board{Plays: 140, Covered: 120}
	for i := range concepts {
		c := plan.Concept{SetName: []string{"2x2", "3x1 with an attached tight end on the other side", "bunch"}[i%3],
			Concept: []string{"smash", "four verticals trips", "Çift çıkış"}[i%3] + fmt.Sprint(i), Plays: 30 - i}
		b.Concepts = append(b.Concepts, c)
	}
	for i := range calls {
		r := plan.Row{Call: []string{"cover 2 spot", "quarters, both corners locked, backside safety to #3", "palms"}[i%3]}
		for k := range concepts {
			r.Cells = append(r.Cells, plan.Cell{Stress: 0.15 + 0.06*float64((i+3*k)%12)})
			r.Cells[k].Points = r.Cells[k].Stress - 0.5
			r.Stress += r.Cells[k].Stress / float64(concepts)
		}
		b.Rows = append(b.Rows, r)
	}
	return b
}

// TestHeat: number and n stand in every cell, whatever the shade.
func TestHeat(t *testing.T) {
	for _, size := range [][2]int{{10, 16}, {3, 4}, {1, 1}, {10, 0}} {
		h := Board(board(size[0], size[1]), "An invented board")
		for _, w := range []float64{120, 180, 260} {
			l := h.List(w)
			numbers, ns := 0, 0
			for i := range l.Marks {
				m := &l.Marks[i]
				switch {
				case strings.HasPrefix(m.Style, "text-bold-shade"):
					numbers++
				case strings.HasPrefix(m.Style, "text-shade"):
					ns++
				}
				if m.Text != "" && !m.Up && m.At.X+ink.TextWidth(m.Text, m.Size, styles[m.Style].Bold)*float64(1-m.Anchor)/2 > w+
					0.01 {
					t.Errorf("%v, %v mm: %q runs off the paper", size, w, m.Text)
				}
			}
			if numbers != size[0]*(size[1]+1) || ns != size[0]*size[1] {
				t.Errorf("%v: %d numbers and %d n, want %d and %d", size, numbers, ns, size[0]*(size[1]+1), size[0]*size[1])
			}
			name := fmt.Sprintf("heat-%dx%d-%.0f", size[0], size[1], w)
			write(t, name+".svg", func(b *bytes.Buffer) error { return l.SVG(b) })
			write(t, name+".pdf", func(b *bytes.Buffer) error { return l.WritePDF(b, made) })
		}
	}
}

// TestShade holds the steps at their edges: a tenth each from 0.3 on.
func TestShade(t *testing.T) {
	for _, tt := range []struct {
		stress float64
		want   int
	}{{0, 0}, {0.29, 0}, {0.31, 1}, {0.45, 2}, {0.55, 3}, {0.65, 4}, {0.75, 5}, {1, 5}} {
		if got := Shade(tt.stress); got != tt.want {
			t.Errorf("Shade(%v) = %d, want %d", tt.stress, got, tt.want)
		}
	}
}
