package tags

// Wanted are the tags that a snap should have in the end, in the order an
// analyst enters them; routes are wanted of passes only.
var Wanted = []string{"quarter", "down", "distance_yd", "yards_to_goal", "hash", "personnel", "set_name", "motion", "family", "called", "concept", "play_side",
	"routes", "result", "gain_yd", "shell", "coverage"}

// Untagged returns which of Wanted a play lacks, in that order; none of a play
// that is not counted (a kneel, a spike, a play called off), which no statistic reads.
func (p *Play) Untagged() []string {
	if p.Status != "counted" {
		return nil
	}
	known := map[string]bool{"quarter": p.Quarter != nil, "down": p.Down != nil, "distance_yd": p.DistanceYd != nil, "yards_to_goal": p.YardsToGoal != nil, "hash": p.Hash != nil,
		"personnel": p.Personnel != nil, "set_name": p.SetName != nil, "motion": p.Motion != nil, "family": p.Family != nil, "called": p.Called != nil, "concept": p.Concept != nil,
		"play_side": p.PlaySide != nil, "routes": len(p.Routes) > 0 || p.Called != nil && *p.Called == "run", "result": p.Result != nil, "gain_yd": p.GainYd != nil,
		"shell": p.Shell != nil, "coverage": p.Coverage != nil}
	var out []string
	for _, f := range Wanted {
		if !known[f] {
			out = append(out, f)
		}
	}
	return out
}
