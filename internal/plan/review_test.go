package plan

import (
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/google/uuid"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/tags"
)

// idAt is an identity made at a moment (RFC 9562, 5.7: the first 48 bits are milliseconds).
func idAt(t *testing.T, at time.Time) uuid.UUID {
	t.Helper()
	id, err := uuid.NewV7()
	if err != nil {
		t.Fatal(err)
	}
	var ms [8]byte
	binary.BigEndian.PutUint64(ms[:], uint64(at.UnixMilli()))
	copy(id[:6], ms[2:])
	return id
}

// smashed is a smash on third and five, thrown to one of its receivers (0: to nobody).
func smashed(id uuid.UUID, coverage *string, gain int, to int) tags.Play {
	p := tags.Play{Meta: tags.Meta{ID: id}, Down: ptr(3), DistanceYd: ptr(5), GainYd: &gain, Coverage: coverage,
		SetName: ptr("2x2"), Concept: ptr("smash"), Family: ptr("dropback"), PlaySide: ptr("right"),
		Routes: []tags.Route{{Side: "left", Number: 1, Eligible: "receiver", Route: "go"}, {Side: "right", Number: 2,
			Eligible: "receiver", Route: "corner", BreakDepthYd: ptr(12.0)}, {Side: "right", Number: 1, Eligible: "receiver",
			Route: "hitch", BreakDepthYd: ptr(5.0)}}}
	for i := range p.Routes {
		p.Routes[i].Targeted = p.Routes[i].Number == to && p.Routes[i].Side == "right"
	}
	return p
}

// builtIn is a callbook of the book's calls.
func builtIn() Callbook {
	var calls []Named
	for _, p := range call.Book() {
		calls = append(calls, Named{Name: p.Call.Name, Compiled: p})
	}
	return NewCallbook(tags.NewVocabulary(nil), calls)
}

