package plan

import (
	"fmt"

	"overhang/internal/stress"
	"overhang/internal/stress/picture"
)

// A RunMeet is what a run meets where it is aimed.
type RunMeet struct {
	Gap    string  `json:"gap"`
	LateYd float64 `json:"late_yd"` // by how much its man is late, 2.5 where it has none
	InBox  int     `json:"in_box"`
	Extra  string  `json:"extra_man,omitempty"` // who has no gap of his own and is nearest to it
	Says   string  `json:"sentence"`
}

// Meet says what the run of a result meets, nil for a pass.
func Meet(r *stress.Result) *RunMeet {
	if r.Rep.Picture.Family != picture.Run {
		return nil
	}
	at := r.RunAt()
	out := &RunMeet{Gap: at.Gap, LateYd: at.Late, InBox: at.Box}
	if at.Extra >= 0 {
		out.Extra = r.Defender(at.Extra)
	}
	out.Says = out.Told()
	return out
}

// Told is what the run meets, in words.
func (m *RunMeet) Told() string {
	extra := "nobody is the extra man"
	if m.Extra != "" {
		extra = "the extra man is the " + m.Extra
	}
	how := "filled"
	if m.LateYd > 0.05 {
		how = fmt.Sprintf("%.1f yards late", m.LateYd)
	}
	return fmt.Sprintf("%d in the box; the %s gap is %s; %s.", m.InBox, m.Gap, how, extra)
}
