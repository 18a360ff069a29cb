package stress

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	beside "overhang/integration/outside"
)

// A throw is hit as often as in a season, by men who rush and time to throw, and costs as much:
// open plays 2022 (nflverse CC BY 4.0, FTN Data and participation CC BY-SA 4.0). 0.3 of a back
// stays in beside the five linemen (assumed, as in hitAt).
func TestTradePressure(t *testing.T) {
	if !there(*seasonFile) {
		beside.Missing(t, "no open plays")
	}
	type bin struct{ n, hit float64 }
	bins := map[[2]int]*bin{}
	caught := map[string]map[string]*bin{"0": {}, "1": {}} // by route and band of air
	for _, row := range readCSV(t, *seasonFile) {
		seconds, err := strconv.ParseFloat(row["time_to_throw"], 64)
		if row["type"] != "pass" || row["sack"] == "1" || row["scramble"] == "1" || row["screen"] == "1" || err != nil ||
			row["pressure"] == "" || row["rushers"] == "" || seconds < 1 || seconds >= 3.5 {
			continue
		}
		at := [2]int{min(6, int(number(t, row["rushers"]))), int(2 * seconds)}
		for _, b := range []*bin{in(bins, at), in(caught[row["pressure"]], row["route"]+row["air_yards"])} {
			b.n++
		}
		bins[at].hit += number(t, row["pressure"])
		caught[row["pressure"]][row["route"]+row["air_yards"]].hit += number(t, row["complete"])
	}
	var sq, n, less, pairs float64
	for at, b := range bins {
		if b.n >= 100 {
			e := hit(float64(at[0])-5.3, float64(at[1])/2+0.25) - b.hit/b.n
			sq, n = sq+b.n*e*e, n+b.n
		}
	}
	for k, free := range caught["0"] {
		if hurt := caught["1"][k]; hurt != nil {
			w := free.n * hurt.n / (free.n + hurt.n)
			less, pairs = less+w*(hurt.hit/hurt.n-free.hit/free.n), pairs+w
		}
	}
	rms := math.Sqrt(sq / n)
	less /= pairs
	fmt.Printf("pressure: by men and time rms %.3f; a catch under it %.3f likelier\n", rms, less)
	if want := offBackFoot * 0.22; rms > 0.05 || math.Abs(less-want) > 0.02 { // 0.22 is p(1-p) of a catch of .67
		t.Errorf("pressure is off by %.3f rms, want at most 0.05; costs %.3f of a catch, want %.3f", rms, less, want)
	}
}

func in[K comparable, V any](m map[K]*V, k K) *V {
	if m[k] == nil {
		m[k] = new(V)
	}
	return m[k]
}