func equal(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// ours are plays of our games by the built-in book, and which are of each situation.
func ours(plays []tags.Play, within ...map[uuid.UUID]bool) OurPlays {
	return OurPlays{plays, within, builtIn(), field.HighSchool, tags.DefaultSettings()}
}

// TestReview holds a plan written by hand against plays written by hand; every figure is
// counted by hand or CALC.
func TestReview(t *testing.T) {
	made := time.Date(2031, 9, 1, 12, 0, 0, 0, time.UTC)
	c := Content{MadeAt: made, Situations: []Situation{
		{Name: "2nd and 4-6", Concepts: []Observed{}, Calls: []Predicted{}},
		{Name: "3rd and 4-6", Behind: 20, Concepts: []Observed{{SetName: "2x2", Concept: "smash", Family: "dropback",
			Plays: 12}, {SetName: "3x1", Concept: "flood", Family: "dropback", Plays: 8}},
			Calls: []Predicted{{Call: "cover 1", Share: .75, Against: []float64{.4, .5}}, {Call: "cover 2 spot", Share: .25,
				Against: []float64{.6, .3}}}}}}
	later := made.Add(time.Minute)
	// of a random identity nobody knows when
	plays := []tags.Play{smashed(idAt(t, later), ptr("cover 2 spot"), 12, 2), smashed(idAt(t, later), ptr("Cover 1"), 0,
		1), smashed(uuid.New(), nil, 7, 0),
		{Meta: tags.Meta{ID: idAt(t, later)}, Down: ptr(3), DistanceYd: ptr(4), GainYd: ptr(1),
			Coverage: ptr("our own word")}, {Meta: tags.Meta{ID: idAt(t, later)}}, smashed(idAt(t, made.Add(-time.Second)),
			ptr("cover 1"), 9, 1)}
	third := map[uuid.UUID]bool{}
	for _, i := range []int{0, 1, 2, 3, 5} {
		third[plays[i].ID] = true
	}
	within := []map[uuid.UUID]bool{{}, third}
	review := func(earlier bool) Review {
		return must(NewReview(context.Background(), &c, ours(plays, within...), earlier))
	}
	r := review(false)
	if r.Plays != 5 || r.Earlier != 1 || r.Elsewhere != 1 || len(r.Situations) != 1 {
		t.Fatalf("%d plays, %d earlier, %d elsewhere, %d situations; want 5, 1, 1, 1", r.Plays, r.Earlier, r.Elsewhere,
			len(r.Situations))
	}
	x := &r.Situations[0]
	// Hypergeometric, 3 of 23 plays of which 15 are smashes: 0 to 3 with chances 56, 420, 840, 455
	// of 1771; those no likelier than 3 come to 931 of 1771.
	if x.Ran != 3 || x.Plays != 4 || !x.Thin || x.Test.Method != "exact" || !equal(x.Test.P, 931.0/1771) || x.Test.Stands {
		t.Errorf("ran %d of %d, %+v; want 3 of 4, exact, p %v", x.Ran, x.Plays, x.Test, 931.0/1771)
	}
	if k := x.Concepts[0]; k.Concept != "smash" || k.Ran.X != 3 || k.Ran.N != 3 || k.Predicted.X != 12 ||
		k.Predicted.N != 20 || !equal(k.Difference, .4) || x.Concepts[1].Ran.X != 0 || x.Concepts[1].Predicted.X != 8 {
		t.Errorf("concepts %+v", x.Concepts)
	}
	calls := func(x *Reviewed) (out string) {
		for _, k := range x.Calls {
			out += fmt.Sprintf("%s %d of %d %v; ", k.Call, k.Made.X, k.Made.N, k.Outside)
		}
		return out
	}
	// Wilson of 1 in 3 is .061 to .792 (CALC): it holds .75 and .25, not 0.
	if got, want := calls(x), "cover 1 1 of 3 false; cover 2 spot 1 of 3 false; our own word 1 of 3 true; "; got != want ||
		x.Kept.X != 2 || x.Kept.N != 3 || x.Chosen {
		t.Errorf("calls %s, kept %+v; want %s and 2 of 3", got, x.Kept, want)
	}
	// Forecasts .6 (came) and .4 (did not), each alone in its bin: Brier (.16 + .16) / 2, all of it
	// reliability; the rates 1 and 0 lie .5 from .5; uncertainty .25.
	k := &r.Calibration
	if k.Came.X != 1 || k.Came.N != 2 || !equal(k.Forecast, .5) || !equal(k.Brier, .16) || !equal(k.Reliability, .16) ||
		!equal(k.Resolution, .25) || !equal(k.Uncertainty, .25) || !equal(k.Within, 0) || k.Bins[2].Came.N != 1 ||
		k.Bins[3].Came.X != 1 {
		t.Errorf("calibration %+v", k)
	}
	left := map[string]int{"in no situation of the plan": 1, "no coverage tagged: the call is unknown": 1,
		"the call was not one of the plan's": 1}
	if fmt.Sprint(k.LeftOut) != fmt.Sprint(left) {
		t.Errorf("left out of the calibration: %v, want %v", k.LeftOut, left)
	}
	c.Situations[1].Choice = Choice{Calls: []Chosen{{Call: "cover 1", Share: 1}}}
	if y := review(false).Situations[0]; !y.Chosen || y.Kept.X != 1 || !y.Calls[0].Outside ||
		calls(&y) != "cover 1 1 of 3 true; cover 2 spot 1 of 3 true; our own word 1 of 3 true; " {
		t.Errorf("with a choice of nothing but cover 1: kept %+v, %s", y.Kept, calls(&y))
	}
	if all := review(true); all.Plays != 6 || all.Earlier != 1 || all.Calibration.Came.N != 3 {
		t.Errorf("with what was tagged earlier: %d plays, %d earlier, %d judged", all.Plays, all.Earlier,
			all.Calibration.Came.N)
	}
}

// TestReviewCountsAsForecast: a pass with assumed routes and no play side is in the forecast, so
// it is in what they ran too, or every run would be too large a share of it.
func TestReviewCountsAsForecast(t *testing.T) {
	t.Parallel()
	p := smashed(uuid.New(), ptr("cover 1"), 3, 0)
	p.RoutesAssumed, p.PlaySide, p.Family = true, nil, nil
	run := tags.Play{Called: ptr("run"), SetName: ptr("2x2"), Concept: ptr("power")}
	of := ours([]tags.Play{p, run})
	of.Within = []map[uuid.UUID]bool{{p.ID: true, run.ID: true}}
	r := must(NewReview(t.Context(), &Content{Situations: []Situation{{Name: "all"}}}, of, true))
	if x := r.Situations[0]; x.Ran != 2 || x.AssumedRan != 1 || x.Concepts[0].Ran.N != 2 {
		t.Errorf("%+v; want two plays, one of them with assumed routes", x)
	}
}

// TestFound: smash against a corner who plays the flat with his eyes on both puts him between
// the hitch and the corner route (the concept's reason for being: common practice, no source);
// one hitch alone against man to man asks nobody to be in two places.
func TestFound(t *testing.T) {
	id := func() uuid.UUID { return uuid.New() }
	spot, man := ptr("cover 2 spot"), ptr("cover 1")
	plays := []tags.Play{smashed(id(), spot, 12, 2), smashed(id(), spot, 0, 2), smashed(id(), spot, 3, 1),
		smashed(id(), man, 3, 1), smashed(id(), spot, 3, 0), smashed(id(), nil, 3, 1), smashed(id(), ptr("cover 4"), 3, 1),
		{Coverage: spot}}
	plays[1].GainYd = nil
	plays[3].Routes = plays[3].Routes[2:]
	unreadable := smashed(id(), spot, 3, 1)
	unreadable.SetName = ptr("a set of our own")
	run := tags.Play{Coverage: spot, Called: ptr("run"), SetName: ptr("2x2"), Concept: ptr("power")}
	of := ours(append(plays, unreadable, run))
	got := must(findThreats(context.Background(), &of))
	left := map[string]int{"nobody targeted, or not tagged who": 1, "no coverage tagged: the call is unknown": 1,
		"the coverage is none of our calls":                                       1,
		"no concept or set tagged, or a pass without family, play side or routes": 1, "the engine cannot read the routes": 1,
		"a run: nobody is thrown to": 1}
	if fmt.Sprint(got.LeftOut) != fmt.Sprint(left) || got.Judged != 4 {
		t.Errorf("%d judged, left out %v; want 4, %v", got.Judged, got.LeftOut, left)
	}
	if got.With != 3 || got.Found.X != 2 || got.WhenFound.X != 1 || got.WhenFound.N != 1 || got.WhenMissed.N != 1 ||
		got.WhenMissed.X != 0 || got.Without.N != 1 {
		t.Errorf("%+v; want the corner route found on two of three plays, one of them with a gain, and no threat from the "+
			"hitch alone", got)
	}
	// Of two plays one came of the one that was found, none of the other: Fisher's p is 1 (CALC).
	if !equal(got.Difference, 1) || !equal(got.P, 1) || got.Low > 0 || got.High != 1 {
		t.Errorf("difference %v, %v to %v, p %v; want 1 with an interval that holds 0, p 1", got.Difference, got.Low,
			got.High, got.P)
	}
	// One of three charted receivers is the open one, on each of three plays.
	if !equal(got.Expected, 1) {
		t.Errorf("expected %v; want 1", got.Expected)
	}
	c := got.Conflicts[0]
	if c.Defender != "strong corner" || c.Open != "#2 corner" || c.Other != "#1 hitch" || c.Met != 3 || c.Found != 2 ||
		c.Success.N != 1 {
		t.Errorf("%+v; want the strong corner between #2 corner and #1 hitch", c)
	}
}

// TestTargetOfBacks: whichever back was targeted, the engine's picture has him under the
// name the review looks for.
func TestTargetOfBacks(t *testing.T) {
	back := func(side string, n int, route string) tags.Route {
		return tags.Route{Side: side, Number: n, Eligible: "back", Route: route}
	}
	for _, routes := range [][]tags.Route{{back("left", 3, "flat"), back("right", 3, "swing")}, {back("right", 3, "swing"),
		back("left", 3, "flat")}, {back("right", 4, "flat"), back("right", 3, "swing")}, {back("left", 3, "swing")}} {
		for k := range routes {
			p := smashed(uuid.New(), ptr("cover 1"), 3, 0)
			p.Routes = append(p.Routes, routes...)
			p.Routes[3+k].Targeted = true
			c, at, why := asRun(&p)
			if why != "" {
				t.Fatal(why)
			}
			found := ""
			for _, r := range c.Receivers {
				if r.Name == at {
					found = r.Route
				}
			}
			if found != routes[k].Route {
				t.Errorf("%v: target %d is %q in the picture %s: a %s", routes, k, at, c.Routes, found)
			}
		}
	}
}

// TestReviewSaysAssumed: wherever a review counts routes that nobody saw it says of how many
// plays, on every side of it.
func TestReviewSaysAssumed(t *testing.T) {
	made := time.Date(2031, 9, 1, 12, 0, 0, 0, time.UTC)
	c := Content{MadeAt: made, Situations: []Situation{{Name: "3rd and 4-6", Behind: 42, Assumed: 14,
		Concepts: []Observed{{SetName: "2x2", Concept: "smash", Family: "dropback", Plays: 42, Assumed: 14}},
		Calls:    []Predicted{{Call: "cover 2 spot", Share: 1, Against: []float64{.6}}}}}}
	later := made.Add(time.Minute)
	plays := []tags.Play{smashed(idAt(t, later), ptr("cover 2 spot"), 12, 2), smashed(idAt(t, later), ptr("cover 2 spot"), 3,
		1), smashed(idAt(t, later), ptr("cover 2 spot"), 0, 2)}
	plays[0].RoutesAssumed = true
	in := map[uuid.UUID]bool{plays[0].ID: true, plays[1].ID: true, plays[2].ID: true}
	r := must(NewReview(context.Background(), &c, ours(plays, in), false))
	for want, got := range map[string]string{
		"predicted: routes or set of 14 of 42 assumed; run: routes or set of 1 of 3 assumed": r.Situations[0].AssumedText(),
		"routes or set of 3 of 3 assumed": r.Calibration.AssumedText(),
		"routes or set of 1 of 3 assumed": r.Threats.AssumedText(),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	met := 0
	for i := range r.Threats.Conflicts {
		met += r.Threats.Conflicts[i].Assumed
	}
	if met == 0 {
		t.Error("no conflict says that its routes are assumed")
	}
	plays[0].RoutesAssumed, c.Situations[0].Assumed, c.Situations[0].Concepts[0].Assumed = false, 0, 0
	r = must(NewReview(context.Background(), &c, ours(plays, in), false))
	if said := r.Situations[0].AssumedText() + r.Calibration.AssumedText() + r.Threats.AssumedText(); said != "" {
		t.Errorf("all were seen, and it says %q", said)
	}
}
