package study

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tendency"
)

// count is so many plays of values; "" is one that was not tagged.
func count(plays int, keys ...string) tags.Count {
	c := tags.Count{Plays: plays}
	for _, k := range keys {
		if k == "" {
			c.Keys = append(c.Keys, nil)
		} else {
			c.Keys = append(c.Keys, &k)
		}
	}
	return c
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

// TestFindTellsAsksEachSituation: a table a situation, plays of which something is unknown left
// out and counted, every answer with its own situation. The tasting of tea (Fisher 1935,
// chapter II; published.md 1.3): 3 and 1 of four each, two-sided p 34/70.
func TestFindTellsAsksEachSituation(t *testing.T) {
	t.Parallel()
	tea := []tags.Count{count(3, "3", "left", "run"), count(1, "3", "left", "pass"), count(1, "3", "right", "run"),
		count(3, "3", "right", "pass"),
		// first down: the twins' convictions (Fisher 1970, R's fisher.test: p 0.000536724)
		count(2, "1", "left", "run"), count(15, "1", "left", "pass"), count(10, "1", "right", "run"),
		count(3, "1", "right", "pass"),
		count(5, "", "left", "run"), count(4, "3", "", "run"), count(2, "3", "left", "")}
	got := FindTells([]Table{{Within: []string{"down"}, Dimension: "hash", Of: "called", Counts: tea}}, .05)
	if got.Asked != 2 || got.LeftOut != 11 || len(got.Tells) != 2 || got.NotTested != 0 {
		t.Fatalf("%+v", got)
	}
	first, third := got.Tells[0], got.Tells[1]
	if first.Situation != "down=1" || !first.Stands || !near(first.P, .000536724, 1e-8) || first.N != 30 ||
		first.Of != "called" ||
		first.Dimension != "hash" {
		t.Errorf("the twins: %+v", first)
	}
	if third.Situation != "down=3" || third.Stands || !near(third.P, 34.0/70, 1e-9) || third.N != 8 {
		t.Errorf("the tea: %+v", third)
	}
	// Benjamini and Hochberg over both: the smaller p twice, the larger as it is.
	if !near(first.Adjusted, 2*first.P, 1e-12) || third.Adjusted != third.P {
		t.Errorf("adjusted %v of %v, %v of %v", first.Adjusted, first.P, third.Adjusted, third.P)
	}
	if x := first; x.With == 0 || !near(x.ShareWith, float64(x.X)/float64(x.With), 1e-12) || x.With+x.Without != x.N ||
		!near(x.Difference, x.ShareWith-x.ShareOther, 1e-12) || x.Low > x.Difference || x.High < x.Difference {
		t.Errorf("its shares: %+v", x)
	}
}

// TestFindTellsOfNothing: one value of a dimension gives nothing away, and nothing to test is
// said, not tested.
func TestFindTellsOfNothing(t *testing.T) {
	t.Parallel()
	got := FindTells([]Table{{Dimension: "hash", Of: "called", Counts: []tags.Count{count(9, "left", "run"),
		count(9, "left", "pass")}}, {Dimension: "down", Of: "called"}}, .05)
	if len(got.Tells) != 0 || got.Tells == nil || got.NotTested != got.Asked {
		t.Errorf("%+v", got)
	}
	if got = FindTells(nil, .05); got.Tells == nil || got.Asked != 0 {
		t.Errorf("no question: %+v", got)
	}
}

// TestFindTrend: both spans by outcome, one that only a span has too, what is unknown left out.
func TestFindTrend(t *testing.T) {
	t.Parallel()
	got := FindTrend("called", []tags.Count{count(48, "run"), count(32, "pass"), count(3, "")},
		[]tags.Count{count(56, "run"), count(4, "pass"), count(10, "screen"), count(2, "")}, .05)
	if got.Of != "called" || got.Before != 80 || got.After != 70 || got.LeftOut != 5 {
		t.Fatalf("%+v", got)
	}
	by := map[string]Change{}
	for _, c := range got.Changes {
		by[c.Outcome] = c
	}
	// 56/70 - 48/80: .0524 to .3339 (Newcombe 1998, table II, method 10; published.md 1.2)
	run := by["run"]
	if run.BeforeX != 48 || run.AfterX != 56 || !near(run.Difference, .2, 1e-9) || !near(run.Low, .0524, 5e-5) ||
		!near(run.High, .3339, 5e-5) || run.ShareBefore != .6 || run.ShareAfter != .8 {
		t.Errorf("runs: %+v", run)
	}
	if s := by["screen"]; s.BeforeX != 0 || s.AfterX != 10 || s.Before != 80 {
		t.Errorf("an outcome that is new: %+v", s)
	}
	if none := FindTrend("called", nil, nil, .05); none.Changes == nil || len(none.Changes) != 0 {
		t.Errorf("nothing: %+v", none)
	}
}

// TestLikest: who does the same in the same situations is nearer than who does the opposite;
// the target is not among the others, and without a play of his there is no answer.
func TestLikest(t *testing.T) {
	t.Parallel()
	counts := []tags.Count{count(40, "K", "1", "run"), count(10, "K", "1", "pass"),
		count(38, "L", "1", "run"), count(12, "L", "1", "pass"), count(5, "M", "1", "run"), count(45, "M", "1", "pass"),
		count(7, "K", "", "run"), count(2, "L", "1", "")}
	got, left, err := Likest("K", counts)
	if err != nil || left != 9 || len(got) != 2 || got[0].Opponent != "L" || got[1].Opponent != "M" {
		t.Fatalf("%+v, %d, %v", got, left, err)
	}
	if got[0].Apart > got[1].Apart || got[1].P > .001 || got[0].Plays != 50 || got[0].Situations != 1 || got[1].Raw > 1 {
		t.Errorf("%+v", got)
	}
	back, _, err := Likest("L", counts)
	if err != nil || back[0].Opponent != "K" || !near(back[0].Raw, got[0].Raw, 1e-12) {
		t.Errorf("from the other side: %+v, %v", back, err)
	}
	_, left, err = Likest("N", counts)
	if e := tags.As(err); e == nil || e.Kind != tags.NotFound || left != 9 {
		t.Errorf("nobody: %v", err)
	}
	if only, _, err := Likest("K", counts[:2]); err != nil || only == nil || len(only) != 0 {
		t.Errorf("nobody else: %#v, %v", only, err)
	}
}

// TestEstimatesAreBetweenTheirLevels: each estimate lies between what was counted there and
// what coarser situations say; shares and weights add up to 1; open dimensions are all asked.
func TestEstimatesAreBetweenTheirLevels(t *testing.T) {
	t.Parallel()
	chain := []string{"distance_band", "down"}
	counts := []tags.Count{count(1, "1-3", "3", "run"), count(3, "1-3", "3", "pass"), count(10, "7-10", "3", "run"),
		count(40, "7-10", "3", "pass"), count(60, "7-10", "1", "run"), count(40, "7-10", "1", "pass"), count(5, "", "3",
			"run")}
	got, left := Estimates(chain, counts, nil)
	if left != 5 || len(got) != 3 {
		t.Fatalf("%d left out, %+v", left, got)
	}
	for _, e := range got {
		weights, shares := 0.0, 0.0
		for _, f := range e.From {
			weights += f.Weight
		}
		for _, o := range e.Outcomes {
			shares += o.Estimate
			if o.Low > o.Estimate || o.High < o.Estimate || o.RawLow > o.Raw || o.RawHigh < o.Raw {
				t.Errorf("%v: %+v", e.Keys, o)
			}
		}
		if !near(weights, 1, 1e-9) || !near(shares, 1, 1e-9) || len(e.From) < 3 || e.Thin != (e.Plays < tendency.Thin) {
			t.Errorf("%v: weights %v, shares %v of %d plays, thin %v", e.Keys, weights, shares, e.Plays, e.Thin)
		}
		if e.Outcomes[0].Estimate < e.Outcomes[1].Estimate {
			t.Errorf("%v: the likeliest is not first", e.Keys)
		}
	}
	// Third down is run 11 times in 54, all plays 71 in 154; four plays with one run lie between.
	few, _ := Estimates(chain, counts, map[string][]string{"distance_band": {"1-3"}, "down": {"3"}})
	run := few[0].Outcomes[1]
	if len(few) != 1 || few[0].Plays != 4 || run.Outcome != "run" || run.Raw != .25 || run.Estimate > .461 ||
		run.Estimate < .2 {
		t.Errorf("%+v", few)
	}
	if names := few[0].From; names[0].Level != "distance_band=1-3, down=3" || names[1].Level != "down=3" ||
		names[2].Level != "all plays under the filters" || names[2].Plays != 154 || names[1].Plays != 54 {
		t.Errorf("from %+v", names)
	}
}

// TestEstimatesOnlyWhatIsAsked: a dimension that is open keeps what occurred; situations that
// are spelt out are estimated even if they never did.
func TestEstimatesOnlyWhatIsAsked(t *testing.T) {
	t.Parallel()
	chain := []string{"distance_band", "down"}
	counts := []tags.Count{count(3, "1-3", "3", "run"), count(9, "7-10", "1", "pass"), count(2, "7-10", "3", "pass")}
	for name, tt := range map[string]struct {
		only map[string][]string
		want string
	}{
		"nothing said":  {nil, "1-3/3 7-10/1 7-10/3"},
		"third down":    {map[string][]string{"down": {"3"}}, "1-3/3 7-10/3"},
		"a short one":   {map[string][]string{"distance_band": {"1-3"}}, "1-3/3"},
		"spelt out":     {map[string][]string{"distance_band": {"1-3", "4-6"}, "down": {"1"}}, "1-3/1 4-6/1"},
		"nobody was so": {map[string][]string{"down": {"4"}}, ""},
	} {
		got, _ := Estimates(chain, counts, tt.only)
		var keys []string
		for _, e := range got {
			keys = append(keys, e.Keys["distance_band"]+"/"+e.Keys["down"])
		}
		if strings.Join(keys, " ") != tt.want {
			t.Errorf("%s: %v, want %s", name, keys, tt.want)
		}
	}
}

// sighting is what an analyst tagged on a clip.
func sighting(t *testing.T, clip uuid.UUID, who, play string) tags.BlindTag {
	t.Helper()
	b := blind(t, who, play)[0]
	b.ClipID = clip
	return b
}

// TestAgree: Cohen's kappa of [[20,5],[10,15]] is .40 (published.md 1.7, the standard worked
// example, CALC), told for the pair; a clip tagged by one says nothing.
func TestAgree(t *testing.T) {
	t.Parallel()
	var all []tags.BlindTag
	for _, x := range []struct {
		n        int
		ana, ben string
	}{{20, "run", "run"}, {5, "run", "pass"}, {10, "pass", "run"}, {15, "pass", "pass"}} {
		for range x.n {
			clip := uuid.New()
			all = append(all, sighting(t, clip, "ana", `{"called":"`+x.ana+`"}`), sighting(t, clip, "ben",
				`{"called":"`+x.ben+`"}`))
		}
	}
	all = append(all, sighting(t, uuid.New(), "cal", `{"called":"run"}`))
	got := Agree(all)
	if strings.Join(got.Analysts, " ") != "ana ben cal" || got.Clips != 50 || got.Single != 1 ||
		len(got.Differences) != 15 {
		t.Fatalf("%v, %d clips, %d single, %d fields, %d differences", got.Analysts, got.Clips, got.Single, len(got.Fields),
			len(got.Differences))
	}
	f := got.Fields[slices.IndexFunc(got.Fields, func(f Field) bool { return f.Field == "called" })]
	if f.Field != "called" || f.Units != 50 || f.Values != 50 && f.Values != 100 || len(f.Pairs) != 1 ||
		f.Interval != nil {
		t.Fatalf("%+v", f)
	}
	if p := f.Pairs[0]; p.A != "ana" || p.B != "ben" || p.Units != 50 || !near(p.Same, .7, 1e-9) || !near(*p.Kappa, .4,
		1e-9) {
		t.Errorf("%+v, kappa %v; want .40", p, *p.Kappa)
	}
	for _, d := range got.Differences {
		if d.Field != "called" || d.Values["ana"] == d.Values["ben"] || len(d.Values) != 2 {
			t.Errorf("%+v", d)
		}
	}
}

// TestAgreeByEligible: routes are compared man by man, a depth as a number: a yard off counts
// less than ten; what one left open is neither agreement nor a difference.
func TestAgreeByEligible(t *testing.T) {
	t.Parallel()
	route := func(word string, depth string) string {
		return `{"routes":[{"side":"left","number":1,"eligible":"receiver","route":"` + word + `","break_depth_yd":` +
			depth + `}]}`
	}
	var all []tags.BlindTag
	for _, x := range [][2]string{{"5", "6"}, {"10", "11"}, {"15", "14"}, {"3", "3"}} {
		clip := uuid.New()
		all = append(all, sighting(t, clip, "ana", route("hitch", x[0])), sighting(t, clip, "ben", route("hitch", x[1])))
	}
	clip := uuid.New()
	all = append(all, sighting(t, clip, "ana", route("hitch", "5")), sighting(t, clip, "ben", `{"down":3}`))
	got := Agree(all)
	by := map[string]Field{}
	for _, f := range got.Fields {
		by[f.Field] = f
	}
	depth := by["break_depth_yd"]
	if depth.Units != 4 || depth.Alpha == nil || depth.Interval == nil || *depth.Interval < .95 || *depth.Alpha > .5 {
		t.Errorf("depths: %+v", depth)
	}
	if r := by["route"]; r.Units != 4 || r.Same != 1 {
		t.Errorf("routes: %+v", r)
	}
	if _, told := by["down"]; told {
		t.Error("a down that one alone tagged is compared")
	}
	for _, d := range got.Differences {
		if d.Field != "break_depth_yd" || d.At != "left 1" {
			t.Errorf("%+v", d)
		}
	}
	if len(got.Differences) != 3 {
		t.Errorf("%d differences, want 3", len(got.Differences))
	}
	for i, f := range got.Fields[1:] {
		if order(f.Alpha) < order(got.Fields[i].Alpha) {
			t.Errorf("%s stands after %s, on which they agree more", f.Field, got.Fields[i].Field)
		}
	}
	if none := Agree(nil); none.Analysts == nil || none.Fields == nil || none.Differences == nil {
		t.Errorf("nobody: %+v; want empty lists", none)
	}
}
