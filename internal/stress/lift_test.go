package stress

import (
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"testing"

	beside "overhang/integration/outside"
)

var (
	liftFile = flag.String("target-lift", "../../../shared/data/ref_target_lift.csv",
		"where passers throw, by route and coverage")
	separationFile = flag.String("separation", "../../../shared/data/ref_separation.csv",
		"weekly means of tracked receivers")
)

// there says whether a table is there; one that is not prints nothing and fails nothing.
func there(file string) bool {
	for _, up := range []string{"", "../../"} {
		if _, err := os.Stat(up + file); err == nil {
			return true
		}
	}
	return false
}

// A cell is a route against a coverage, in a season and in the engine.
type cell struct {
	route, coverage string
	weight          float64 // targets expected if route and coverage were independent
	want, got       float64 // log lifts
}

// TestTradeTargetLift holds where the passer throws against where passers of a season
// did: the definitions are those of the documentation of this package.
func TestTradeTargetLift(t *testing.T) {
	if !there(*liftFile) {
		beside.Missing(t, "no table of targets")
	}
	cells := lifts(t, seenThrows(t, false))
	if *verbose {
		printLifts(cells)
		printShares(t)
	}
	var zone []cell
	for _, c := range cells {
		if !manWord(c.coverage) {
			zone = append(zone, c)
		}
	}
	one := func(cell) float64 { return 1 }
	expected := func(c cell) float64 { return c.weight }
	fmt.Printf("target-lift: n=%d pearson %.3f weighted %.3f\n", len(cells), pearson(cells, one), pearson(cells, expected))
	if l, w := pearson(cells, one), pearson(cells, expected); *liftFile == "../../../shared/data/ref_target_lift.csv" &&
		*tuneFlag == "" && (l < 0.7 || w < 0.7) {
		t.Errorf("where he throws agrees with the season by %.3f, weighted %.3f; want 0.7 each", l, w)
	}
	zone = lessRoute(zone)
	fmt.Printf("target-lift within zones: n=%d pearson %.3f\n", len(zone), pearson(zone, expected))
}

// lifts sets the season's log lifts beside the engine's: log of the share of a route
// against a coverage less log of its mean over the coverages, each weighing what the
// season threw against it.
func lifts(t *testing.T, all []seen) (out []cell) {
	share, total := map[string]float64{}, map[string]float64{}
	for _, s := range all {
		share[s.route+"|"+s.coverage] += s.weight
		total[s.coverage] += s.weight
	}
	rows := readCSV(t, *liftFile)
	targets, thrown := map[string]float64{}, 0.0
	for _, row := range rows {
		targets[row["coverage"]] += number(t, row["n"])
		thrown += number(t, row["n"])
	}
	for _, row := range rows {
		r, c := row["route"], row["coverage"]
		n, expected := number(t, row["n"]), number(t, row["expected"])
		mean := 0.0
		for word := range targets {
			if total[word] > 0 {
				mean += targets[word] / thrown * share[r+"|"+word] / total[word]
			}
		}
		if p := share[r+"|"+c]; expected >= 40 && p > 0 {
			out = append(out, cell{r, c, expected, math.Log((n + 5) / (expected + 5)), math.Log(p / total[c] / mean)})
		}
	}
	return out
}

// lessRoute takes each route's weighted mean off both lifts.
func lessRoute(cells []cell) []cell {
	var w, want, got = map[string]float64{}, map[string]float64{}, map[string]float64{}
	for _, c := range cells {
		w[c.route] += c.weight
		want[c.route] += c.weight * c.want
		got[c.route] += c.weight * c.got
	}
	out := slices.Clone(cells)
	for i := range out {
		r := out[i].route
		out[i].want -= want[r] / w[r]
		out[i].got -= got[r] / w[r]
	}
	return out
}

// pearson is the correlation of both lifts.
func pearson(cells []cell, weight func(cell) float64) float64 {
	var w, mx, my float64
	for _, c := range cells {
		w, mx, my = w+weight(c), mx+weight(c)*c.want, my+weight(c)*c.got
	}
	mx, my = mx/w, my/w
	var xy, xx, yy float64
	for _, c := range cells {
		dx, dy := c.want-mx, c.got-my
		xy, xx, yy = xy+weight(c)*dx*dy, xx+weight(c)*dx*dx, yy+weight(c)*dy*dy
	}
	if xx*yy == 0 {
		return 0
	}
	return xy / math.Sqrt(xx*yy)
}

