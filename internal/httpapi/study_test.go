package httpapi_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"overhang/internal/tags"
)

func near(got any, want, tol float64) bool {
	f, ok := got.(float64)
	return ok && math.Abs(f-want) <= tol
}

// items returns a list of an answer.
func (c *client) items(member, path string) (map[string]any, []map[string]any) {
	c.t.Helper()
	ans := c.must(200, "GET", path, "")
	var out []map[string]any
	for _, x := range ans[member].([]any) {
		out = append(out, x.(map[string]any))
	}
	return ans, out
}

// many appends the same play n times.
func many(ps []tags.Play, n int, p tags.Play) []tags.Play {
	for range n {
		ps = append(ps, p)
	}
	return ps
}

// TestTellsDoNotOverclaim: of these third downs it was said that 3rd and 6 is a
// running down (NFL 2005, plays and conversion % by distance: Advanced NFL Stats
// community, 2009-01-13, SEEN; counts, intervals and p CALC).
func TestTellsDoNotOverclaim(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	rows := []struct{ distance, passMade, pass, runMade, run int }{{1, 129, 203, 418, 548}, {2, 185, 364, 158, 260},
		{3, 215, 423, 77, 133}, {4, 219, 467, 59, 110}, {5, 229, 531, 45, 95},
		{6, 227, 526, 37, 67}, {7, 196, 507, 28, 76}, {8, 170, 501, 17, 64}, {9, 123, 396, 25, 76}, {10, 194, 603, 24, 87}}
	for _, r := range rows {
		var ps []tags.Play
		ps = many(ps, r.passMade, snap(1, 3, r.distance, r.distance, "pass", "complete"))
		ps = many(ps, r.pass-r.passMade, snap(1, 3, r.distance, 0, "pass", "incomplete"))
		ps = many(ps, r.runMade, snap(1, 3, r.distance, r.distance, "run", "rush"))
		ps = many(ps, r.run-r.runMade, snap(1, 3, r.distance, 0, "run", "rush"))
		load(t, s, fmt.Sprint("3rd and ", r.distance), r.distance, ps...)
	}
	ans, tells := c.items("tells", ours+"/tells?of=first_down&by=called&within=distance&down=3")
	if ans["asked"] != 10.0 || len(tells) != 10 {
		t.Fatalf("%v questions asked, %d tested; want 10 and 10", ans["asked"], len(tells))
	}
	for _, x := range tells {
		side := 1.0 // the same difference is told of either call, and of made or missed
		if x["value"] == "pass" {
			side = -side
		}
		if x["outcome"] == "no" {
			side = -side
		}
		low, high := side*x["difference_low"].(float64), side*x["difference_high"].(float64)
		if side < 0 {
			low, high = high, low
		}
		switch x["situation"] {
		case "distance=6":
			if x["stands"] != false || !near(x["p"], .06808, 5e-6) || math.Abs(low+.0054) > 5e-5 || math.Abs(high-.2411) > 5e-5 {
				t.Errorf("3rd and 6: stands %v, p %v, difference %.4f to %.4f; want no discovery, .06808, -.0054 to .2411",
					x["stands"], x["p"], low, high)
			}
		case "distance=1":
			if x["stands"] != true || math.Abs(side*x["difference"].(float64)-.1273) > 5e-5 || math.Abs(low-.0540) > 5e-5 ||
				math.Abs(high-.2033) > 5e-5 {
				t.Errorf("3rd and 1: stands %v, %v from %.4f to %.4f; want a discovery of .1273, .0540 to .2033", x["stands"],
					x["difference"], low, high)
			}
		}
	}
	if tells[0]["situation"] != "distance=1" {
		t.Errorf("the surest is %v; want 3rd and 1", tells[0]["situation"])
	}
	c.must(400, "GET", ours+"/tells?by=called", "") // asks whether the call gives the call away
	if ans, usual := c.items("tells", ours+"/tells"); !slices.ContainsFunc(usual,
		func(x map[string]any) bool { return x["dimension"] == "distance_band" }) || ans["left_out"] == 0.0 {
		t.Errorf("the usual tells: %v", usual)
	}
}

// TestTrend: 48 of 80 before and 56 of 70 after (Newcombe 1998, Table II row a,
// method 10: SEEN-code and CALC).
func TestTrend(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	pass, run := snap(1, 1, 10, 0, "pass", "incomplete"), snap(1, 1, 10, 0, "run", "rush")
	load(t, s, "early", 1, many(many(nil, 48, pass), 32, run)...)
	load(t, s, "late", 2, many(many(nil, 56, pass), 14, run)...)
	_, changes := c.items("changes", ours+"/trend?of=called&recent=1")
	i := slices.IndexFunc(changes, func(x map[string]any) bool { return x["outcome"] == "pass" })
	if x := changes[i]; x["before_plays"] != 80.0 || x["after_x"] != 56.0 || !near(x["difference"], .2, 1e-12) ||
		!near(x["difference_low"], .0524, 5e-5) || !near(x["difference_high"], .3339, 5e-5) {
		t.Errorf("%v; want .2000, .0524 to .3339", x)
	}
	if why := c.must(200, "GET", ours+"/trend?of=concept", ""); len(why["changes"].([]any)) != 0 ||
		why["left_out"] != 150.0 {
		t.Errorf("nobody tagged a concept: %v", why)
	}
}

