package stress

import (
	"flag"
	"fmt"
	"slices"
	"strconv"
	"testing"

	"overhang/internal/stress/call"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

var seasonFile = flag.String("season", "../../../shared/data/open_plays_2022.csv",
	"charted plays of a professional season")

// bands of what a down needs, in yards, from the first number on.
var bands = []field.Yards{0, 3, 5, 7, 11}

func band(need field.Yards) int {
	b, at := slices.BinarySearch(bands, need)
	if !at {
		b--
	}
	return b
}

// TestTradeSituation holds what the score says of long downs against a charted
// season: man to man gives the offense less than zones do on short and medium
// needs, and more on long ones, where zone men sink to the sticks.
func TestTradeSituation(t *testing.T) {
	type tally struct{ n, success, need float64 }
	var season [5][2]tally
	for _, row := range readCSV(t, *seasonFile) {
		down, dist := number(t, row["down"]), number(t, row["dist"])
		if row["type"] != "pass" || row["coverage"] == "" || row["scramble"] == "1" || down == 4 {
			continue
		}
		need := dist * []float64{0, 0.4, 0.6, 1}[int(down)]
		s := &season[band(need)][b2i(row["man_zone"] == "MAN")]
		s.n, s.need = s.n+1, s.need+need
		s.success += float64(b2i(number(t, row["gain"]) >= need))
	}
	weights := map[string]float64{} // how often the season saw the coverages a call stands for
	for _, row := range readCSV(t, *routeFile) {
		weights[row["coverage"]] += number(t, row["n"])
	}
	params := motion.Defaults(field.Pro)
	plays := libraryPlays(t, &params)
	var gaps, played []float64
	for b := range season {
		zone, man := season[b][0], season[b][1]
		need := (zone.need + man.need) / (zone.n + man.n)
		gaps = append(gaps, man.success/man.n-zone.success/zone.n)
		played = append(played, stressAt(t, plays, need, weights, true)-stressAt(t, plays, need, weights, false))
		fmt.Printf("situation: need %4.1f yd (n man %.0f, zone %.0f): man less zone, season %+.3f, engine %+.3f\n", need,
			man.n, zone.n, gaps[b], played[b])
	}
	if r := spearman(gaps, played); r < 0.8 {
		t.Errorf("over what the down needs the gap between man and zone has rank correlation %.2f with the season's; want "+
			"at least 0.8", r)
	}
}

// stressAt is the mean stress of the library's passes against man or zone calls
// when so much is needed, coverages weighted as the season saw them.
func stressAt(t *testing.T, plays []*motion.Play, need field.Yards, weights map[string]float64, man bool) float64 {
	t.Helper()
	sum, all := 0.0, 0.0
	var ev Evaluator
	plans := map[string][]*call.Compiled{}
	for word, calls := range charted.calls {
		for _, c := range calls {
			plans[word] = append(plans[word], c.plan(t))
		}
	}
	for _, pl := range plays {
		for word, calls := range charted.calls {
			if manWord(word) != man {
				continue
			}
			for n, c := range calls {
				if r := must(ev.Evaluate(t.Context(), plans[word][n], pl,
					Setting{Balance: 1, ToGain: ToGain{Need: need}})); len(r.Throws) > 0 {
					w := weights[word] * c.weight
					sum, all = sum+w*r.Stress, all+w
				}
			}
		}
	}
	return sum / all
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
