package integration

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"overhang/integration/outside"
)

// Play-by-play: nflverse (CC BY 4.0). Charting: FTN Data via nflverse (CC BY-SA
// 4.0). Participation: NFL NextGenStats via nflverse and FTN Data via nflverse
// (CC BY-SA 4.0). Trimmed, joined and anonymized; changes made.

// openProgram loads the open plays of three offenses, and of a season, through
// cmd/ingest, each into a program of its own, and serves them.
func openProgram(t *testing.T) *process {
	t.Helper()
	env := database(t)
	for _, load := range []struct {
		program, file string
		says          []string
	}{
		{"fixture", "fixture_three_offences.csv", []string{"3847 plays new, 0 changed, 0 as they were",
			"0 plays new, 0 changed, 3847 as they were"}},
		{"open2022", "open_plays_2022.csv", []string{"38196 plays new, 0 changed, 0 as they were"}},
	} {
		args := []string{"-program", load.program, "-map", "../cmd/ingest/mappings/open-plays.yaml", outside.Path(t, "data",
			load.file)}
		for i, want := range load.says {
			code, out, errs := ingest(t, env, args...)
			if code != 0 || !strings.Contains(out, want) {
				t.Fatalf("ingest %s, run %d: exit %d, %q %s; want %q", load.file, i+1, code, out, errs, want)
			}
		}
	}
	return start(t, env, "-no-login")
}

type cell struct {
	Keys          map[string]*string
	Plays         int
	Runs          int
	Passes        int
	RunShare      float64  `json:"run_share"`
	GainSum       int      `json:"gain_sum_yd"`
	MeanGain      *float64 `json:"mean_gain_yd"`
	FirstDown     int      `json:"first_downs"`
	TD            int      `json:"touchdowns"`
	Successes     int
	ExplosiveRate float64 `json:"explosive_rate"`
	Throws        int
	Completions   int
	Completed     float64 `json:"completion_rate"`
	Interceptions int
	Sacks         int
	Scrambles     int
	DepthKnown    int     `json:"throw_depth_known"`
	MeanDepth     float64 `json:"mean_throw_depth_yd"`
	TimeKnown     int     `json:"throw_s_known"`
	MeanTime      float64 `json:"mean_throw_s"`
}

// cells asks a program by dimensions; more is the rest of the query.
func (p *process) cells(t *testing.T, program, by, more string) map[string]cell {
	t.Helper()
	q := "/v1/programs/" + program + "/tendencies?by=" + by + more
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
	f, err := os.Open(outside.Path(t, "data", name))
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
	file := write("tags.csv",
		"opp,game,no,dn,togo,play\r\nX,w1,1,1,10,\r\nX,w1,2,5,10,\r\nX,w1,3,2,ten,\r\n"+
			"X,w1,1,2,4,\r\nX,w1,5,2,4,smahs\r\nX,w1,6,3\r\n")
	code, out, errs := ingest(t, env, "-program", "p", "-map", mapping, file)
	for _, want := range []string{file + ":3: down: 5 is not from 1 to 4",
		file + `:4: distance_yd: "ten" is not a whole number`, file + ":5: number: play 1 of this game is on line 2 already",
		file + `:6: concept: unknown word "smahs"`, file + ":7: row: 4 cells, the header has 6",
		"5 of 6 rows are bad; nothing was saved"} {
		if !strings.Contains(errs, want) {
			t.Errorf("stderr lacks %q:\n%s", want, errs)
		}
	}
	if code != 1 || out != "" {
		t.Errorf("exit %d, stdout %q; want 1 and nothing", code, out)
	}
	bad := filepath.Join(dir, "bad.csv")
	if code, out, _ = ingest(t, env, "-program", "p", "-map", mapping, "-keep-good", "-bad", bad, file); code != 1 ||
		!strings.Contains(out, "1 plays new") {
		t.Errorf("-keep-good: exit %d, %q; want 1 and one play", code, out)
	}
	raw, err := os.ReadFile(bad)
	if err != nil || strings.Count(string(raw), "\r\n") != 6 {
		t.Fatalf("the bad rows: %v %q; want a header and five rows", err, raw)
	}
	mended := strings.NewReplacer("2,5,10", "2,2,10", "ten", "8", "1,2,4", "4,2,4", "smahs", "", "6,3\r",
		"6,3,1,\r").Replace(string(raw))
	write("bad.csv", mended)
	if code, out, errs := ingest(t, env, "-program", "p", "-map", mapping, bad); code != 0 || !strings.Contains(out,
		"5 plays new") {
		t.Errorf("mended: exit %d, %q %s; want 0 and five plays", code, out, errs)
	}
	for _, broken := range []string{"", "opp,game\n\"X,w1\n", "opp,game,no,dn,togo\nX,w1,1,1,10\n"} {
		f := write("broken.csv", broken)
		if code, _, errs := ingest(t, env, "-program", "p", "-map", mapping, f); code != 1 ||
			!strings.HasPrefix(errs[strings.Index(errs, f):], f+":") {
			t.Errorf("%q: exit %d, %s; want 1 and file:line", broken, code, errs)
		}
	}
}
