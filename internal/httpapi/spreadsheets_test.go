package httpapi_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/xuri/excelize/v2"

	"overhang/api"
	"overhang/internal/demo"
)

// workbooks are a question for every address of the document that answers with a workbook.
func workbooks(c *client) (out []string) {
	got := c.must(200, "GET", ofDemo+"/opponents?code=alder", "")
	plan := c.must(201, "POST", ofDemo+"/plans", fmt.Sprintf(`{"opponent_id": %q, "label": "as a table"}`,
		got["items"].([]any)[0].(map[string]any)["id"]))["location"].(string)
	out = append(out, plan, plan+"/review")
	for _, q := range []string{"tendencies?by=distance_band,personnel,down", "snaps?down=3", "tells?of=called,family",
		"trend?opponent=alder&of=distance_band", "estimates?chain=down,distance_band,hash&of=called", "agreement",
		"depths?by=concept,distance_band", "reports/self-scout"} {
		out = append(out, ofDemo+"/"+q)
	}
	const cell = "?call=cover+2+spot&concept=flood"
	for _, q := range []string{"likeness?of=personnel", "concepts", "stress?down=3", "answers" + cell,
		"sweeps/alignment" + cell + "&defender=strong+corner", "sweeps/break" + cell + "&receiver=P2",
		"reports/stress?down=3", "reports/opponent", "sheets/call", "sheets/position", "sheets/scout", "sheets/practice",
		"sheets/quiz"} {
		out = append(out, alder+"/"+q)
	}
	return append(out, "POST /v1/answers", "POST /v1/sweeps/alignment?defender=strong+corner",
		"POST /v1/sweeps/break?receiver=P2")
}

// inForm asks in a form; what is asked by POST is a play.
func inForm(c *client, ask, format string) string {
	c.t.Helper()
	method, body := "GET", ""
	if at, ok := strings.CutPrefix(ask, "POST "); ok {
		method, ask, body = "POST", at, `{"call": "cover 2 spot", "set_name": "2x2", "picture": "P1 hitch@5, P2 corner@12"}`
	}
	and := "?"
	if strings.Contains(ask, "?") {
		and = "&"
	}
	resp, raw := c.do(method, ask+and+"format="+format, body)
	if resp.StatusCode != 200 {
		c.t.Errorf("%s as %s: %d %.300s", ask, format, resp.StatusCode, raw)
	}
	return raw
}

// TestWorkbooksElsewhere: every workbook that the API makes is opened by LibreOffice and saved
// again: each cell is there with its value, as the type it was given (value types of
// OpenDocument 1.3, part 3, 19.389), and no address of the document with a workbook is left out.
// Where R reads workbooks (its package readxl) it finds the same types.
func TestWorkbooksElsewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a quarter of a minute and more")
	}
	t.Parallel()
	office := libreOffice(t)
	c, store := serve(t)
	if err := demo.Load(t.Context(), store); err != nil {
		t.Fatal(err)
	}
	dir, asks := t.TempDir(), workbooks(c)
	allAsked(t, c, asks)
	var files []string
	for i, ask := range asks {
		name := filepath.Join(dir, fmt.Sprintf("book%d.xlsx", i))
		if err := os.WriteFile(name, []byte(inForm(c, ask, "xlsx")), 0o600); err != nil {
			t.Fatal(err)
		}
		files = append(files, name)
	}
	began := time.Now()
	cmd := exec.Command(office, append([]string{"-env:UserInstallation=file://" + filepath.Join(dir, "profile"),
		"--headless", "--convert-to", "fods", "--outdir", dir}, files...)...)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	t.Logf("LibreOffice took %.0f s", time.Since(began).Seconds())
	all, bands := 0, 0
	for i, file := range files {
		n, b := sameCells(t, asks[i], file)
		all, bands = all+n, bands+b
	}
	t.Logf("%d workbooks, %d cells, 4-6 or 11+ in %d of them", len(files), all, bands)
	if all < 5000 || bands < 20 {
		t.Errorf("%d cells looked at, %d of them bands; too few to say anything", all, bands)
	}
	inR(t, files)
}

func libreOffice(t *testing.T) string {
	office, err := exec.LookPath("soffice")
	if err != nil && os.Getenv("CI") != "" {
		t.Fatal("LibreOffice is missing: apt-get install libreoffice-calc")
	} else if err != nil {
		t.Skip("no LibreOffice on this machine")
	}
	return office
}

// allAsked names what of the document answers with a workbook and is not among the questions.
func allAsked(t *testing.T, c *client, asks []string) {
	t.Helper()
	asked := map[string]bool{}
	for _, ask := range asks {
		method, at := "GET", ask
		if p, ok := strings.CutPrefix(ask, "POST "); ok {
			method, at = "POST", p
		}
		req, _ := http.NewRequest(method, c.url+at, nil)
		route, _, err := c.router.FindRoute(req)
		if err != nil {
			t.Fatal(at, err)
		}
		asked[route.Operation.OperationID] = true
	}
	doc, err := openapi3.NewLoader().LoadFromData(api.Document)
	if err != nil {
		t.Fatal(err)
	}
	for _, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			if ok := op.Responses.Value("200"); ok != nil && ok.Value.Content[spreadsheet] != nil && !asked[op.OperationID] {
				t.Errorf("%s answers with a workbook and is not tried", op.OperationID)
			}
		}
	}
}

const spreadsheet = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

// A table is a sheet of a flat OpenDocument.
type table struct {
	Name string `xml:"name,attr"`
	Rows []struct {
		Repeated int `xml:"number-rows-repeated,attr"`
		Cells    []struct {
			Repeated int      `xml:"number-columns-repeated,attr"`
			Kind     string   `xml:"value-type,attr"`
			Value    string   `xml:"value,attr"`
			Boolean  string   `xml:"boolean-value,attr"`
			Text     []string `xml:"p"`
		} `xml:"table-cell"`
	} `xml:"table-row"`
}

