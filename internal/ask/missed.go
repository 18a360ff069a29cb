package ask

import (
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Missed rule is how often the men of a group did not know whom it gives them.
type Missed struct {
	Group    string   `json:"group"`
	Call     string   `json:"call"`
	Man      string   `json:"man"`
	When     string   `json:"when"`
	Do       string   `json:"do"`
	Answered int      `json:"answered"`
	Missed   int      `json:"missed"`
	Share    float64  `json:"share"`
	Low      float64  `json:"share_low"`
	High     float64  `json:"share_high"`
	Jerseys  []string `json:"jerseys"` // that missed it
}

// MissedRules says of each rule that a quiz asked for how often it was missed, in the order of
// the counts.
func MissedRules(counts []tags.RuleCount) []Missed {
	out := []Missed{}
	for _, c := range counts {
		r := tendency.RateOf(c.Missed, c.Answered)
		out = append(out, Missed{c.Group, c.Call, c.Man, c.When, c.Do, c.Answered, c.Missed, r.Share, r.Low, r.High,
			c.Jerseys})
	}
	return out
}
