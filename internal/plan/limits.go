package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"overhang/internal/tags"
)

// Limits are what a coordinator asks of the mix of a situation. The zero value asks nothing.
type Limits struct {
	Only   bool    `json:"only,omitempty"`    // no call but those of Shares
	AtMost int     `json:"at_most,omitempty"` // calls in the mix; 0: three
	Shares []Bound `json:"shares,omitempty"`
}

// A Bound is how often a call is called, at least and at most; nil where that is open.
type Bound struct {
	Call    string   `json:"call"`
	AtLeast *float64 `json:"at_least,omitempty"` // 0 to 1
	AtMost  *float64 `json:"at_most,omitempty"`
}

// low and high are the limits as numbers.
func (b *Bound) low() float64 {
	if b.AtLeast == nil {
		return 0
	}
	return *b.AtLeast
}

func (b *Bound) high() float64 {
	if b.AtMost == nil {
		return 1
	}
	return *b.AtMost
}

// none reports whether nothing is asked.
func (l *Limits) none() bool { return l == nil || !l.Only && l.AtMost == 0 && len(l.Shares) == 0 }

// most is how many calls may be in the mix: never fewer than have a floor.
func (l *Limits) most() int {
	n, floors := mostCalls, 0
	if l != nil {
		if l.AtMost > 0 {
			n = l.AtMost
		}
		for i := range l.Shares {
			if l.Shares[i].low() > 0 {
				floors++
			}
		}
	}
	return max(n, floors)
}

// of are the limits of a call.
func (l *Limits) of(call string) (low, high float64) {
	if l == nil {
		return 0, 1
	}
	for i := range l.Shares {
		if b := &l.Shares[i]; b.Call == call {
			return b.low(), b.high()
		}
	}
	if l.Only {
		return 0, 0
	}
	return 0, 1
}

// wrong lists what no mix of a situation's calls can hold.
func (l *Limits) wrong(s *Situation, at string) (fs []tags.FieldError) {
	if l.none() {
		return nil
	}
	add := func(field, format string, args ...any) {
		fs = append(fs, tags.FieldError{Field: at + "limits." + field, Msg: fmt.Sprintf(format, args...)})
	}
	floors, seen := 0.0, map[string]bool{}
	for i := range l.Shares {
		b, on := &l.Shares[i], fmt.Sprintf("shares[%d].", i)
		if why := s.notOnce(b.Call, seen); why != "" {
			add(on+"call", "%s", why)
		}
		if !(b.low() >= 0 && b.low() <= 1) {
			add(on+"at_least", "%v is not from 0 to 1", b.low())
		}
		if !(b.high() >= 0 && b.high() <= 1) {
			add(on+"at_most", "%v is not from 0 to 1", b.high())
		} else if b.low() > b.high() {
			add(on+"at_least", "is more than at most")
		}
		floors += b.low()
	}
	if floors > 1+slack {
		add("shares", "the floors come to %.4g: at most 1", floors)
	}
	if l.AtMost < 0 || l.AtMost > 20 {
		add("at_most", "%d calls: 1 to 20, 0 for the usual three", l.AtMost)
	}
	if len(fs) == 0 && l.room(s) < 1-slack {
		add("shares", "the ceilings leave %.0f%% that no call may take", 100*(1-l.room(s)))
	}
	if len(fs) == 0 && len(s.Concepts) > 0 && len(s.Calls) > 0 && len(s.Calls[0].Points) == 0 {
		add("shares", "the plan was kept before there were points: update its stats first")
	}
	return fs
}

// room is how much of the snaps the calls that may be in the mix can take together: those
// with a floor, and of the others the ones that may be called most.
func (l *Limits) room(s *Situation) float64 {
	sum, left, open := 0.0, l.most(), []float64{}
	for i := range s.Calls {
		low, high := l.of(s.Calls[i].Call)
		if low > 0 {
			sum, left = sum+high, left-1
		} else {
			open = append(open, high)
		}
	}
	slices.SortFunc(open, func(a, b float64) int { return cmp.Compare(b, a) })
	for _, high := range open[:min(max(0, left), len(open))] {
		sum += high
	}
	return sum
}

// remix mixes a kept situation anew within the coordinator's limits, out of the numbers that
// it keeps, and says what the limits cost.
func (s *Situation) remix() {
	if s.TooFew != "" || len(s.Concepts) == 0 || len(s.Calls) == 0 || len(s.Calls[0].Points) == 0 {
		return
	}
	free, bound := s.Board(), s.Board()
	free.mix(nil)
	bound.mix(&s.Choice.Limits)
	for i := range s.Calls {
		s.Calls[i].Share, s.Calls[i].For = bound.Rows[i].Share, bound.Rows[i].For
	}
	s.MixMissing, s.LimitsCost = bound.MixMissing, nil
	s.MixValue, s.MixPoints, s.Predictable = bound.MixValue, bound.MixPoints, bound.Predictable
	if s.Choice.Limits.none() || free.MixPoints == nil || bound.MixPoints == nil {
		return
	}
	cost := max(0, *bound.MixPoints-*free.MixPoints)
	s.LimitsCost = &cost
}

// held says which limit a share stands at, "" for none.
func (l *Limits) held(call string, share float64) string {
	switch low, high := l.of(call); {
	case low > 0 && math.Abs(share-low) < slack:
		return fmt.Sprintf("held at your floor of %.0f%%", 100*low)
	case high < 1 && math.Abs(share-high) < slack:
		return fmt.Sprintf("held at your ceiling of %.0f%%", 100*high)
	}
	return ""
}
