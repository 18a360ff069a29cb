package stress

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"
)

var (
	liftFile       = flag.String("target-lift", "../../../shared/data/ref_target_lift.csv", "where passers throw, by route and coverage")
	separationFile = flag.String("separation", "../../../shared/data/ref_separation.csv", "weekly means of tracked receivers")
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
		t.Skip("no table of targets")
	}
	cells := lifts(t, seenThrows(t, false))
	if *verbose {
		printLifts(cells)
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

// printLifts prints both tables side by side.
func printLifts(cells []cell) {
	last := ""
	for _, c := range cells {
		if c.route != last {
			fmt.Printf("\n%-7s", c.route)
			last = c.route
		}
		fmt.Printf(" %s %5.2f/%5.2f", c.coverage, c.want, c.got)
	}
	fmt.Println()
}

// TestTradeSeparation holds the separation of the throws the passer chooses against
// tracked receivers, at 6 to 14 yards of air. Coverages weigh what the season threw.
func TestTradeSeparation(t *testing.T) {
	if !there(*separationFile) || !there(*liftFile) {
		t.Skip("no table of separations")
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
