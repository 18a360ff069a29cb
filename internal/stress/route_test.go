package stress

import (
	"flag"
	"fmt"
	"math"
	"path/filepath"
	"sort"
	"strconv"
	"testing"

	beside "overhang/integration/outside"
	"overhang/internal/stress/field"
	"overhang/internal/stress/motion"
)

var (
	routeFile = flag.String("route-coverage", "../../../shared/data/ref_route_by_coverage.csv",
		"completions by route and coverage")
	motionDir = flag.String("motion", "../../../shared/checks", "folder of the motion_*.csv files")
)

func TestTradeRouteCoverage(t *testing.T) {
	if !there(*routeFile) {
		beside.Missing(t, "no table of completions")
	}
	predicted := predictions(t)
	type point struct {
		route     string
		want, got float64
		zone      bool
	}
	var all []point
	for _, row := range readCSV(t, *routeFile) {
		n, _ := strconv.Atoi(row["n"])
		c, _ := strconv.Atoi(row["completions"])
		p, ok := predicted[row["route"]+"|"+row["coverage"]]
		if n < 80 || !ok {
			continue
		}
		all = append(all, point{row["route"], float64(c) / float64(n), p, !manWord(row["coverage"])})
		if *verbose {
			fmt.Printf("%-7s %-8s n %4d completed %.3f predicted %.3f\n", row["route"], row["coverage"], n,
				float64(c)/float64(n), p)
		}
	}
	score := func(label string, least float64, keep func(point) bool) {
		var want, got []float64
		var routes []string
		for _, p := range all {
			if keep(p) {
				want, got, routes = append(want, p.want), append(got, p.got), append(routes, p.route)
			}
		}
		r, w := spearman(want, got), spearman(within(routes, want), within(routes, got))
		fmt.Printf("%s: n=%d spearman completion %.3f within-route %.3f\n", label, len(want), r, w)
		if *routeFile == "../../../shared/data/ref_route_by_coverage.csv" && (r < 0.85 || w < least) {
			t.Errorf("%s: %.2f and %.2f; want at least 0.85 and %.2f on the open season", label, r, w, least)
		}
	}
	score("route-coverage", 0.51, func(point) bool { return true })
	// Zones by themselves are to be read only: one season predicts the next with 0.38.
	score("route-coverage zone", -1, func(p point) bool { return p.zone })
}

// predictions is the completion chance of each route against each coverage, over the
// library's concepts and the calls a coverage stands for, each throw weighing the
// passer's share of it.
func predictions(t *testing.T) map[string]float64 {
	t.Helper()
	sum, n := map[string]float64{}, map[string]float64{}
	for _, s := range seenThrows(t, true) {
		k := s.route + "|" + s.coverage
		sum[k] += s.weight * s.throw.Complete
		n[k] += s.weight
	}
	for k := range sum {
		sum[k] /= n[k]
	}
	return sum
}

func within(groups []string, v []float64) []float64 {
	sum, n := map[string]float64{}, map[string]float64{}
	for i, g := range groups {
		sum[g] += v[i]
		n[g]++
	}
	out := make([]float64, len(v))
	for i, g := range groups {
		out[i] = v[i] - sum[g]/n[g]
	}
	return out
}

// spearman is the correlation of ranks, ties at their mean rank.
func spearman(a, b []float64) float64 {
	ra, rb := ranks(a), ranks(b)
	m := float64(len(a)+1) / 2
	var ab, aa, bb float64
	for i := range ra {
		ab += (ra[i] - m) * (rb[i] - m)
		aa += (ra[i] - m) * (ra[i] - m)
		bb += (rb[i] - m) * (rb[i] - m)
	}
	return ab / math.Sqrt(aa*bb)
}

func ranks(v []float64) []float64 {
	idx := make([]int, len(v))
	for i := range idx {
		idx[i] = i
	}
	sort.Slice(idx, func(i, j int) bool { return v[idx[i]] < v[idx[j]] })
	out := make([]float64, len(v))
	for i := 0; i < len(idx); {
		j := i
		for j < len(idx) && v[idx[j]] == v[idx[i]] {
			j++
		}
		for k := i; k < j; k++ {
			out[idx[k]] = float64(i+j+1) / 2
		}
		i = j
	}
	return out
}

// TestTradeMotion compares ball flight and reach with 144 tracked professional
// plays (motion_*.csv, derived figures).
func TestTradeMotion(t *testing.T) {
	params := motion.Defaults(field.Pro)
	num := func(row map[string]string, col string) float64 {
		v, err := strconv.ParseFloat(row[col], 64)
		if err != nil {
			t.Fatalf("%s: %v", col, err)
		}
		return v
	}
	var sq, n float64
	for _, row := range readCSV(t, filepath.Join(*motionDir, "motion_ball_flight_by_distance.csv")) {
		if d := num(row, "mean_dist"); num(row, "dist_lo") >= 10 && num(row, "dist_hi") <= 50 {
			e := d/params.Ball - num(row, "time_p50")
			sq, n = sq+e*e, n+1
		}
	}
	flight := math.Sqrt(sq / n)
	sq, n = 0, 0
	for _, row := range readCSV(t, filepath.Join(*motionDir, "motion_defender_reach_by_flight_time.csv")) {
		if s := num(row, "flight_s"); s <= 2 {
			e := trackedGround(&params, "back", s) - num(row, "moved_p90")
			sq, n = sq+e*e, n+1
		}
	}
	reach := math.Sqrt(sq / n)
	fmt.Printf("motion: flight rms %.3f s, reach at p90 rms %.2f yd\n", flight, reach)
	if flight > 0.2 {
		t.Errorf("flight time is off by %.3f s rms; want at most 0.2 (motion_ball_flight_by_distance.csv, 10 to 50 yd)",
			flight)
	}
	if reach > 1 {
		t.Errorf("reach is off by %.2f yd rms at p90; want at most 1 (motion_defender_reach_by_flight_time.csv, flights "+
			"of 0.5 to 2 s)", reach)
	}
}
