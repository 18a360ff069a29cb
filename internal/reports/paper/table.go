package paper

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"

	"overhang/internal/reports/ink"
)

// A Table is rows under named columns. Data only tables are in CSV and XLSX, not
// on paper: the numbers of drawings and cards.
type Table struct {
	Name     string // in CSV and XLSX; unique in a document
	Columns  []Column
	Rows     []Row
	DataOnly bool
	// Empty stands in place of a table without rows.
	Empty string
}

// A Column has a name for programs, with its unit, and a head for people: one
// without a key stands on paper only, one without a head in CSV and XLSX only.
type Column struct {
	Key, Head string
	Number    bool // right aligned
	Strong    bool // bold
}

// A Row is one line; thin ones rest on few plays and are printed in gray.
type Row struct {
	Cells []Cell
	Thin  bool
}

// A Cell is what a person reads and what a program gets: a string, an int, a
// float64 in full precision, or nil for unknown.
type Cell struct {
	Text  string
	Value any
}

// T is a cell of text.
func T(s string) Cell { return Cell{s, s} }

// I is a cell of a whole number.
func I(n int) Cell { return Cell{strconv.Itoa(n), n} }

// F is a cell of a number with the format people read.
func F(format string, v float64) Cell { return Cell{fmt.Sprintf(format, v), v} }

// Share is a cell of a share, read as whole percent.
func Share(v float64) Cell { return Cell{fmt.Sprintf("%.0f%%", 100*v), v} }

// Unknown is a cell without a value.
func Unknown() Cell { return Cell{"?", nil} }

// Cells is a row of cells.
func Cells(cs ...Cell) Row { return Row{Cells: cs} }

// Cols are columns by pairs of key and head; a head that ends in # is of numbers.
func Cols(keyHead ...string) []Column {
	var out []Column
	for i := 0; i+1 < len(keyHead); i += 2 {
		head, number := strings.CutSuffix(keyHead[i+1], "#")
		out = append(out, Column{Key: keyHead[i], Head: head, Number: number})
	}
	return out
}

// Printed is what stands on paper of a table.
func (t *Table) Printed() *Table { return t.only(func(c Column) bool { return c.Head != "" }) }

// only keeps some columns; a row that ends early is unknown from there on.
func (t *Table) only(keep func(Column) bool) *Table {
	out := &Table{Name: t.Name, DataOnly: t.DataOnly, Empty: t.Empty}
	for i, c := range t.Columns {
		if keep(c) {
			out.Columns = append(out.Columns, t.Columns[i])
		}
	}
	for _, r := range t.Rows {
		row := Row{Thin: r.Thin}
		for i, c := range t.Columns {
			switch {
			case !keep(c):
			case i < len(r.Cells):
				row.Cells = append(row.Cells, r.Cells[i])
			default:
				row.Cells = append(row.Cells, Cell{})
			}
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// Tables returns what programs get of all tables of a document in order, those
// inside cards too, without those that stand on paper only.
func (d *Document) Tables() []*Table {
	var out []*Table
	for _, t := range tablesOf(d.Blocks) {
		if t = t.only(func(c Column) bool { return c.Key != "" }); len(t.Columns) > 0 {
			out = append(out, t)
		}
	}
	return out
}

func tablesOf(bs []Block) []*Table {
	var out []*Table
	for _, b := range bs {
		switch b := b.(type) {
		case *Table:
			out = append(out, b)
		case *Grid:
			for i := range b.Cards {
				out = append(out, tablesOf(b.Cards[i].Blocks)...)
				out = append(out, tablesOf(b.Cards[i].Back)...)
			}
		}
	}
	return out
}

// WriteCSV writes all tables as one (RFC 4180): the first column names the table,
// the others are all columns there are, empty where a table lacks one.
func (d *Document) WriteCSV(w io.Writer) error {
	tables := d.Tables()
	head := heads(tables)
	out := csv.NewWriter(w)
	out.UseCRLF = true
	out.Write(head)
	for _, t := range tables {
		for _, r := range t.Rows {
			rec := make([]string, len(head))
			rec[0] = Safe(t.Name)
			for i, c := range r.Cells {
				rec[1+slices.Index(head[1:], t.Columns[i].Key)] = plain(c.Value)
			}
			out.Write(rec)
		}
	}
	out.Flush()
	return out.Error()
}

// heads are the columns of all tables in one file: the table's name, then each key once.
func heads(tables []*Table) []string {
	out := []string{"table"}
	for _, t := range tables {
		for _, c := range t.Columns {
			if !slices.Contains(out[1:], c.Key) {
				out = append(out, c.Key)
			}
		}
	}
	return out
}

func plain(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	case string:
		return Safe(v)
	}
	return fmt.Sprint(v)
}

// Safe keeps a spreadsheet from running a word as a formula.
func Safe(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r\n", rune(s[0])) {
		return "'" + s
	}
	return s
}

// WriteXLSX writes every table as a sheet, after one that says what the file is.
func (d *Document) WriteXLSX(w io.Writer) error {
	about := [][]any{{"Title", d.Title}, {"Program", d.Program}, {"Opponent", d.Against()}, {"Counted plays", d.Plays},
		{"Date", d.Date.Format(time.DateOnly)}}
	if d.Invented {
		about = append(about, []any{"Invented data", "no real team, player or place"})
	}
	b := Workbook{Title: d.Title, Day: d.Date, Tabs: []Tab{{Name: "About", About: about}}}
	for _, t := range d.Tables() {
		tab := Tab{Name: t.Name}
		for _, c := range t.Columns {
			tab.Keys = append(tab.Keys, c.Key)
		}
		for _, r := range t.Rows {
			row := make([]any, len(r.Cells))
			for k, c := range r.Cells {
				row[k] = c.Value
			}
			tab.Rows = append(tab.Rows, row)
		}
		b.Tabs = append(b.Tabs, tab)
	}
	return b.Write(w)
}

// cut is the beginning of a text that takes at most n places in UTF-16.
func cut(s []rune, n int) string {
	for len(utf16.Encode(s)) > n {
		s = s[:len(s)-1]
	}
	return string(s)
}

// sheetName makes a name a spreadsheet takes: at most 31 letters, of which those above U+FFFF
// count twice, none of those it forbids, told apart from those before.
func sheetName(s string, used map[string]bool) string {
	clean := []rune(strings.Trim(strings.Map(func(r rune) rune {
		if strings.ContainsRune(`:\/?*[]`, r) {
			return ' '
		}
		return r
	}, ink.Printable(s)), " '\t\r\n"))
	if len(clean) == 0 {
		clean = []rune("table")
	}
	name := cut(clean, 31)
	for n := 2; used[strings.ToLower(name)]; n++ {
		tail := fmt.Sprint(" ", n)
		name = cut(clean, 31-len(tail)) + tail
	}
	used[strings.ToLower(name)] = true
	return name
}
