package handout

import (
	"math"
	"strconv"
	"strings"

	"overhang/internal/reports/paper"
)

// data are the tables of spreadsheets, all men together.
func (s *PositionSheet) data() []paper.Block {
	rules := &paper.Table{Name: "rules", DataOnly: true, Columns: paper.Cols("call", "", "defender", "", "check", "",
		"keys", "", "when", "", "do", "")}
	align := &paper.Table{Name: "alignments", DataOnly: true, Columns: paper.Cols("call", "", "defender", "", "check", "",
		"when", "", "where", "", "set_name", "", "plays", "", "side", "", "out_yd", "", "deep_yd", "")}
	shown := &paper.Table{Name: "pictures", DataOnly: true, Columns: paper.Cols("call", "", "defender", "", "set_name", "",
		"concept", "", "plays", "", "assumed_plays", "", "picture", "", "man", "", "do", "", "short_yd", "", "sentence", "")}
	conflicts := &paper.Table{Name: "conflicts", DataOnly: true, Columns: paper.Cols("call", "", "defender", "",
		"set_name", "", "concept", "", "plays", "", "short_yd", "", "release_s", "", "sentence", "", "when", "", "do", "",
		"helper", "", "helper_short_yd", "", "gives_up_points", "", "stress", "", "least_call", "",
		"least_gives_up_points", "", "least_stress", "", "assumed_plays", "")}
	fits := &paper.Table{Name: "run fits", DataOnly: true, Columns: paper.Cols("call", "", "defender", "", "set_name", "",
		"concept", "", "plays", "", "check", "", "to_him", "", "do", "")}
	num := func(v float64) paper.Cell { return paper.F("%.1f", v) }
	points := func(v float64) paper.Cell { return paper.F("%.3f", v) }
	for i := range s.Positions {
		p := &s.Positions[i]
		who := []paper.Cell{paper.T(p.Call), paper.T(p.Defender)}
		row := func(t *paper.Table, cs ...paper.Cell) {
			t.Rows = append(t.Rows, paper.Row{Cells: append(who[:2:2], cs...)})
		}
		for k := range p.Taught {
			t := &p.Taught[k]
			for _, r := range t.Rules {
				row(rules, paper.T(t.Check), paper.T(t.Keys), paper.T(r.When), paper.T(r.Do))
			}
			for _, a := range t.Align {
				for _, x := range a.Sets {
					row(align, paper.T(t.Check), paper.T(a.When), paper.T(a.Where), paper.T(x.SetName), paper.I(x.Plays),
						paper.T(x.Side), num(x.OutYd), num(x.DeepYd))
				}
			}
		}
		for _, x := range p.Shown {
			row(shown, paper.T(x.SetName), paper.T(x.Concept), paper.I(x.Plays), paper.I(x.Assumed), paper.T(x.Picture),
				paper.T(x.Man), paper.T(strings.Join(x.Do, " ")), num(x.ShortYd), paper.T(x.Sentence))
		}
		for _, x := range p.Fits {
			row(fits, paper.T(x.SetName), paper.T(x.Concept), paper.I(x.Plays), paper.T(x.Check),
				paper.T(strconv.FormatBool(x.ToHim)), paper.T(x.Do))
		}
		if c := p.Conflict; c != nil {
			cells := []paper.Cell{paper.T(c.SetName), paper.T(c.Concept), paper.I(c.Plays), num(c.Finding.ShortYd),
				num(c.Finding.ReleaseS), paper.T(c.Finding.Sentence), paper.T(c.Rule.When), paper.T(c.Rule.Do),
				paper.T(c.Helper), num(c.HelperShort), points(c.Points), num(c.Stress), paper.T(c.LeastCall),
				points(c.LeastPoints), num(c.LeastStress), paper.I(c.Assumed)}
			row(conflicts, cells...)
		}
	}
	return []paper.Block{rules, align, shown, conflicts, fits}
}

// tenth writes a length to a tenth of a yard, without a needless zero.
func tenth(v float64) string {
	return strconv.FormatFloat(math.Round(10*v)/10+0, 'f', -1, 64)
}
