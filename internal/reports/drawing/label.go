package drawing

import "fmt"

// labels writes the words of the drawing where they hide least: the conflict
// first, then the depths of the breaks.
func (sh *sheet) labels() {
	if c := sh.scene.Conflict; c != nil {
		sh.Place("text-open", []string{yd(c.ShortYd) + " open", fmt.Sprintf("at %.1f s", c.AtS)},
			sh.at(c.OpenAt), 1.1*sh.Small, 1.2*sh.Small)
		if c.Other != "" {
			sh.Place("text-other", []string{c.Other}, sh.at(c.OtherAt), sh.Small, 1.2*sh.Small)
		}
	}
	for i := range sh.scene.Routes {
		if r := &sh.scene.Routes[i]; !r.Branch {
			sh.depths(r)
		}
	}
}

// depths marks where a route breaks, with the yards past the line.
func (sh *sheet) depths(r *Route) {
	style := [...]string{Plain: "text-bold", Open: "text-open", Other: "text-other"}[r.Role]
	for _, k := range r.Breaks {
		if k.At.Y > sh.scene.Field.Top {
			continue
		}
		at := sh.at(k.At)
		sh.Circle("break", "", at, 0.26*sh.Small)
		if k.Depth >= 1 {
			sh.Place(style, []string{fmt.Sprintf("%.0f", k.Depth)}, at, sh.Small, 0.75*sh.Small)
		}
	}
}
