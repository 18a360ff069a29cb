package httpapi_test

import (
	"encoding/csv"
	"net/url"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"overhang/internal/demo"
)

// TestCellsOpenIntoPlays: the values of every cell of a few tendencies, sent as filters, give
// as many snaps as the cell counts, unknown ones too; the three forms have the same.
func TestCellsOpenIntoPlays(t *testing.T) {
	t.Parallel()
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	cells := 0
	for _, by := range []string{"down,distance_band", "target_area", "previous_outcome", "hash,personnel"} {
		ten := c.must(200, "GET", ofDemo+"/tendencies?opponent=alder&by="+by, "")
		for _, x := range ten["cells"].([]any) {
			cell, q := x.(map[string]any), url.Values{"opponent": {"alder"}}
			for d, v := range cell["keys"].(map[string]any) {
				if v == nil {
					v = "(unknown)"
				}
				q.Set(d, v.(string))
			}
			got := c.must(200, "GET", ofDemo+"/snaps?"+q.Encode(), "")
			if got["plays"] != cell["plays"] || float64(len(got["items"].([]any))) != cell["plays"] {
				t.Errorf("%v: %v snaps, the cell counts %v", q, got["plays"], cell["plays"])
			}
			cells++
		}
	}
	const some = ofDemo + "/snaps?opponent=alder&down=3"
	want := c.must(200, "GET", some, "")["plays"].(float64)
	_, text := c.do("GET", some+"&format=csv", "")
	recs, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || float64(len(recs)-1) != want || !slices.Contains(recs[0], "set_name") {
		t.Errorf("CSV: %v, %d records of %v", err, len(recs), want)
	}
	_, book := c.do("GET", some+"&format=xlsx", "")
	f, err := excelize.OpenReader(strings.NewReader(book))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if rows, _ := f.GetRows("snaps"); float64(len(rows)-1) != want {
		t.Errorf("XLSX has %d rows, want %v", len(rows)-1, want)
	}
	t.Logf("%d cells opened", cells)
	none := c.must(200, "GET", ofDemo+"/snaps?opponent=alder&game=week+77", "")
	if none["plays"] != 0.0 || none["why_empty"] == nil {
		t.Errorf("nothing, and no reason: %v", none)
	}
}

// TestBoardRows: the board as a table has a row a cell, with the board's numbers.
func TestBoardRows(t *testing.T) {
	t.Parallel()
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	const at = alder + "/stress?down=3&distance_band=7-10"
	board := c.must(200, "GET", at, "")
	recs := c.tables(at + "&format=csv") // by call, the first column
	for _, x := range board["calls"].([]any) {
		call := x.(map[string]any)
		rows := recs[call["call"].(string)]
		cells := call["cells"].([]any)
		if len(rows) != len(cells) {
			t.Errorf("%v: %d rows, %d cells", call["call"], len(rows), len(cells))
			continue
		}
		for i, y := range cells {
			for _, field := range []string{"gives_up_points", "stress", "mean_gain_yd"} {
				if bad := same(rows[i], field, y.(map[string]any)[field]); bad != "" {
					t.Errorf("%v: %s", call["call"], bad)
				}
			}
		}
	}
}

// TestSnapsInR: R reads types as they are meant: a band of distance is text, downs are
// numbers, personnel as text keeps its zero in a column told to be text (R Data
// Import/Export, 2.1: read.csv guesses types by all values of a column).
func TestSnapsInR(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a quarter of a minute and more")
	}
	t.Parallel()
	r, err := exec.LookPath("Rscript")
	if err != nil {
		t.Skip("no R on this machine")
	}
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(r, "--vanilla", "-e", `x <- read.csv("`+c.url+ofDemo+
		`/tendencies?opponent=alder&by=distance_band,down&format=csv"); `+
		`y <- read.csv("`+c.url+ofDemo+`/snaps?opponent=alder&format=csv", colClasses = c(personnel = "character")); `+
		`cat(class(x$distance_band), "4-6" %in% x$distance_band, class(x$down), class(x$share), class(y$gain_yd), `+
		`class(y$personnel), nrow(y) == sum(x$plays))`).CombinedOutput()
	if want := "character TRUE integer numeric integer character TRUE"; err != nil || string(out) != want {
		t.Errorf("R says %q (%v), want %q", out, err, want)
	}
}
