package points

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	beside "overhang/integration/outside"
	"overhang/internal/stress/tradeflag"
)

// table reads one of the value tables by column; nil where it is not there.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	var f *os.File
	for _, dir := range tradeflag.Value() {
		if x, err := os.Open(filepath.Join(dir, name)); err == nil {
			f = x
			break
		}
	}
	if f == nil {
		return nil
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, h := range rows[0] {
			m[h] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func num(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// TestTradePoints holds the table against expected points as published (the value of
// field position, checks/published.md 5.3).
func TestTradePoints(t *testing.T) {
	rows := table(t, "published_points.csv")
	if rows == nil {
		beside.Missing(t, "no table of published points")
	}
	pts := Season(Settings{})
	var sum, mean [2]float64
	var n [2]float64
	for _, r := range rows {
		k, down, dist := 1, int(num(r["down"])), num(r["distance_yd"])
		if down == 1 && dist == 10 {
			k = 0
		}
		d := pts.Of(down, dist, num(r["yards_to_goal"])) - num(r["points"])
		sum[k], mean[k], n[k] = sum[k]+d*d, mean[k]+d, n[k]+1
	}
	rms := func(k int) float64 { return math.Sqrt(sum[k] / n[k]) }
	fmt.Printf("points: first and ten rms %.3f less mean %.3f, other rms %.3f less mean %.3f\n", rms(0),
		spread(sum[0], mean[0], n[0]), rms(1), spread(sum[1], mean[1], n[1]))
	if rms(0) > 0.25 || rms(1) > 0.30 {
		t.Errorf("further from the published points than .25 and .30")
	}
}

// spread is the root mean square of what is left when the mean is taken off.
func spread(squares, sum, n float64) float64 { return math.Sqrt(squares/n - sum/n*sum/n) }

// The solved system gives the table that was computed from the same equations elsewhere.
func TestSeasonTable(t *testing.T) {
	rows := table(t, "expected_points.csv")
	if rows == nil {
		beside.Missing(t, "no table of expected points")
	}
	pts := Season(Settings{})
	for _, r := range rows {
		got := pts.Of(int(num(r["down"])), num(r["distance"]), num(r["yards_to_goal"]))
		if math.Abs(got-num(r["points"])) > 0.002 {
			t.Fatalf("%v: %.3f", r, got)
		}
	}
}

// Nothing a down asks for more of makes it worth more.
func TestMonotone(t *testing.T) {
	pts := Season(Settings{})
	for down := 1; down <= 3; down++ {
		for y := 11.0; y < 99; y++ {
			for d := 1.0; d < 20 && d < y; d++ {
				v := pts.Of(down, d, y)
				if pts.Of(down, d, y+1) > v+1e-9 || pts.Of(down, d+1, y) > v+1e-9 || pts.Of(down+1, d, y) > v+1e-9 {
					t.Fatalf("down %d, %v to go at the %v: further away is worth more", down, d, y)
				}
			}
		}
	}
}

// A program's own plays move the table toward themselves, by their share.
func TestOwnPlays(t *testing.T) {
	var own []Step
	for range 500 {
		own = append(own, Step{Down: 1, Distance: 10, YardsToGoal: 40, Reward: 7})
	}
	was, is := Season(Settings{}), New(own, Settings{})
	if is.Of(1, 10, 40) <= was.Of(1, 10, 40)+0.2 || is.Own != 0.2 {
		t.Errorf("five hundred touchdowns from the 40: %.2f, before %.2f, own %v", is.Of(1, 10, 40), was.Of(1, 10, 40),
			is.Own)
	}
}

// Settings move first and ten as the illustration of other kicking has it, by direction
// and size: no kick beyond 35 yards takes off most about the 20, least at midfield.
func TestSettings(t *testing.T) {
	rows := table(t, "expected_points_settings.csv")
	if rows == nil {
		beside.Missing(t, "no table of settings")
	}
	pro := map[string]float64{}
	for _, r := range rows {
		if r["setting"] == "pro" {
			pro[r["yards_to_goal"]] = num(r["first_and_ten"])
		}
	}
	short, usual := Season(Settings{FieldGoal: 35}), Season(Settings{})
	sum, n := 0.0, 0.0
	for _, r := range rows {
		if r["setting"] != "short kick (range 18=35yd)" {
			continue
		}
		y := num(r["yards_to_goal"])
		want, got := num(r["first_and_ten"])-pro[r["yards_to_goal"]], short.Of(1, min(10, y), y)-usual.Of(1, min(10, y), y)
		sum, n = sum+(got-want)*(got-want), n+1
		t.Logf("first and ten at the %v: %.2f, illustrated %.2f", y, got, want)
	}
	if rms := math.Sqrt(sum / n); rms > 0.25 {
		t.Errorf("a short kick moves first and ten otherwise than illustrated: rms %.2f", rms)
	}
	if d := Season(Settings{FieldGoal: 35, GoForIt: true}).Of(1, 10, 30) - short.Of(1, 10, 30); d < 0.1 || d > 1 {
		t.Errorf("going for it when better is worth %.2f at the 30", d)
	}
}
