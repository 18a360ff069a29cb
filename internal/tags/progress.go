package tags

// Progress is how much of a game's plays is tagged.
type Progress struct {
	Plays   int            `json:"plays"`   // counted plays
	Full    int            `json:"full"`    // with everything that a play of its kind has
	Partial int            `json:"partial"` // the others: what they lack is unknown, and left out where it matters
	Missing map[string]int `json:"missing"` // counted plays that lack a tag, by tag
}

// ProgressOf counts what is tagged and what is not. A play is full when its
// situation, personnel, set, call, family, concept, result and gain are known,
// and on a pass also the side it was run to and the routes.
func ProgressOf(plays []Play) Progress {
	out := Progress{Missing: map[string]int{}}
	for i := range plays {
		p := &plays[i]
		if p.Status != "counted" {
			continue
		}
		out.Plays++
		lacks := p.Lacks()
		for _, tag := range lacks {
			out.Missing[tag]++
		}
		if len(lacks) == 0 {
			out.Full++
		} else {
			out.Partial++
		}
	}
	return out
}

// Lacks lists the tags a full play has and this one has not, in the order an
// analyst enters them; what is not counted (a kneel, a spike, a play called off)
// lacks nothing.
func (p *Play) Lacks() (out []string) {
	if p.Status != "counted" {
		return nil
	}
	pass := p.Called == nil || *p.Called == "pass"
	for _, x := range []struct {
		tag   string
		known bool
	}{
		{"quarter", p.Quarter != nil}, {"down", p.Down != nil}, {"distance_yd", p.DistanceYd != nil},
		{"yards_to_goal", p.YardsToGoal != nil},
		{"hash", p.Hash != nil}, {"personnel", p.Personnel != nil}, {"set_name", p.SetName != nil},
		{"called", p.Called != nil},
		{"family", p.Family != nil}, {"concept", p.Concept != nil}, {"result", p.Result != nil},
		{"gain_yd", p.gained() != nil},
		{"play_side", !pass || p.PlaySide != nil}, {"routes", !pass || len(p.Routes) > 0},
	} {
		if !x.known {
			out = append(out, x.tag)
		}
	}
	return out
}
