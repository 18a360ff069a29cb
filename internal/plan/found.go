package plan

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"overhang/internal/stress"
	"overhang/internal/stress/motion"
	"overhang/internal/stress/picture"
	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// A Fraction is x of n plays with its 95% Wilson interval: 0 to 1 of none.
type Fraction struct {
	X     int     `json:"x"`
	N     int     `json:"plays"`
	Share float64 `json:"share"`
	Low   float64 `json:"share_low"`
	High  float64 `json:"share_high"`
}

// Of makes a fraction.
func Of(x, n int) Fraction {
	r := tendency.RateOf(x, n)
	return Fraction{x, n, r.Share, r.Low, r.High}
}

// Threats says which two-way threats of our calls an opponent found: on each play the
// call we made is played against the routes they ran, and the receiver they targeted is
// looked for among those the engine has open because a man of ours was asked to be
// in two places.
type Threats struct {
	Judged   int      `json:"judged"`                  // plays on which call, routes and target are known
	Assumed  int      `json:"assumed_plays,omitempty"` // of those, with routes or a set that nobody saw
	With     int      `json:"with_threat"`             // of those, with an open receiver of a two-way threat
	Found    Fraction `json:"found"`                   // of those, thrown to such a receiver
	Expected float64  `json:"expected"`                // how many had they thrown to any charted receiver alike
	// Success (theirs) when they threw to the open one, when they threw to another, and on
	// plays without such a threat; of the plays whose success is known.
	WhenFound  Fraction       `json:"success_when_found"`
	WhenMissed Fraction       `json:"success_when_missed"`
	Without    Fraction       `json:"success_without_threat"`
	Difference float64        `json:"difference"` // when found less when missed, with its 95% interval
	Low        float64        `json:"difference_low"`
	High       float64        `json:"difference_high"`
	P          float64        `json:"p"` // Fisher's exact, of the two; 1 where there is nothing to compare
	LeftOut    map[string]int `json:"left_out"`
	Conflicts  []FoundIn      `json:"conflicts"` // found most often first, then met most often
}

// FoundIn is one two-way threat of a call against a concept.
type FoundIn struct {
	Call     string   `json:"call"`
	SetName  string   `json:"set_name"`
	Concept  string   `json:"concept"`
	Defender string   `json:"defender"`
	Open     string   `json:"open"`
	Other    string   `json:"other,omitempty"`         // what holds him
	Assumed  int      `json:"assumed_plays,omitempty"` // of those met, with routes or a set that nobody saw
	Met      int      `json:"met"`                     // plays on which it was there
	Found    int      `json:"found"`                   // of those, thrown to the open one
	Success  Fraction `json:"success_when_found"`
}

// AssumedText says how many of the plays judged have routes that nobody saw, "" for none.
func (t *Threats) AssumedText() string { return AssumedText(t.Assumed, t.Judged) }

// AssumedText is as of all threats.
func (f *FoundIn) AssumedText() string { return AssumedText(f.Assumed, f.Met) }

// findThreats plays the calls of our plays again. It fails only when ctx ends.
func findThreats(ctx context.Context, of *OurPlays) (Threats, error) {
	t := Threats{LeftOut: map[string]int{}, Conflicts: []FoundIn{}}
	var hit, miss, none tally
	for i := range of.Plays {
		p := &of.Plays[i]
		r, target, why := of.replay(ctx, p)
		if ctx.Err() != nil {
			return t, ctx.Err()
		}
		if why != "" {
			t.LeftOut[why]++
			continue
		}
		t.Judged++
		if p.RoutesAssumed {
			t.Assumed++
		}
		open, met := map[int]bool{}, map[int]bool{}
		for _, k := range Told(r) {
			if f := &r.Findings[k]; !f.Single && f.Open != r.Rep.Run {
				open[f.Open] = true
				if at := t.at(of.Book.Call(*p.Coverage).Name, p, r, f); !met[at] {
					met[at] = true
					t.Conflicts[at].meet(p, f.Open == target, &of.Settings)
				}
			}
		}
		switch {
		case len(open) == 0:
			none.add(p, &of.Settings)
			continue
		case open[target]:
			hit.add(p, &of.Settings)
		default:
			miss.add(p, &of.Settings)
		}
		t.With++
		t.Expected += float64(len(open)) / float64(len(p.Routes))
	}
	t.Found = Of(hit.plays, t.With)
	t.WhenFound, t.WhenMissed, t.Without = hit.success(), miss.success(), none.success()
	t.Difference = t.WhenFound.Share - t.WhenMissed.Share
	t.Low, t.High = tendency.Difference(hit.x, hit.n, miss.x, miss.n)
	t.P = tendency.Independence([][]int{{hit.x, hit.n - hit.x}, {miss.x, miss.n - miss.x}}).P
	slices.SortStableFunc(t.Conflicts, func(a, b FoundIn) int { return cmp.Or(b.Found-a.Found, b.Met-a.Met) })
	return t, nil
}

// A tally counts plays, and how many of those whose success is known were one.
type tally struct{ plays, x, n int }

func (t *tally) add(p *tags.Play, set *tags.Settings) {
	t.plays++
	if ok, known := succeeded(p, set); known {
		t.n++
		if ok {
			t.x++
		}
	}
}

func (t *tally) success() Fraction { return Of(t.x, t.n) }

// succeeded says whether a play was a success of the offense, and whether that is known.
func succeeded(p *tags.Play, set *tags.Settings) (ok, known bool) {
	if p.Down == nil || p.DistanceYd == nil || p.GainYd == nil && !p.Touchdown {
		return false, false
	}
	gain := 0
	if p.GainYd != nil {
		gain = *p.GainYd
	}
	return tendency.Success(*p.Down, *p.DistanceYd, gain, p.Touchdown, set.SuccessPercent), true
}

