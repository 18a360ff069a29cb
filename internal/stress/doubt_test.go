package stress

import (
	"fmt"
	"math"
	"testing"

	beside "overhang/integration/outside"
)

// TestTradeDoubt prints how far the engine's completions of a route against a coverage are
// from the season's once the route's own mean is taken off: what two calls held against the
// same picture may be off by from each other. What mere counting moves is taken off.
func TestTradeDoubt(t *testing.T) {
	for _, file := range []string{"../../../shared/data/ref_route_by_coverage_2019_2021.csv", *routeFile} {
		if !there(file) {
			beside.Missing(t, "no table of completions")
		}
		predicted, routes := predictions(t), map[string]*mean{}
		rows := readCSV(t, file)
		each := func(f func(route string, off, counting, n float64)) {
			for _, row := range rows {
				n, c := figure(row["n"]), figure(row["completions"])
				if p, ok := predicted[row["route"]+"|"+row["coverage"]]; ok && n >= 80 {
					f(row["route"], p-c/n, c/n*(1-c/n)/n, n)
				}
			}
		}
		each(func(route string, off, _, n float64) {
			if routes[route] == nil {
				routes[route] = &mean{}
			}
			routes[route].add(off, n)
		})
		var apart, counted, whole mean
		each(func(route string, off, counting, n float64) {
			own := off - routes[route].of()
			apart.add(own*own, n)
			whole.add(off*off, n)
			counted.add(counting, n)
		})
		fmt.Printf("doubt: completion off %.3f, of it a coverage's own %.3f, counting alone %.3f\n", math.Sqrt(whole.of()),
			math.Sqrt(apart.of()), math.Sqrt(counted.of()))
		if own := math.Sqrt(max(0, apart.of()-counted.of())); own > 0.06 {
			t.Errorf("a coverage is %.3f off within a route", own)
		}
	}
}
