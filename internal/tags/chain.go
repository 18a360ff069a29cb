package tags

import (
	"fmt"
	"slices"
	"strings"

	"github.com/google/uuid"
)

// A Start is where a play begins. Unknown is nil.
type Start struct {
	Quarter     *int `json:"quarter,omitempty"`
	ClockS      *int `json:"clock_s,omitempty"` // of a proposal: at most this
	Down        *int `json:"down,omitempty"`
	DistanceYd  *int `json:"distance_yd,omitempty"`
	YardsToGoal *int `json:"yards_to_goal,omitempty"`
	ScoreMargin *int `json:"score_margin,omitempty"`
}

// What a play's result says about the series of downs it is in.
const (
	SeriesGoesOn  = "goes_on"
	SeriesEnds    = "ends" // the next snap of this offense is a first down of a new possession
	SeriesUnknown = "unknown"
)

// A Proposal is what a play's result says about the next one.
type Proposal struct {
	Number int `json:"number"`
	Start
	Series string `json:"series"`
	Why    string `json:"why"` // in words; what is not proposed is not known
}

// Propose returns the situation of the play after last, as far as its result
// says: the downs of a series and the line to gain are those of every rule book
// (four downs; ten yards, or the goal line when that is nearer). last nil is the
// start of a game. It never guesses: a penalty, a change of possession or a tag
// that is missing leave unknown what they leave unknown.
func Propose(last *Play) Proposal {
	if last == nil {
		return Proposal{Number: 1, Series: SeriesUnknown, Why: "it is the first play of the game"}
	}
	n := Proposal{Number: last.Number + 1, Series: SeriesUnknown, Start: Start{Quarter: last.Quarter, ClockS: last.ClockS}}
	gain := last.gained()
	ends := func(why string) Proposal { n.Series, n.Why = SeriesEnds, why; return n }
	switch {
	case last.enforced():
		n.ScoreMargin, n.Why = last.ScoreMargin, "a penalty: where it was enforced is not tagged"
		return n
	case last.Touchdown:
		return ends("a touchdown: the try and a kickoff follow")
	case last.Result != nil && (*last.Result == "intercepted" || *last.Result == "fumble_lost"):
		return ends("the ball was lost")
	case last.Down == nil || last.DistanceYd == nil || gain == nil:
		n.Why = "down, distance or gain of the last play are not tagged"
		return n
	}
	if last.YardsToGoal != nil {
		spot := *last.YardsToGoal - *gain
		switch {
		case spot <= 0:
			n.Why = "the gain reaches the goal line, but no touchdown is tagged"
			return n
		case spot > 99:
			return ends("a safety: the ball came down in their own end zone")
		}
		n.YardsToGoal = &spot
	}
	switch {
	case *gain >= *last.DistanceYd:
		n.Down, n.DistanceYd, n.Why = whole(1), firstDistance(n.YardsToGoal), "a first down"
	case *last.Down == 4:
		n.YardsToGoal = nil
		return ends("fourth down fell short")
	default:
		n.Down, n.DistanceYd, n.Why = whole(*last.Down+1), whole(*last.DistanceYd-*gain), "the series goes on"
	}
	n.Series, n.ScoreMargin = SeriesGoesOn, last.ScoreMargin
	return n
}

func whole(n int) *int { return &n }

// firstDistance is the distance of a first down: ten yards, or to the goal line.
// Without a spot it is unknown.
func firstDistance(spot *int) *int {
	if spot == nil {
		return nil
	}
	return whole(min(10, *spot))
}

// gained returns the yards gained: an incompletion and a spike gain none by rule.
func (p *Play) gained() *int {
	if p.GainYd == nil && (p.Status == "spike" || p.Result != nil && *p.Result == "incomplete") {
		return whole(0)
	}
	return p.GainYd
}

// enforced says that a penalty, and not the play, decided what came next.
func (p *Play) enforced() bool {
	return p.Status == "no_play" || p.Result != nil && *p.Result == "penalty"
}

// A ChainBreak is two plays in a row of which the second cannot follow the first.
type ChainBreak struct {
	First   ChainPlay `json:"first"`
	Second  ChainPlay `json:"second"`
	Message string    `json:"message"`
}

// A ChainPlay names a play of a break.
type ChainPlay struct {
	ID     uuid.UUID `json:"id"`
	Number int       `json:"number"`
}

// A Chain is what checking a game's plays against each other found.
type Chain struct {
	Links     int            `json:"links"`   // pairs of plays in a row
	Checked   int            `json:"checked"` // of those, how many could be checked
	Unchecked map[string]int `json:"unchecked"`
	Breaks    []ChainBreak   `json:"breaks"`
}

