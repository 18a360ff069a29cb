package reports

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

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

// WriteXLSX writes one sheet of numbers and one of notes.
func (s *Sheet) WriteXLSX(w io.Writer) error {
	tab := paper.Tab{Name: s.Name, Keys: s.Columns}
	for _, row := range s.Rows {
		out := make([]any, len(row))
		for i, v := range row {
			out[i] = plain(v)
		}
		tab.Rows = append(tab.Rows, out)
	}
	b := paper.Workbook{Title: s.Name, Tabs: []paper.Tab{tab}}
	if len(s.Notes) > 0 {
		notes := paper.Tab{Name: "notes"}
		for _, n := range s.Notes {
			notes.About = append(notes.About, []any{n})
		}
		b.Tabs = append(b.Tabs, notes)
	}
	return b.Write(w)
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
