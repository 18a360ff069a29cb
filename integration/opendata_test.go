package integration

import (
	"encoding/csv"
	"encoding/json"

	"math"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Play-by-play: nflverse (CC BY 4.0). Charting: FTN Data via nflverse (CC BY-SA
// 4.0). Participation: NFL NextGenStats via nflverse and FTN Data via nflverse
// (CC BY-SA 4.0). Trimmed, joined and anonymised; changes made.

// openProgram loads the open plays of three offences through cmd/ingest and
// serves them.
func openProgram(t *testing.T) *process {
	t.Helper()
	env := database(t)
	file := shared(t, "data", "fixture_three_offences.csv")
	args := []string{"-program", "open", "-map", "../cmd/ingest/mappings/open-plays.yaml", file}
	for i, want := range []string{"3847 plays new, 0 changed, 0 as they were", "0 plays new, 0 changed, 3847 as they were"} {
		code, out, errs := ingest(t, env, args...)
		if code != 0 || !strings.Contains(out, want) {
			t.Fatalf("ingest, run %d: exit %d, %q %s; want %q", i+1, code, out, errs, want)
		}
	}
	return start(t, env)
}

type cell struct {
	Keys      map[string]*string
	Plays     int
	Runs      int
	Passes    int
	RunShare  float64  `json:"run_share"`
	GainSum   int      `json:"gain_sum_yd"`
	MeanGain  *float64 `json:"mean_gain_yd"`
	FirstDown int      `json:"first_downs"`
	TD        int      `json:"touchdowns"`
}

func (p *process) cells(t *testing.T, by string, filter ...string) map[string]cell {
	t.Helper()
	q := "/v1/programs/open/tendencies?by=" + by
	for i := 0; i+1 < len(filter); i += 2 {
		q += "&" + filter[i] + "=" + url.QueryEscape(filter[i+1])
	}
	code, _, raw := p.get(t, q)
	var ans struct{ Cells []cell }
	if err := json.Unmarshal([]byte(raw), &ans); err != nil || code != 200 {
		t.Fatalf("GET %s: %d %v %.300s", q, code, err, raw)
	}
	out := map[string]cell{}
	for _, c := range ans.Cells {
		var key []string
		for _, d := range strings.Split(by, ",") {
			v := "?"
			if c.Keys[d] != nil {
				v = *c.Keys[d]
			}
			key = append(key, v)
		}
		out[strings.Join(key, "|")] = c
	}
	return out
}

func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(shared(t, "data", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, rec := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			row[h] = rec[i]
		}
		out = append(out, row)
	}
	return out
}

// compare holds every figure of a reference row against a cell.
func compare(t *testing.T, at string, row map[string]string, c cell) {
	t.Helper()
	counts := map[string]int{"n": c.Plays, "run": c.Runs, "pass": c.Passes, "sum_gain": c.GainSum, "first_downs": c.FirstDown, "td": c.TD}
	for col, got := range counts {
		if want, ok := row[col]; ok && want != strconv.Itoa(got) {
			t.Errorf("%s: %s = %d, the table says %s", at, col, got, want)
		}
	}
	printed := func(col string, got float64, digits int) {
		if want, ok := row[col]; ok {
			w, _ := strconv.ParseFloat(want, 64)
			if math.Abs(w-got) > 0.5000001*math.Pow(10, -float64(digits)) {
				t.Errorf("%s: %s = %v, the table says %s", at, col, got, want)
			}
		}
	}
	printed("pass_rate", 1-c.RunShare, 4)
	printed("first_down_rate", float64(c.FirstDown)/float64(c.Plays), 4)
	// The reference tables count an unknown gain as 0; so does sum / n.
	printed("avg_gain", float64(c.GainSum)/float64(c.Plays), 3)
}

// TestOpenPlays: tendencies over the API equal every row of the tables that were
// made from the same plays with independent tools (reference.sql, SQLite).
func TestOpenPlays(t *testing.T) {
	p := openProgram(t)
	hash := map[string]string{"L": "left", "M": "middle", "R": "right", "?": "?"}
	rows := 0
	check := func(name, by string, key func(map[string]string) string) {
		cells := p.cells(t, by)
		n := 0
		for _, row := range table(t, name) {
			if row["src"] == "open2022" {
				continue // the other file
			}
			n++
			k := key(row)
			c, ok := cells[k]
			if !ok {
				t.Errorf("%s: no cell %s", name, k)
				continue
			}
			compare(t, name+" "+k, row, c)
		}
		if n != len(cells) {
			t.Errorf("%s has %d rows, the API %d cells by %s", name, n, len(cells), by)
		}
		rows += n
	}
	join := func(cols ...string) func(map[string]string) string {
		return func(r map[string]string) string {
			var out []string
			for _, c := range cols {
				out = append(out, r[c])
			}
			return strings.Join(out, "|")
		}
	}
	check("fixture_by_offence_down_distance.csv", "opponent,down,distance", join("off", "down", "dist"))
	check("fixture_by_offence.csv", "opponent", join("off"))
	check("fixture_personnel_formation.csv", "opponent,personnel,set_name", join("off", "pers", "form"))
	check("fixture_by_offence_cells.csv", "opponent,down,distance_band,personnel,set_name,field_zone,hash", func(r map[string]string) string {
		return join("off", "down", "dist_b", "pers", "form", "zone")(r) + "|" + hash[r["hash"]]
	})
	check("ref_down_distance.csv", "down,distance_band", join("down", "dist_b"))
	check("ref_down_distance_personnel.csv", "down,distance_band,personnel", join("down", "dist_b", "pers"))
	check("ref_personnel.csv", "personnel", join("pers"))
	check("ref_formation.csv", "set_name", join("form"))
	check("ref_zone.csv", "field_zone", join("zone"))
	check("ref_hash.csv", "hash", func(r map[string]string) string { return hash[r["hash"]] })
	total := 0
	for _, c := range p.cells(t, "opponent") {
		total += c.Plays
	}
	if total != 3548 {
		t.Errorf("%d counted plays; want 3548 (shared/README.md)", total)
	}
	t.Logf("%d reference rows equal", rows)
}

// TestBadRows: every bad row is named, nothing is stored; with -keep-good the
// good ones are, and the bad ones can be mended and fed again.
func TestBadRows(t *testing.T) {
	env, dir := database(t), folder(t)
	write := func(name, text string) string {
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return p
	}
	mapping := write("map.yaml", `
opponent: {column: opp}
game: {column: game}
fields:
  number: {column: no}
  down: {column: dn}
  distance_yd: {column: togo}
  concept: {column: play}
`)
	file := write("tags.csv", "opp,game,no,dn,togo,play\r\nX,w1,1,1,10,\r\nX,w1,2,5,10,\r\nX,w1,3,2,ten,\r\nX,w1,1,2,4,\r\nX,w1,5,2,4,smahs\r\nX,w1,6,3\r\n")
	code, out, errs := ingest(t, env, "-program", "p", "-map", mapping, file)
	for _, want := range []string{file + ":3: down: 5 is not from 1 to 4", file + `:4: distance_yd: "ten" is not a whole number`, file + ":5: number: play 1 of this game is on line 2 already",
		file + `:6: concept: unknown word "smahs"`, file + ":7: row: 4 cells, the header has 6", "5 of 6 rows are bad; nothing was stored"} {
		if !strings.Contains(errs, want) {
			t.Errorf("stderr lacks %q:\n%s", want, errs)
		}
	}
	if code != 1 || out != "" {
		t.Errorf("exit %d, stdout %q; want 1 and nothing", code, out)
	}
	bad := filepath.Join(dir, "bad.csv")
	if code, out, _ = ingest(t, env, "-program", "p", "-map", mapping, "-keep-good", "-bad", bad, file); code != 1 || !strings.Contains(out, "1 plays new") {
		t.Errorf("-keep-good: exit %d, %q; want 1 and one play", code, out)
	}
	raw, err := os.ReadFile(bad)
	if err != nil || strings.Count(string(raw), "\r\n") != 6 {
		t.Fatalf("the bad rows: %v %q; want a header and five rows", err, raw)
	}
	mended := strings.NewReplacer("2,5,10", "2,2,10", "ten", "8", "1,2,4", "4,2,4", "smahs", "", "6,3\r", "6,3,1,\r").Replace(string(raw))
	write("bad.csv", mended)
	if code, out, errs := ingest(t, env, "-program", "p", "-map", mapping, bad); code != 0 || !strings.Contains(out, "5 plays new") {
		t.Errorf("mended: exit %d, %q %s; want 0 and five plays", code, out, errs)
	}
	for _, broken := range []string{"", "opp,game\n\"X,w1\n", "opp,game,no,dn,togo\nX,w1,1,1,10\n"} {
		f := write("broken.csv", broken)
		if code, _, errs := ingest(t, env, "-program", "p", "-map", mapping, f); code != 1 || !strings.HasPrefix(errs[strings.Index(errs, f):], f+":") {
			t.Errorf("%q: exit %d, %s; want 1 and file:line", broken, code, errs)
		}
	}
}
