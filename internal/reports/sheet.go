package reports

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"

	"github.com/xuri/excelize/v2"

	"overhang/internal/reports/paper"
)

// A Sheet is an answer as a table: the same numbers as in the JSON form, for a
// spreadsheet. A cell is a string, an int, a float64, a bool, a pointer to one
// of the first three, or nil; nil, however it is written, is unknown and stays empty.
type Sheet struct {
	Name    string
	Columns []string
	Rows    [][]any
	Notes   []string // what the numbers do not say themselves; CSV has no place for them
}

// WriteCSV writes RFC 4180 with full precision.
func (s *Sheet) WriteCSV(w io.Writer) error {
	cw := csv.NewWriter(w)
	cw.UseCRLF = true
	cw.Write(s.Columns)
	rec := make([]string, len(s.Columns))
	for _, row := range s.Rows {
		for i, v := range row {
			switch x := plain(v).(type) {
			case nil:
				rec[i] = ""
			case string:
				rec[i] = paper.Safe(x)
			case float64:
				rec[i] = strconv.FormatFloat(x, 'g', -1, 64)
			default:
				rec[i] = fmt.Sprint(x)
			}
		}
		cw.Write(rec)
	}
	cw.Flush()
	return cw.Error()
}

// WriteXLSX writes one sheet of numbers and one of notes. Text is written as
// text, never as a formula; what looks like one is marked as in CSV, so that it
// stays text when it is edited or copied on.
func (s *Sheet) WriteXLSX(w io.Writer) (err error) {
	f := excelize.NewFile()
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
	}()
	if err := f.SetSheetName("Sheet1", s.Name); err != nil {
		return err
	}
	stream, err := f.NewStreamWriter(s.Name)
	if err != nil {
		return err
	}
	head := make([]any, len(s.Columns))
	for i, c := range s.Columns {
		head[i] = c
	}
	for i, row := range slices.Concat([][]any{head}, s.Rows) {
		out := make([]any, len(row))
		for j, v := range row {
			switch x := plain(v).(type) {
			case string:
				out[j] = paper.Safe(x) // text already; the mark outlives a copy into another program
			default:
				out[j] = x
			}
		}
		if err := stream.SetRow("A"+strconv.Itoa(i+1), out); err != nil {
			return err
		}
	}
	if err := stream.Flush(); err != nil {
		return err
	}
	if len(s.Notes) > 0 {
		if _, err := f.NewSheet("notes"); err != nil {
			return err
		}
		for i, n := range s.Notes {
			if err := f.SetCellStr("notes", "A"+strconv.Itoa(i+1), paper.Safe(n)); err != nil {
				return err
			}
		}
	}
	return f.Write(w)
}

// plain looks through a pointer; nil is unknown.
func plain(v any) any {
	switch x := v.(type) {
	case *string:
		if x != nil {
			return *x
		}
	case *int:
		if x != nil {
			return *x
		}
	case *float64:
		if x != nil {
			return *x
		}
	default:
		return v
	}
	return nil
}
