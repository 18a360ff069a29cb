package call

import "fmt"

// A Gift is a throw that the call gives up, and knows it: nobody owes it, and the staff
// has decided so.
type Gift struct {
	Receiver string `json:"receiver"`        // #1 to #5 or back, counted on his own side
	Route    string `json:"route,omitempty"` // of the vocabulary; absent: any
	When     string `json:"when,omitempty"`  // a condition about the set, judged from the receiver's side
	Why      string `json:"why"`
}

// A CompiledGift is a parsed gift.
type CompiledGift struct {
	Gift
	Who  Who
	When Cond
}

func (c *Call) gifts() (out []CompiledGift, err error) {
	for _, g := range c.Gives {
		w, rest, err := parseWho(g.Receiver)
		if err != nil || rest != "" {
			return nil, fmt.Errorf("gives: "+notReceiver, g.Receiver)
		}
		when, err := ParseCond(g.When)
		if err != nil {
			return nil, fmt.Errorf("gives: %w", err)
		}
		out = append(out, CompiledGift{g, w, when})
	}
	return out, nil
}

func (c *Call) giftFaults() (out []Fault) {
	for i, g := range c.Gives {
		path := fmt.Sprintf("/gives/%d", i)
		if _, rest, err := parseWho(g.Receiver); err != nil || rest != "" {
			out = append(out, whole(path+"/receiver", notReceiver, g.Receiver))
		}
		if _, err := ParseCond(g.When); err != nil {
			out = append(out, whole(path+"/when", "%v", err))
		}
		if g.Why == "" {
			out = append(out, whole(path+"/why", "say why the call gives it up"))
		}
	}
	return out
}
