package intake

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"

	"github.com/xuri/excelize/v2"
)

// What a workbook may unpack to: XML of a sheet packs about ten to one, so
// sixty to one is nobody's sheet, and nothing may fill the memory.
const (
	unpackedAtLeast = 1 << 20
	unpackedPerByte = 60
	unpackedAtMost  = 128 << 20
)

// allowed is how many bytes a workbook of a size may unpack to.
func allowed(size int) int64 { return min(unpackedAtMost, unpackedAtLeast+unpackedPerByte*int64(size)) }

// workbook reads the tabs of an XLSX file (ISO/IEC 29500).
func workbook(data []byte) ([]tab, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, errors.New("the workbook is damaged: save it again as XLSX")
	}
	var size uint64
	for _, f := range z.File { // reading stops at what is said here (archive/zip), so it can be believed
		size += f.UncompressedSize64
		if size > uint64(allowed(len(data))) {
			return nil, fmt.Errorf("the workbook unpacks to more than its size allows (%d MB): nothing was read",
				allowed(len(data))>>20)
		}
	}
	limit := allowed(len(data))
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: limit, UnzipXMLSizeLimit: limit})
	if err != nil {
		return nil, fmt.Errorf("this is no workbook that can be read (save it as XLSX without a password): %w", err)
	}
	defer f.Close()
	var tabs []tab
	for _, name := range f.GetSheetList() {
		t := tab{name: name}
		if shown, err := f.GetSheetVisible(name); err == nil {
			t.hidden = !shown
		}
		if t.rows, err = rowsOf(f, name, false); err == nil {
			t.kept, err = rowsOf(f, name, true)
		}
		if err != nil {
			return nil, fmt.Errorf("tab %q: %w", name, err)
		}
		spread(f, &t)
		tabs = append(tabs, t)
	}
	return tabs, nil
}

func rowsOf(f *excelize.File, name string, raw bool) ([][]string, error) {
	it, err := f.Rows(name)
	if err != nil {
		return nil, nil // a tab of drawings has no cells
	}
	defer it.Close()
	var rows [][]string
	blank := 0
	for it.Next() {
		cells, err := it.Columns(excelize.Options{RawCellValue: raw})
		if err != nil {
			return nil, err
		}
		used := 0
		for i := range cells {
			if cells[i] = clean(cells[i]); cells[i] != "" {
				used = i + 1
			}
		}
		if used > mostColumns {
			return nil, fmt.Errorf("row %d: a sheet has at most %d columns", len(rows)+1, mostColumns)
		}
		if used == 0 {
			if blank++; blank > 1000 {
				return rows, nil // cells that were only given a color
			}
			rows = append(rows, nil)
			continue
		}
		blank = 0
		rows = append(rows, append([]string(nil), cells[:used]...))
		if len(rows) > mostRows {
			return nil, fmt.Errorf("a sheet has at most %d rows", mostRows)
		}
	}
	return rows, it.Error()
}

// spread writes the text of merged cells into each of them, as far as rows go.
func spread(f *excelize.File, t *tab) {
	merged, err := f.GetMergeCells(t.name)
	if err != nil {
		return
	}
	for _, m := range merged {
		c1, r1, err1 := excelize.CellNameToCoordinates(m.GetStartAxis())
		c2, r2, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err1 != nil || err2 != nil || c2 > mostColumns {
			continue
		}
		for _, rows := range [][][]string{t.rows, t.kept} {
			text := at(rows, r1-1, c1-1)
			for r := r1 - 1; text != "" && r < min(r2, len(rows)); r++ {
				for len(rows[r]) < c2 {
					rows[r] = append(rows[r], "")
				}
				for c := c1 - 1; c < c2; c++ {
					rows[r][c] = text
				}
			}
		}
	}
}