// TestEstimates: 18 players, 45 at-bats each, as games with runs for hits. The
// published estimates shrink by .212 (Efron and Morris 1977, factor and grand mean
// SEEN, values CALC); ours is another estimator of the same thing, so to .012.
func TestEstimates(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	hits := []int{18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7}
	want := []float64{.294, .289, .284, .280, .275, .275, .270, .266, .261, .261, .256, .256, .256, .256, .256, .252, .247,
		.242}
	for i, h := range hits {
		load(t, s, fmt.Sprintf("%02d", i), i, many(many(nil, h, snap(1, 1, 10, 3, "run", "rush")), 45-h,
			snap(1, 1, 10, 3, "pass", "complete"))...)
	}
	_, all := c.items("items", ours+"/estimates?of=called&chain=game")
	if len(all) != 18 {
		t.Fatalf("%d estimates of 18", len(all))
	}
	for _, x := range all {
		var i int
		fmt.Sscanf(x["keys"].(map[string]any)["game"].(string), "%d", &i)
		for _, y := range x["outcomes"].([]any) {
			o := y.(map[string]any)
			if o["outcome"] == "run" && (!near(o["estimate"], want[i], .012) || !near(o["share"], float64(hits[i])/45, 1e-12)) {
				t.Errorf("player %d: %v; want about %v", i, o, want[i])
			}
		}
		from, weight := x["from"].([]any), 0.0
		for _, y := range from {
			weight += y.(map[string]any)["weight"].(float64)
		}
		if !near(weight, 1, 1e-9) || len(from) != 3 || from[1].(map[string]any)["level"] != "all plays under the filters" {
			t.Errorf("from %v; want the game, all plays and equal shares, adding up to 1", from)
		}
	}
	c.must(400, "GET", ours+"/estimates?chain=down&down=(unknown)", "")
	// A situation that never occurred is all borrowed: the share of all, 215 of 810.
	_, none := c.items("items", ours+"/estimates?of=called&chain=down,game&game=00&down=4")
	o := none[0]["outcomes"].([]any)[1].(map[string]any)
	if none[0]["plays"] != 0.0 || none[0]["from"].([]any)[0].(map[string]any)["weight"] != 0.0 || o["outcome"] != "run" ||
		o["share_high"] != 1.0 {
		t.Errorf("4th down was never tagged: %v", none[0])
	}
}

// TestLikeness: the divergence of two mixes is 0 for the same mix and 1 bit for
// mixes with nothing in common (Lin 1991, theorem 3 and its bounds).
func TestLikeness(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	for code, runs := range map[string]int{"target": 40, "twin": 40, "other": 0} {
		loadFor(t, s, code, "a", 1, many(many(nil, runs, snap(1, 1, 10, 3, "run", "rush")), 40-runs, snap(1, 1, 10, 3, "pass",
			"complete"))...)
	}
	_, items := c.items("items", ours+"/opponents/target/likeness?of=called")
	if len(items) != 2 || items[0]["opponent"] != "twin" || items[0]["apart_raw_bits"] != 0.0 ||
		!near(items[1]["apart_raw_bits"], 1, 1e-12) || !(items[1]["p"].(float64) < 1e-9) {
		t.Errorf("%v; want the twin at 0 bits and the other at 1", items)
	}
	c.must(404, "GET", ours+"/opponents/nobody/likeness", "")
}

// TestDepths: quartiles of 1 to 10 are 3.25, 5.5 and 7.75 (definition 7 of Hyndman
// and Fan 1996, the default of R, CALC); the 2nd and 9th of ten hold the median
// with 97.9% (sign test, any table: 1 - 2 (1 + 10) / 1024, CALC).
func TestDepths(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	c.word(s, "route", "hitch")
	var ps []tags.Play
	for i := 1; i <= 11; i++ {
		r := tags.Route{Side: "left", Number: 1, Eligible: "receiver", Route: "hitch", Targeted: i == 3}
		if i <= 10 {
			r.BreakDepthYd = ptr(float64(i))
		}
		ps = append(ps, tags.Play{Routes: []tags.Route{r}})
	}
	load(t, s, "a", 1, ps...)
	_, items := c.items("items", ours+"/depths")
	x := items[0]
	if x["plays"] != 11.0 || x["depth_known"] != 10.0 || x["targeted"] != 1.0 || x["lower_quartile_yd"] != 3.25 ||
		x["median_yd"] != 5.5 || x["upper_quartile_yd"] != 7.75 || x["median_low_yd"] != 2.0 || x["median_high_yd"] != 9.0 {
		t.Errorf("%v", x)
	}
}

// TestStudyFormats: every answer is also a table, with a row an item.
func TestStudyFormats(t *testing.T) {
	t.Parallel()
	c, s := serve(t)
	load(t, s, "a", 1, many(many(nil, 20, snap(1, 1, 10, 3, "run", "rush")), 20, snap(1, 2, 10, 3, "pass", "complete"))...)
	load(t, s, "b", 2, many(nil, 20, snap(1, 1, 10, 3, "run", "rush"))...)
	loadFor(t, s, "o2", "a", 1, many(nil, 20, snap(1, 1, 10, 3, "run", "rush"))...)
	for path, member := range map[string]string{"/tells?": "tells", "/trend?recent=1": "changes",
		"/opponents/o1/likeness?": "items", "/estimates?chain=down": "", "/depths?by=down": "items"} {
		_, text := c.do("GET", ours+path+"&format=csv", "")
		c.do("GET", ours+path+"&format=xlsx", "")
		if member == "" {
			member = "items"
		} else if _, items := c.items(member, ours+path); len(items) != countLines(text)-1 {
			t.Errorf("%s: %d items, CSV of %d rows", path, len(items), countLines(text)-1)
		}
		if countLines(text) < 1 || len(text) < 20 {
			t.Errorf("%s: CSV %q", path, text)
		}
	}
}

func countLines(csv string) (n int) {
	for _, r := range csv {
		if r == '\n' {
			n++
		}
	}
	return n
}