// tablesOf reads the cells of each sheet by their names, as "type value".
func tablesOf(t *testing.T, file string) map[string]map[string]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out := map[string]map[string]string{}
	for d := xml.NewDecoder(f); ; {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		} else if err != nil {
			t.Fatal(file, err)
		}
		start, ok := tok.(xml.StartElement)
		if !ok || start.Name.Local != "table" {
			continue
		}
		var x table
		if err := d.DecodeElement(&x, &start); err != nil {
			t.Fatal(file, err)
		}
		cells := map[string]string{}
		out[x.Name] = cells
		row := 1
		for _, r := range x.Rows {
			column := 1
			for _, c := range r.Cells {
				v := c.Value + c.Boolean
				if shown := strings.Join(c.Text, "\n"); c.Kind == "string" {
					v = shown
				} else if shown == "TRUE" || shown == "FALSE" { // LibreOffice has a number that is shown so
					c.Kind, v = "boolean", strings.ToLower(shown)
				}
				for x := range max(c.Repeated, 1) * max(r.Repeated, 1) {
					if c.Kind == "" { // empty to the end of the sheet
						break
					}
					name, _ := excelize.CoordinatesToCellName(column+x%max(c.Repeated, 1), row+x/max(c.Repeated, 1))
					cells[name] = c.Kind + " " + v
				}
				column += max(c.Repeated, 1)
			}
			row += max(r.Repeated, 1)
		}
	}
}

// sameCells compares a workbook with what LibreOffice made of it: how many cells, and how many
// of them are bands that a spreadsheet likes to read as dates or sums.
func sameCells(t *testing.T, ask, file string) (all, bands int) {
	t.Helper()
	f, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(ask, err)
	}
	defer f.Close()
	there := tablesOf(t, strings.TrimSuffix(file, ".xlsx")+".fods")
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(ask, err)
		}
		for r := range rows {
			for c, v := range rows[r] {
				name, _ := excelize.CoordinatesToCellName(c+1, r+1)
				kind, _ := f.GetCellType(sheet, name)
				got := there[sheet][name]
				if v == "" && got == "" {
					continue
				}
				all++
				if v == "4-6" || v == "11+" {
					bands++
				}
				if bad := differs(kind, v, got); bad != "" {
					t.Fatalf("%s, %s!%s: %q, LibreOffice has %q: %s", ask, sheet, name, v, got, bad)
				}
			}
		}
	}
	return all, bands
}

func differs(kind excelize.CellType, want, got string) string {
	as, value, _ := strings.Cut(got, " ")
	switch kind {
	case excelize.CellTypeSharedString, excelize.CellTypeInlineString:
		if as != "string" || strings.Join(strings.Fields(value), " ") != strings.Join(strings.Fields(want), " ") {
			return "not the text it was"
		}
	case excelize.CellTypeBool:
		if as != "boolean" || (value == "true") != (want == "1" || want == "TRUE") {
			return "not what was true"
		}
	default:
		a, err := strconv.ParseFloat(want, 64)
		b, _ := strconv.ParseFloat(value, 64)
		// A spreadsheet keeps fifteen digits.
		if as != "float" && as != "percentage" || err != nil || math.Abs(a-b) > 1e-13*max(1, math.Abs(a)) {
			return "not the number it was"
		}
	}
	return ""
}

// inR has R say the class of every column of every workbook, where it has the package for it.
func inR(t *testing.T, files []string) {
	t.Helper()
	r, err := exec.LookPath("Rscript")
	if err != nil || exec.Command(r, "-e", "library(readxl)").Run() != nil {
		t.Log("no R with readxl on this machine")
		return
	}
	script := filepath.Join(t.TempDir(), "classes.R")
	if err := os.WriteFile(script, []byte(`for (f in commandArgs(TRUE)) for (s in readxl::excel_sheets(f)) {
		x <- suppressMessages(readxl::read_excel(f, s, guess_max = 10000))
		for (k in seq_along(x)) if (!all(is.na(x[[k]]))) cat(basename(f), s, k, class(x[[k]])[1], "\n", sep = "|")
	}
`), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(r, append([]string{"--vanilla", script}, files...)...).Output()
	if err != nil {
		t.Fatal(err)
	}
	columns := 0
	for line := range strings.Lines(string(out)) {
		part := strings.Split(line, "|")
		k, _ := strconv.Atoi(part[2])
		columns++
		if want := columnClass(t, filepath.Join(filepath.Dir(files[0]), part[0]), part[1], k); part[3] != want {
			t.Errorf("%s: R takes column %d of %s for %s, its cells are %s", part[0], k, part[1], part[3], want)
		}
	}
	t.Logf("R: %d columns with something in them", columns)
}

// columnClass is what R calls the column of a sheet (from 1) by the cells below its head:
// numbers or truths where all are, else text.
func columnClass(t *testing.T, file, sheet string, column int) string {
	t.Helper()
	book, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	rows, err := book.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[excelize.CellType]bool{}
	for row := 2; row <= len(rows); row++ {
		at, _ := excelize.CoordinatesToCellName(column, row)
		if v, _ := book.GetCellValue(sheet, at); v != "" {
			kind, _ := book.GetCellType(sheet, at)
			kinds[kind] = true
		}
	}
	switch {
	case len(kinds) == 1 && kinds[excelize.CellTypeBool]:
		return "logical"
	case len(kinds) == 1 && (kinds[excelize.CellTypeNumber] || kinds[excelize.CellTypeUnset]):
		return "numeric"
	}
	return "character"
}