// printLifts prints both tables side by side: the season's lift, the engine's.
func printLifts(cells []cell) {
	last := ""
	for _, c := range cells {
		if c.route != last {
			fmt.Printf("\n%-7s", c.route)
			last = c.route
		}
		fmt.Printf(" %s %5.2f/%5.2f", c.coverage[max(0, len(c.coverage)-3):], c.want, c.got)
	}
	fmt.Println()
}

// TestTradeSeparation holds the separation of the throws the passer chooses against
// tracked receivers, at 6 to 14 yards of air. Coverages weigh what the season threw.
func TestTradeSeparation(t *testing.T) {
	if !there(*separationFile) || !there(*liftFile) {
		beside.Missing(t, "no table of separations")
	}
	targets := map[string]float64{}
	for _, row := range readCSV(t, *liftFile) {
		targets[row["coverage"]] += number(t, row["n"])
	}
	var engine, file deepMean
	for _, s := range seenThrows(t, false) {
		engine.add(s.throw.Depth, s.throw.Separation, s.weight*targets[s.coverage])
	}
	for _, row := range readCSV(t, *separationFile) {
		file.add(number(t, row["avg_air_yards"]), number(t, row["avg_separation_yd"]), number(t, row["targets"]))
	}
	ebands, e, _ := engine.means()
	fbands, f, n := file.means()
	sq := 0.0
	for b := range ebands {
		sq += (ebands[b] - fbands[b]) * (ebands[b] - fbands[b])
	}
	if *verbose {
		fmt.Println("separation by depth: engine", ebands, "file", fbands)
	}
	fmt.Printf("separation: targets %.0f engine less file %.3f rms %.3f\n", n, e-f, math.Sqrt(sq/float64(len(ebands))))
}

// A deepMean gathers separations in bands of two yards of air from 6 to 14.
type deepMean struct{ sum, n [4]float64 }

func (m *deepMean) add(depth, separation, weight float64) {
	if depth >= 6 && depth < 14 {
		b := int(depth-6) / 2
		m.sum[b] += weight * separation
		m.n[b] += weight
	}
}

func (m *deepMean) means() (bands [4]float64, all, n float64) {
	for b := range bands {
		bands[b] = m.sum[b] / m.n[b]
		all, n = all+m.sum[b], n+m.n[b]
	}
	return bands, all / n, n
}

// printShares prints the share of throws by route, the season's and the engine's, with the
// mean release, separation and depth.
func printShares(t *testing.T) {
	n, all := map[string]float64{}, 0.0
	rows := readCSV(t, *liftFile)
	for _, row := range rows {
		n[row["route"]] += number(t, row["n"])
		all += number(t, row["n"])
	}
	by := map[string]*[3]float64{}
	type mean struct{ w, at, sep, deep float64 }
	m, total := map[string]*mean{}, 0.0
	for _, s := range seenThrows(t, false) {
		x := m[s.route]
		if x == nil {
			x = &mean{}
			m[s.route] = x
		}
		x.w, x.at, x.sep, x.deep = x.w+s.weight, x.at+s.weight*s.throw.Release, x.sep+s.weight*s.throw.Separation,
			x.deep+s.weight*s.throw.Depth
		total += s.weight
		k := s.route + " " + s.coverage
		if by[k] == nil {
			by[k] = &[3]float64{}
		}
		by[k][0], by[k][1], by[k][2] = by[k][0]+s.weight, by[k][1]+s.weight*s.throw.Separation,
			by[k][2]+s.weight*s.throw.Depth
	}
	ours := map[string]map[string]float64{}
	for _, s := range seenThrows(t, false) {
		k := s.route + " " + s.ours
		if ours[k] == nil {
			ours[k] = map[string]float64{}
		}
		ours[k][s.coverage] += 1000 * s.weight
	}
	for _, k := range slices.Sorted(maps.Keys(ours)) {
		fmt.Printf("ours %-25s", k)
		for _, c := range []string{"COVER_0", "COVER_1", "2_MAN", "COVER_2", "COVER_3", "COVER_4", "COVER_6"} {
			fmt.Printf(" %5.1f", ours[k][c])
		}
		fmt.Println()
	}
	last := ""
	for _, row := range rows {
		if row["route"] != last {
			last = row["route"]
			fmt.Printf("\n%-7s", last)
		}
		if x := by[row["route"]+" "+row["coverage"]]; x != nil {
			fmt.Printf(" %s %.1f@%.0f", row["coverage"][max(0, len(row["coverage"])-3):], x[1]/x[0], x[2]/x[0])
		}
	}
	fmt.Println()
	for r, x := range m {
		fmt.Printf("share %-7s season %.3f engine %.3f release %.2f separation %.2f depth %.1f\n", r, n[r]/all, x.w/total,
			x.at/x.w, x.sep/x.w, x.deep/x.w)
	}
}
