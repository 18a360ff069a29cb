package drawing

import (
	"overhang/internal/reports/ink"
	"overhang/internal/stress/field"
)

// A Way is where an eligible stands in a drawing and where his route takes him.
type Way struct {
	Name string     // as the drawing calls him
	Mark string     // in his symbol
	Run  []ink.Spot // from where he stands, mm from the upper left corner
}

// Ways are the eligibles of the scene drawn w mm wide, in the picture's order: what a finger
// may point at.
func (s *Scene) Ways(w float64) (out []Way) {
	sh := newSheet(s, w)
	for i := range s.Men {
		m := &s.Men[i]
		if m.Kind != Eligible {
			continue
		}
		way := Way{m.Name, m.Mark, sh.ats([]field.Point{m.At})}
		for k := range s.Routes {
			if r := &s.Routes[k]; r.Man == i && !r.Branch && !r.Blocks {
				way.Run = append(way.Run, sh.ats(r.Path)...)
			}
		}
		out = append(out, way)
	}
	return out
}
