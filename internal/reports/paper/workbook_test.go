package paper

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// sheetOf is a workbook of words that spreadsheets like to change.
func sheetOf() *Workbook {
	return &Workbook{Title: "Words", Tabs: []Tab{{Name: "plays",
		Keys: []string{"distance_band", "personnel", "down", "need_yd", "share_low", "note"},
		Rows: [][]any{{"4-6", "00", "3", 4.25, 0.25, "=1+1"}, {"11+", "11", "(unknown)", nil, 0.5, "-5 on first"}}}}}
}

// TestWorkbook: numbers are numbers with a format, words stay words without a mark,
// heads are plain and stay, and there is a filter.
func TestWorkbook(t *testing.T) {
	var b bytes.Buffer
	if err := sheetOf().Write(&b); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for cell, want := range map[string]string{"A1": "Distance band", "D1": "Need (yards)", "E1": "Share low", "A2": "4-6",
		"B2": "00", "C2": "3", "D2": "4.25", "E2": "25.00%", "F2": "=1+1", "A3": "11+", "C3": "(unknown)", "D3": "",
		"F3": "-5 on first"} {
		if got, _ := f.GetCellValue("plays", cell); got != want {
			t.Errorf("%s is %q, want %q", cell, got, want)
		}
	}
	for cell, want := range map[string]excelize.CellType{"A2": excelize.CellTypeSharedString,
		"B2": excelize.CellTypeSharedString, "C2": excelize.CellTypeUnset, "D2": excelize.CellTypeUnset} {
		if got, _ := f.GetCellType("plays", cell); got != want {
			t.Errorf("%s is of type %v, want %v", cell, got, want)
		}
	}
	if p, _ := f.GetPanes("plays"); !p.Freeze || p.YSplit != 1 {
		t.Errorf("the head does not stay: %+v", p)
	}
	if p, _ := f.GetDocProps(); p.Creator != "Overhang" || p.Title != "Words" {
		t.Errorf("metadata %+v", p)
	}
}

// TestWorkbookInLibreOffice: opened by another program and saved again, every cell
// has the type it was given (value types of OpenDocument 1.3, part 3, 19.389); in
// CSV, which has no types, 4-6 and 11+ stay words and 00 becomes a number.
func TestWorkbookInLibreOffice(t *testing.T) {
	office, err := exec.LookPath("soffice")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("LibreOffice is missing: apt-get install libreoffice-calc")
		}
		t.Skip("no LibreOffice on this machine")
	}
	dir := t.TempDir()
	var b bytes.Buffer
	if err := sheetOf().Write(&b); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"book.xlsx": b.Bytes(),
		"text.csv": []byte("band,more,pers\r\n4-6,11+,00\r\n")} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(office, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless",
		"--convert-to", "fods", "--outdir", dir, filepath.Join(dir, "book.xlsx"), filepath.Join(dir, "text.csv"))
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	for file, wants := range map[string][]string{
		"book.fods": {`string:4-6`, `string:11+`, `string:00`, `string:=1+1`, `string:-5 on first`, `float:3`, `float:4.25`,
			`percentage:0.25`},
		"text.fods": {`string:4-6`, `string:11+`},
	} {
		raw, err := os.ReadFile(filepath.Join(dir, file))
		if err != nil {
			t.Fatal(err)
		}
		got := cellsOf(string(raw))
		for _, want := range wants {
			if !strings.Contains(got, "|"+want+"|") {
				t.Errorf("%s: no cell %s among %s", file, want, got)
			}
		}
	}
}

// cellsOf lists the cells of a flat OpenDocument as |type:value|.
func cellsOf(xml string) string {
	var out strings.Builder
	for _, cell := range strings.Split(xml, "<table:table-cell ")[1:] {
		kind, value := attribute(cell, `office:value-type="`), attribute(cell, `office:value="`)
		if _, text, ok := strings.Cut(cell, "<text:p>"); ok && kind == "string" {
			value, _, _ = strings.Cut(text, "</text:p>")
		}
		out.WriteString("|" + kind + ":" + value + "|")
	}
	return out.String()
}

func attribute(s, name string) string {
	_, rest, ok := strings.Cut(s, name)
	if !ok {
		return ""
	}
	value, _, _ := strings.Cut(rest, `"`)
	return value
}
