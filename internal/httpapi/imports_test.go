package httpapi_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"overhang/internal/tags/postgres/postgrestest"
	"overhang/internal/tags/starter"
)

const octets = "application/octet-stream"

// sheets reads one of the invented sheets a staff might keep.
func sheets(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "tags", "intake", "testdata", "sheets", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// TestImport: a sheet is proposed without a trace, stored once however often it
// is sent, and has a board at once whose assumed routes are counted.
func TestImport(t *testing.T) {
	t.Parallel()
	store, p := postgrestest.New(t)
	if err := starter.Fill(context.Background(), store, p.ID); err != nil {
		t.Fatal(err)
	}
	c := clientFor(t, store)
	for _, tt := range []struct {
		name, opponent string
		plays          float64
	}{{"one-header.csv", "bracken", 90}, {"two-tabs.xlsx", "sedge", 120}, {"merged.xlsx", "tansy", 90}} {
		file := sheets(t, tt.name)
		proposal := c.must(200, "POST", ours+"/imports/proposals?name="+tt.name, file, "Content-Type", octets)
		if proposal["plays"] != tt.plays || len(proposal["sample"].([]any)) != 5 {
			t.Errorf("%s: proposal of %v plays, want %v", tt.name, proposal["plays"], tt.plays)
		}
		c.must(404, "GET", ours+"/opponents/"+tt.opponent+"/stress", "")
		if got := c.must(200, "POST", ours+"/imports?name="+tt.name, file, "Content-Type", octets); got["added"] != tt.plays {
			t.Errorf("%s: %v plays added, want %v", tt.name, got["added"], tt.plays)
		}
		if got := c.must(200, "POST", ours+"/imports?name="+tt.name, file, "Content-Type", octets); got["added"] != 0.0 ||
			got["changed"] != 0.0 {
			t.Errorf("%s again: %v added, %v changed, want none", tt.name, got["added"], got["changed"])
		}
		board := c.must(200, "GET", ours+"/opponents/"+tt.opponent+"/stress", "")
		thrown := board["covered"].(float64) // a run has no routes to assume
		for _, x := range board["concepts"].([]any) {
			if k := x.(map[string]any); k["family"] == "run" {
				thrown -= k["plays"].(float64)
			}
		}
		if n := len(board["calls"].([]any)); n < 5 || thrown == 0 || board["assumed"] != thrown {
			t.Errorf("%s: a board of %d calls, %v covered, %v assumed", tt.name, n, board["covered"], board["assumed"])
		}
	}
}

// TestImportTells: asked for lines, an import says how far it is and ends with what
// it did; the plan and the call sheet of such plays say whose routes were assumed.
func TestImportTells(t *testing.T) {
	t.Parallel()
	store, p := postgrestest.New(t)
	if err := starter.Fill(context.Background(), store, p.ID); err != nil {
		t.Fatal(err)
	}
	c := clientFor(t, store)
	r, raw := c.do("POST", ours+"/imports?name=one-header.csv", sheets(t, "one-header.csv"), "Content-Type", octets,
		"Accept", "application/x-ndjson")
	said := strings.Split(strings.TrimSpace(raw), "\n")
	if r.StatusCode != 200 || r.Header.Get("Content-Type") != "application/x-ndjson" || said[0] != `{"done":0,"of":90}` ||
		said[len(said)-2] != `{"done":90,"of":90}` || !strings.HasPrefix(said[len(said)-1], `{"result":{"added":90,`) {
		t.Fatalf("status %d, lines %.300s ... %.80s", r.StatusCode, raw, said[len(said)-1])
	}
	sheet := c.must(200, "GET", ours+"/opponents/bracken/sheets/call", "")
	box := sheet["boxes"].([]any)[0].(map[string]any)
	board := c.must(200, "GET", ours+"/opponents/bracken/stress", "")
	if box["assumed"] == nil || box["assumed"] != board["assumed"] {
		t.Errorf("call sheet: %v of %v assumed, the board says %v", box["assumed"], box["plays_behind"], board["assumed"])
	}
	_, page := c.do("GET", ours+"/opponents/bracken/sheets/call?format=html", "")
	told := false // a situation that is called as the base is has no card of its own
	for _, b := range sheet["boxes"].([]any) {
		b := b.(map[string]any)
		told = told || strings.Contains(page, fmt.Sprintf("routes or set of %v of %v assumed", b["assumed"],
			b["plays_behind"]))
	}
	if !told {
		t.Error("the call sheet's page says of no situation how many routes were assumed")
	}
}

// TestImportRefused: mistakes are answered with each cause, its field and row,
// and nothing is stored; the good rows are when they are asked for.
func TestImportRefused(t *testing.T) {
	t.Parallel()
	store, p := postgrestest.New(t)
	if err := starter.Fill(context.Background(), store, p.ID); err != nil {
		t.Fatal(err)
	}
	c := clientFor(t, store)
	file := sheets(t, "mistakes.csv")
	_, raw := c.do("POST", ours+"/imports?name=mistakes.csv", file, "Content-Type", octets)
	var problem struct {
		Status int
		Errors []struct {
			Row            int
			Field, Message string
		}
	}
	if err := json.Unmarshal([]byte(raw), &problem); err != nil || problem.Status != 422 || len(problem.Errors) != 10 {
		t.Fatalf("%v, status %d, %d errors, want 422 with ten\n%s", err, problem.Status, len(problem.Errors), raw)
	}
	if e := problem.Errors[0]; e.Row != 3 || e.Field != "down" || !strings.Contains(e.Message, "F3") {
		t.Errorf("first error %+v, want row 3, down, F3", e)
	}
	c.must(404, "GET", ours+"/opponents/bracken", "")
	if got := c.must(200, "POST", ours+"/imports?name=mistakes.csv&keep_good=true", file, "Content-Type",
		octets); got["added"] != 80.0 {
		t.Errorf("%v plays added of 90 with ten bad rows, want 80", got["added"])
	}
	for body, status := range map[string]int{"": 422, "just a line of text": 422, "\xd0\xcf\x11\xe0old": 422,
		"PK\x03\x04broken": 422, strings.Repeat("x", 17<<20): 413} {
		if r, raw := c.do("POST", ours+"/imports?name=x", body, "Content-Type", octets); r.StatusCode != status {
			t.Errorf("%.20q of %d bytes: status %d, want %d: %.200s", body, len(body), r.StatusCode, status, raw)
		}
	}
}