// at is the place of a finding of a play among the conflicts, a new one where it was never met.
func (t *Threats) at(call string, p *tags.Play, r *stress.Result, f *stress.Finding) int {
	in := FoundIn{Call: call, SetName: *p.SetName, Concept: *p.Concept, Defender: r.Defender(f.Man),
		Open: r.Threat(f.Open), Other: r.Threat(f.Other), Success: Of(0, 0)}
	i := slices.IndexFunc(t.Conflicts, func(x FoundIn) bool {
		return x.Call == in.Call && x.SetName == in.SetName && x.Concept == in.Concept && x.Defender == in.Defender &&
			x.Open == in.Open && x.Other == in.Other
	})
	if i < 0 {
		i = len(t.Conflicts)
		t.Conflicts = append(t.Conflicts, in)
	}
	return i
}

// meet counts a play on which the threat was there, thrown to the open one or not.
func (f *FoundIn) meet(p *tags.Play, thrown bool, set *tags.Settings) {
	f.Met++
	if p.RoutesAssumed {
		f.Assumed++
	}
	if !thrown {
		return
	}
	f.Found++
	if ok, known := succeeded(p, set); known {
		x := f.Success.X
		if ok {
			x++
		}
		f.Success = Of(x, f.Success.N+1)
	}
}

// replay plays the call of a play against its routes and returns which receiver was
// targeted, or why it cannot.
func (of *OurPlays) replay(ctx context.Context, p *tags.Play) (r *stress.Result, target int, why string) {
	c, at, why := asRun(p)
	switch {
	case p.Coverage == nil:
		return nil, 0, "no coverage tagged: the call is unknown"
	case of.Book.Call(*p.Coverage) == nil:
		return nil, 0, "the coverage is none of our calls"
	case why != "":
		return nil, 0, why
	case c.Runs():
		return nil, 0, "a run: nobody is thrown to"
	case at == "":
		return nil, 0, "nobody targeted, or not tagged who"
	}
	hash := ""
	if p.Hash != nil {
		hash = *p.Hash
	}
	pic, err := c.On(of.Level, hash, *p.PlaySide)
	if err != nil {
		return nil, 0, "the engine cannot read the routes"
	}
	down, distance := 0, 0
	if p.Down != nil && p.DistanceYd != nil {
		down, distance = *p.Down, *p.DistanceYd
	}
	params := motion.Defaults(of.Level)
	terms := SituationOf(down, distance, "", of.Settings)
	if r, err = stress.Evaluate(ctx, of.Book.Call(*p.Coverage).Compiled, stress.Prepare(pic, &params),
		terms.Setting); err != nil {
		return nil, 0, "there was no time to play it"
	}
	for i := range pic.Receivers {
		if pic.Receivers[i].Name == at {
			return r, i, ""
		}
	}
	return nil, 0, "the engine cannot read the routes"
}

// asRun is what one play shows, as a concept of one play, and the name there of who
// was targeted, "" when nobody is tagged; or why it shows nothing. A run is one as the
// store counts them: called so, with a concept and a set, and without routes.
func asRun(p *tags.Play) (c Concept, target, why string) {
	if len(p.Routes) == 0 && p.Called != nil && *p.Called == "run" && p.Concept != nil && p.SetName != nil {
		row := tags.ConceptRow{SetName: *p.SetName, Concept: *p.Concept, Family: picture.Run.String(), Plays: 1}
		return concept([]tags.ConceptRow{row}), "", ""
	}
	if p.Concept == nil || p.SetName == nil || p.Family == nil || p.PlaySide == nil || len(p.Routes) == 0 {
		return c, "", "no concept or set tagged, or a pass without family, play side or routes"
	}
	var rows []tags.ConceptRow
	var targeted *tags.Route
	for i := range p.Routes {
		x := &p.Routes[i]
		row := tags.ConceptRow{SetName: *p.SetName, Concept: *p.Concept, Family: *p.Family, Plays: 1, Side: "back",
			Number: x.Number, Back: x.Eligible == "back", Route: x.Route, N: 1}
		if x.Side == *p.PlaySide {
			row.Side = "play"
		}
		if x.BreakDepthYd != nil {
			row.Known, row.Median = 1, x.BreakDepthYd
		}
		rows = append(rows, row)
		if x.Targeted {
			targeted = x
		}
	}
	// The order of the store, on which the names of backs hang.
	slices.SortStableFunc(rows, func(a, b tags.ConceptRow) int {
		return cmp.Or(cmp.Compare(b.Side, a.Side),
			a.Number-b.Number)
	})
	c = Concepts(rows)[0]
	if targeted == nil {
		return c, "", ""
	}
	name := nameOf(targeted, p)
	if c.away {
		name = turned(name)
	}
	return c, name, ""
}

// nameOf is what a picture calls the man of a route.
func nameOf(r *tags.Route, p *tags.Play) string {
	if r.Eligible != "back" {
		if r.Side == *p.PlaySide {
			return fmt.Sprint("P", r.Number)
		}
		return fmt.Sprint("B", r.Number)
	}
	before := 0 // backs that come before him
	for i := range p.Routes {
		x := &p.Routes[i]
		if x != r && x.Eligible == "back" && (x.Side == r.Side && x.Number < r.Number || x.Side == *p.PlaySide &&
			r.Side != *p.PlaySide) {
			before++
		}
	}
	if before > 0 {
		return "back2"
	}
	return "back"
}