// CheckChain checks each play of a game, in the order of their numbers, against
// the one before it. It reports and mends nothing: since_last of the later play
// says what lay between the two where their own tags do not.
func CheckChain(plays []Play) Chain {
	ps := slices.Clone(plays)
	slices.SortFunc(ps, func(a, b Play) int { return a.Number - b.Number })
	out := Chain{Unchecked: map[string]int{}, Breaks: []ChainBreak{}}
	for i := 1; i < len(ps); i++ {
		a, b := &ps[i-1], &ps[i]
		out.Links++
		wrong, why := follows(a, b)
		if why == "" {
			out.Checked++
		} else {
			out.Unchecked[why]++
		}
		if len(wrong) > 0 {
			out.Breaks = append(out.Breaks, ChainBreak{First: ChainPlay{a.ID, a.Number}, Second: ChainPlay{b.ID, b.Number},
				Message: fmt.Sprintf("play %d, then play %d: %s", a.Number, b.Number, strings.Join(wrong, "; "))})
		}
	}
	return out
}

// follows returns what keeps b from being the play after a, and why that could not
// be checked in full. In order: a new possession, be it said by b, by the half or
// by a's result; what was decided off the field of play (a penalty, a review);
// what a's tags leave open; else the plain arithmetic.
func follows(a, b *Play) (wrong []string, unchecked string) {
	wrong = clockGoesOn(a, b)
	if b.Down == nil {
		return wrong, "down of the later play not tagged"
	}
	since, next := "", Propose(a)
	if b.SinceLast != nil {
		since = *b.SinceLast
	}
	switch {
	case since == "possession" || since == "kick" || since == "half" || anotherHalf(a, b):
		return append(wrong, newSeries(b, "possession changed")...), ""
	case since == "penalty" || since == "review" || a.enforced():
		return append(wrong, decided(a, b)...), ""
	case next.Series == SeriesEnds:
		return append(wrong, newSeries(b, next.Why)...), ""
	case next.Series == SeriesUnknown:
		if strings.HasPrefix(next.Why, "the gain reaches") {
			return append(wrong, next.Why), ""
		}
		return wrong, next.Why
	case *next.Down == 4 && *b.Down == 1: // they kicked: kicks are not plays here
		return append(wrong, newSeries(b, "they may have kicked on fourth down")...), ""
	}
	for _, x := range []struct {
		name      string
		want, got *int
	}{{"down", next.Down, b.Down}, {"distance_yd", next.DistanceYd, b.DistanceYd}, {"yards_to_goal", next.YardsToGoal,
		b.YardsToGoal}, {"score_margin", next.ScoreMargin, b.ScoreMargin}} {
		if x.want != nil && x.got != nil && *x.want != *x.got {
			wrong = append(wrong, fmt.Sprintf("%s is %d where %d follows (%s)", x.name, *x.got, *x.want, next.Why))
		}
	}
	return wrong, ""
}

// anotherHalf says that a half ended between two plays, or regulation did:
// possession is settled anew.
func anotherHalf(a, b *Play) bool {
	return a.Quarter != nil && b.Quarter != nil && (*a.Quarter+1)/2 != (*b.Quarter+1)/2
}

// clockGoesOn checks that time runs one way. Overtime may have several periods
// under one number, so its clock is not compared.
func clockGoesOn(a, b *Play) (wrong []string) {
	if a.Quarter == nil || b.Quarter == nil {
		return nil
	}
	if *b.Quarter < *a.Quarter {
		wrong = append(wrong, fmt.Sprintf("quarter %d follows quarter %d", *b.Quarter, *a.Quarter))
	}
	if *a.Quarter == *b.Quarter && *a.Quarter <= 4 && a.ClockS != nil && b.ClockS != nil && *b.ClockS > *a.ClockS {
		wrong = append(wrong, fmt.Sprintf("clock_s rises from %d to %d", *a.ClockS, *b.ClockS))
	}
	return wrong
}

func newSeries(b *Play, why string) (wrong []string) {
	if *b.Down != 1 {
		return []string{fmt.Sprintf("down is %d where a new series begins (%s)", *b.Down, why)}
	}
	if want := firstDistance(b.YardsToGoal); want != nil && b.DistanceYd != nil && *want != *b.DistanceYd {
		wrong = append(wrong, fmt.Sprintf("distance_yd is %d where a series begins %d yards from the goal line",
			*b.DistanceYd, *b.YardsToGoal))
	}
	return wrong
}

// decided checks a play after a penalty or a review: a first down, or the same or
// the next down of the same series, whose line to gain a penalty does not move.
func decided(a, b *Play) []string {
	if *b.Down == 1 || a.Down == nil {
		return nil
	}
	if *b.Down != *a.Down && *b.Down != *a.Down+1 {
		return []string{fmt.Sprintf("down is %d after %d: a penalty or a review repeats it, counts it, or makes a first down",
			*b.Down, *a.Down)}
	}
	if a.DistanceYd != nil && b.DistanceYd != nil && a.YardsToGoal != nil && b.YardsToGoal != nil {
		if was, is := *a.YardsToGoal-*a.DistanceYd, *b.YardsToGoal-*b.DistanceYd; was != is {
			return []string{fmt.Sprintf("the line to gain moved from %d to %d yards from the goal line within a series", was,
				is)}
		}
	}
	return nil
}
