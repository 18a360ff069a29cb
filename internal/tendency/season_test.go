package tendency

import (
	"strconv"
	"testing"

	"overhang/integration/outside"
)

// A seasonPlay is what the tests here need of the open season.
type seasonPlay struct {
	week                int
	offense, down, band string
	called              int // 0 run, 1 pass; a scramble was called a pass
	hash, personnel     string
	success             int // 1: it succeeded
}

// season reads the open season of 2022. Play-by-play: nflverse (CC BY 4.0).
// Charting: FTN Data via nflverse (CC BY-SA 4.0). Participation: NFL NextGenStats
// via nflverse and FTN Data via nflverse (CC BY-SA 4.0). Trimmed, joined and
// anonymized; changes made. The file stays outside the repository.
func season(t *testing.T) []seasonPlay {
	t.Helper()
	rows := outside.Rows(t, "data", "open_plays_2022.csv")
	col := map[string]int{}
	for i, name := range rows[0] {
		col[name] = i
	}
	var out []seasonPlay
	for _, r := range rows[1:] {
		kind := r[col["type"]]
		if kind != "run" && kind != "pass" || r[col["down"]] == "" {
			continue
		}
		p := seasonPlay{offense: r[col["off"]], down: r[col["down"]], hash: r[col["hash"]], personnel: r[col["personnel"]]}
		p.week, _ = strconv.Atoi(r[col["week"]])
		if kind == "pass" || r[col["scramble"]] == "1" {
			p.called = 1
		}
		distance, _ := strconv.Atoi(r[col["dist"]])
		switch d := distance; {
		case d <= 3:
			p.band = "1-3"
		case d <= 6:
			p.band = "4-6"
		case d <= 10:
			p.band = "7-10"
		default:
			p.band = "11+"
		}
		down, _ := strconv.Atoi(p.down)
		gain, _ := strconv.Atoi(r[col["gain"]])
		if Success(down, distance, gain, r[col["td"]] == "1", [3]int{40, 60, 100}) {
			p.success = 1
		}
		out = append(out, p)
	}
	return out
}
